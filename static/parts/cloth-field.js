/** A piece of cloth as it is chosen now, and a palette of all cloth at hand to choose another. */

import { nameOf } from "../plan/fabrics.js";
import { workspace } from "../plan/workspace.js";
import { h, keep, say, set } from "./dom.js";
import { attempt, errorPlace } from "./errors.js";
import { add, chooser } from "./photos.js";
import { picture, pictures } from "./swatch.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */

/** All cloth of a plan: what the blocks are made of first. @param {PlanView} view */
function cloths(view) {
  const { brief, choice } = view.plan;
  const kept = new Set(choice?.kept);
  const bundle = brief.swatches.map(({ fabric }) => fabric.id);
  return [
    ...brief.backgrounds.map(({ fabric }) => fabric.id),
    ...bundle.filter((id) => kept.has(id)),
    ...bundle.filter((id) => !kept.has(id)),
  ];
}

export class ClothField {
  #what = h("span.quiet");
  #name = h("span.name");
  #shown = h("span.swatch");
  #button = h(
    "button.cloth-button",
    { "aria-expanded": false, onclick: () => this.#turn() },
    this.#shown,
    h("span", this.#what, this.#name),
  );
  #cloths = h("div.cloths");
  #errors = errorPlace();
  #palette;
  #none;
  #chosen;
  #label;
  #id = "";
  element;

  /**
   * @param {string} label
   * @param {string} none what it is when no cloth is chosen
   * @param {(id: string) => Promise<unknown>} chosen
   */
  constructor(label, none, chosen) {
    this.#label = label;
    this.#none = none;
    this.#chosen = chosen;
    // No block is to be made of cloth that is photographed here.
    const photo = chooser("New photo", ([file]) =>
      attempt(this.#errors, async () => {
        const id = await add(file, "fabric", { spare: "true" });
        if (id) await chosen(id);
      }),
    );
    const group = { role: "group", hidden: true };
    this.#palette = h("div.palette", group, this.#cloths, photo, this.#errors);
    this.element = h("div.cloth-field", this.#button, this.#palette);
  }

  #turn() {
    const open = this.#palette.hidden;
    this.#palette.hidden = !open;
    set(this.#button, { "aria-expanded": open });
    if (open && workspace.view) this.#showCloths(workspace.view);
  }

  /**
   * @param {PlanView} view
   * @param {string} id of the cloth; '' if none is chosen
   * @param {string} instead id of the cloth that is taken then; '' if none is
   * @param {string} [what] words above the cloth's name
   */
  show(view, id, instead, what = "") {
    this.#id = id;
    say(this.#what, `${what || this.#label} `);
    this.#what.className = what ? "quiet" : "hidden";
    say(this.#name, id ? nameOf(id) : this.#none);
    const cloth = id || instead;
    pictures(this.#shown, cloth ? [cloth] : []);
    set(this.#palette, { "aria-label": `Cloth for ${(what || this.#label).toLowerCase()}` });
    if (!this.#palette.hidden) this.#showCloths(view);
  }

  /** @param {PlanView} view */
  #showCloths(view) {
    keep(
      this.#cloths,
      ["", ...cloths(view)],
      (id) => `${id} ${view.pictures[id]}`,
      (id) => this.#cloth(id),
      (element, id) => {
        const name = nameOf(id) || null;
        set(element, { "aria-pressed": id === this.#id, "aria-label": name, title: name });
      },
    );
  }

  /** @param {string} id */
  #cloth(id) {
    const choose = () => attempt(this.#errors, () => this.#chosen(id));
    return h(
      "button",
      { class: id ? "tile" : "none", onclick: choose },
      id ? picture(id) : this.#none,
    );
  }
}
