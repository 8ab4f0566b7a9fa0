/** Step: side by side. Copies of the plan, large, with what tells them apart. */

import { sure } from "../parts/controls.js";
import { makeDialog } from "../parts/dialogs.js";
import { button, h, keep, list, put, say, set } from "../parts/dom.js";
import { picture } from "../parts/swatch.js";
import { forget, keepCopy, otherColours, rename, show } from "../plan/plans.js";
import { workspace } from "../plan/workspace.js";
import { goTo, onward, Step } from "./step.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").VariantLine} Variant */

/** The same drawing, larger. @param {string} address */
const larger = (address) => address.replace(/width=\d+/, "width=1200");

class VariantsStep extends Step {
  #grid = h("ul.variants");
  #large = makeDialog("large", "Side by side", {
    onclose: () => this.#enlarge.before(this.#grid),
  });
  #enlarge = button("See them large", () => this.#open());
  #backgrounds = h("div.row.swatch-buttons");
  #heading = h("h3", "In other colours");
  #asked = "";

  build() {
    const copy = () =>
      this.attempt(async () => {
        await keepCopy();
        await this.#reload();
      });
    const bundle = () =>
      this.attempt(async () => {
        await otherColours();
        goTo("fabrics");
      });
    this.append(
      h(
        "p.group",
        h("button.main", { onclick: copy }, "Keep a copy to compare"),
        h("span.quiet", "Then go on changing this one: the copy stays as it is."),
      ),
      this.errors,
      this.#grid,
      this.#enlarge,
      this.#heading,
      h(
        "p.quiet",
        "A copy of this quilt on another background. Blocks move only where other fabrics are picked. This one stays.",
      ),
      this.#backgrounds,
      h("p", button("The same pattern with another bundle", bundle)),
      this.#large,
      onward("keep", "Keep it"),
    );
  }

  turned() {
    if (workspace.view) this.#list(workspace.view);
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, background } = view.plan;
    this.gist.textContent = "";
    keep(
      this.#backgrounds,
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
    const wanted = `${workspace.view?.id} ${workspace.view?.revision}`;
    this.#asked = wanted;
    return this.attempt(async () => {
      /** @type {Variant[]} */
      const variants = await workspace.read("variants");
      if (this.#asked === wanted) this.#showVariants(variants);
    });
  }

  /** @param {Variant[]} variants */
  #showVariants(variants) {
    this.#enlarge.hidden = variants.length < 2;
    keep(
      this.#grid,
      variants,
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
        const next = variants.find((other) => other.id !== id)?.id;
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

  /** @param {Variant} variant */
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

customElements.define("variants-step", VariantsStep);
