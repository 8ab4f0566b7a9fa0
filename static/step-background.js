/** Step: the background. Candidates side by side, with the fabrics laid on them. */

import { desk } from "./desk.js";
import { h, keep, say } from "./dom.js";
import { chooser, send, tickets } from "./photos.js";
import { onward, Step } from "./step.js";
import { nameOf, picture, pictures, why } from "./swatch.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").Swatch} Swatch */

/** Weakest verdict last, so that the eye finds what sinks in one place. */
const ORDER = ["clear", "soft", "camouflage", "lost"];

class BackgroundStep extends Step {
  #grid = h("div", { class: "grounds", role: "radiogroup", "aria-label": "Background" });
  #sinking = h("div", { class: "sinking" });
  #status = h("p", { class: "quiet", role: "status" });
  #next = onward("picks", "Choose how many");

  build() {
    const hint = h(
      "p",
      { class: "quiet" },
      "What the blocks are set in. Add two or three to compare.",
    );
    const add = chooser("Add a background", (files) => this.#take(files));
    this.append(hint, this.#grid, this.#sinking, this.#status, add, this.trouble, this.#next);
  }

  /** @param {readonly File[]} files */
  #take(files) {
    return this.attempt(async () => {
      const broken = [];
      for (const ticket of tickets(files)) {
        say(this.#status, `Reading ${ticket.file.name}`);
        if (!(await send(ticket, "background"))) broken.push(ticket);
        URL.revokeObjectURL(ticket.url);
      }
      say(this.#status, "");
      this.trouble.append(...broken.map(({ problem }) => h("p", {}, problem)));
    });
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, background } = view.plan;
    keep(
      this.#grid,
      brief.backgrounds,
      ({ fabric }) => fabric.id,
      (swatch) => this.#ground(swatch),
      (element, swatch) => this.#update(element, swatch, view),
    );
    this.#showSinking(view);
    this.#next.hidden = !brief.backgrounds.length;
    this.gist.className = "gist named";
    this.gist.replaceChildren(
      ...(background ? [nameOf(background), picture(background)] : ["none yet"]),
    );
  }

  /** @param {Swatch} swatch */
  #ground({ fabric }) {
    const id = fabric.id;
    const choose = () => this.change({ background: id });
    const remove = () => this.attempt(() => desk.write("DELETE", `fabrics/${id}`));
    return h(
      "div",
      { class: "ground" },
      h(
        "label",
        { class: "option" },
        h("input", { type: "radio", name: "background", value: id, onchange: choose }),
        h("span", { class: "laid" }, picture(id), h("span", { class: "patches" })),
        h("span", { class: "name" }, fabric.name),
        h("span", { class: "tally" }),
      ),
      h(
        "button",
        { type: "button", class: "small", "aria-label": `Remove ${fabric.name}`, onclick: remove },
        "Remove",
      ),
    );
  }

  /** @param {HTMLElement} element @param {Swatch} swatch @param {PlanView} view */
  #update(element, swatch, view) {
    const id = swatch.fabric.id;
    const patches = /** @type {HTMLElement} */ (element.querySelector(".patches"));
    const stands = view.plan.contrasts
      .filter((entry) => entry.background === id)
      .sort(
        (a, b) =>
          ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict) || b.difference - a.difference,
      );
    pictures(
      patches,
      stands.map(({ fabric }) => fabric),
    );
    const input = /** @type {HTMLInputElement} */ (element.querySelector("input"));
    input.checked = id === view.plan.background;
    const tally = view.verdicts[id];
    const parts = tally && [
      `${tally.clear} stand out`,
      tally.soft && `${tally.soft} soft`,
      tally.lost + tally.camouflage && `${tally.lost + tally.camouflage} sink`,
    ];
    const words = (parts || []).filter(Boolean).join(", ");
    say(/** @type {HTMLElement} */ (element.querySelector(".tally")), words);
  }

  /** What sinks into the chosen background, and why. @param {PlanView} view */
  #showSinking(view) {
    const { contrasts, background } = view.plan;
    const sunk = contrasts.filter(
      (entry) => entry.background === background && ["lost", "camouflage"].includes(entry.verdict),
    );
    keep(
      this.#sinking,
      sunk,
      (entry) => `${entry.fabric} ${entry.sentence}`,
      (entry) => why(entry),
    );
  }
}

customElements.define("background-step", BackgroundStep);
