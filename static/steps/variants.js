/** Step: side by side. Copies of the plan, large, with what tells them apart. */

import { overlay } from "../parts/dialogs.js";
import { button, h, keep, list, put, say, set } from "../parts/dom.js";
import { picture } from "../parts/swatch.js";
import { forget, keepCopy, otherColours, rename, show, sure } from "../plan/plans.js";
import { desk } from "../plan/workspace.js";
import { onward, Step } from "./step.js";

/** @typedef {import("../types/types.d.ts").PlanView} PlanView */
/** @typedef {import("../types/types.d.ts").Kin} Kin */

/** The same drawing, larger. @param {string} address */
const larger = (address) => address.replace(/width=\d+/, "width=1200");

class KinStep extends Step {
  #grid = h("ul.kin");
  #large = overlay("large", "Side by side", {
    onclose: () => this.#enlarge.before(this.#grid),
  });
  #enlarge = button("See them large", () => this.#open());
  #grounds = h("div.row.swatch-buttons");
  #heading = h("h3", "In other colours");
  #asked = "";

  build() {
    const copy = () =>
      this.attempt(async () => {
        await keepCopy();
        await this.#reload();
      });
    const bundle = () => this.attempt(otherColours);
    this.append(
      h(
        "p.group",
        h("button.main", { onclick: copy }, "Keep a copy to compare"),
        h("span.quiet", "Then go on changing this one: the copy stays as it is."),
      ),
      this.trouble,
      this.#grid,
      this.#enlarge,
      this.#heading,
      h("p.quiet", "A copy of this quilt, laid out anew. This one stays."),
      this.#grounds,
      h("p", button("The same pattern with another bundle", bundle)),
      this.#large,
      onward("keep", "Keep it"),
    );
  }

  turned() {
    if (desk.view) this.#list(desk.view);
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, background } = view.plan;
    this.gist.textContent = "";
    keep(
      this.#grounds,
      brief.backgrounds.filter(({ fabric }) => fabric.id !== background),
      ({ fabric, picture: made }) => `${fabric.id} ${made}`,
      ({ fabric: { id, name } }) => {
        const use = () => this.attempt(() => otherColours(id));
        return h("button", { onclick: use }, picture(id), `On ${name}`);
      },
    );
    this.#list(view);
  }

  /** Ask for the variants once for each state of the plan. @param {PlanView} view */
  #list({ id, revision }) {
    if (!this.details.open || this.#asked === `${id} ${revision}`) return;
    this.#reload();
  }

  #reload() {
    const wanted = `${desk.view?.id} ${desk.view?.revision}`;
    this.#asked = wanted;
    return this.attempt(async () => {
      /** @type {Kin[]} */
      const kin = await desk.read("kin");
      if (this.#asked === wanted) this.#showKin(kin);
    });
  }

  /** @param {Kin[]} kin */
  #showKin(kin) {
    this.#enlarge.hidden = kin.length < 2;
    keep(
      this.#grid,
      kin,
      ({ id }) => id,
      (one) => this.#card(one),
      (card, one) => {
        const [image, title, words, row] = card.children;
        const open = /** @type {HTMLButtonElement} */ (row.firstElementChild);
        const { id, current } = one;
        set(image, { src: this.#large.open ? larger(one.picture) : one.picture || null });
        put(/** @type {HTMLTextAreaElement} */ (title), one.title);
        set(card, { "aria-current": current ? "true" : null });
        list(words, one.facts);
        say(open, current ? "On the wall now" : "Open");
        open.disabled = current;
        const next = kin.find((other) => other.id !== id)?.id;
        const gone = sure("Delete", one.title, () =>
          this.attempt(async () => {
            await forget(id, next);
            if (!current) await this.#reload();
          }),
        );
        row.lastElementChild?.replaceWith(gone);
      },
    );
  }

  /** @param {Kin} kin */
  #card({ id, title }) {
    const onchange = () =>
      this.attempt(async () => {
        await rename(id, name.value);
        await this.#reload();
      });
    const onkeydown = (/** @type {KeyboardEvent} */ event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      name.blur();
    };
    const label = { "aria-label": `Name of ${title}`, maxlength: 80, rows: 1 };
    const name = h("textarea", { ...label, onchange, onkeydown });
    const open = () => {
      this.#large.close();
      show(id);
    };
    return h(
      "li",
      h("img", { alt: "", width: 480, height: 480 }),
      name,
      h("ul.facts"),
      h("p.row", button("", open), h("span")),
    );
  }

  #open() {
    this.#large.append(this.#grid);
    for (const image of this.#grid.querySelectorAll("img")) image.src = larger(image.src);
    this.#large.showModal();
  }
}

customElements.define("kin-step", KinStep);
