/** A piece of cloth as it is chosen now, and a palette of all cloth at hand to choose another. */

import { desk } from "./desk.js";
import { h, keep, say } from "./dom.js";
import { chooser } from "./photos.js";
import { nameOf, picture } from "./swatch.js";
import { attempt, troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */

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
  #what = h("span", { class: "quiet" });
  #name = h("span", { class: "name" });
  #shown = h("span", { class: "swatch" });
  #button = h(
    "button",
    { class: "cloth-button", "aria-expanded": "false" },
    this.#shown,
    h("span", {}, this.#what, this.#name),
  );
  #cloths = h("div", { class: "cloths" });
  #trouble = troublePlace();
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
   * @param {(file: File) => Promise<string>} photo adds a photo, resolves with its cloth
   */
  constructor(label, none, chosen, photo) {
    this.#label = label;
    this.#none = none;
    this.#chosen = chosen;
    const add = chooser("New photo", ([file]) =>
      attempt(this.#trouble, async () => {
        const id = file && (await photo(file));
        if (id) await chosen(id);
      }),
    );
    this.#palette = h("div", { class: "palette", role: "group", hidden: true });
    this.#palette.append(this.#cloths, add, this.#trouble);
    this.#button.addEventListener("click", () => this.#turn());
    this.element = h("div", { class: "cloth-field" }, this.#button, this.#palette);
  }

  #turn() {
    const open = this.#palette.hidden;
    this.#palette.hidden = !open;
    this.#button.setAttribute("aria-expanded", String(open));
    if (open && desk.view) this.#showCloths(desk.view);
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
    const made = `${cloth} ${view.pictures[cloth]}`;
    if (this.#shown.dataset.made !== made) {
      this.#shown.replaceChildren(...(cloth ? [picture(cloth)] : []));
      this.#shown.dataset.made = made;
    }
    this.#palette.setAttribute("aria-label", `Cloth for ${(what || this.#label).toLowerCase()}`);
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
        element.setAttribute("aria-pressed", String(id === this.#id));
        if (!id) return;
        element.setAttribute("aria-label", nameOf(id));
        element.title = nameOf(id);
      },
    );
  }

  /** @param {string} id */
  #cloth(id) {
    const choose = () => attempt(this.#trouble, () => this.#chosen(id));
    return h(
      "button",
      { class: id ? "tile" : "none", onclick: choose },
      id ? picture(id) : this.#none,
    );
  }
}
