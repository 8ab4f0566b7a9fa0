/** The card of a fabric: what its photo tells, what can be done with it. */

import { desk } from "./desk.js";
import { h, keep, put, say } from "./dom.js";
import { meant, shown, unit } from "./lengths.js";
import { chooser, smaller } from "./photos.js";
import { field } from "./step.js";
import { bar, chip, picture, reasons } from "./swatch.js";
import { attempt, troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").Swatch} Swatch */
/** @typedef {import("./photos.js").Lit} Lit */
/** @typedef {"must_use" | "leave_out" | "directional"} Mark */

/** @type {[Mark, string][]} */
const TICKS = [
  ["must_use", "Must be used"],
  ["leave_out", "Leave out"],
  ["directional", "Has an up and a down"],
];

/** A lightness on a scale from black to white. @param {number} lightness */
function scale(lightness) {
  const mark = h("span", { class: "at" });
  mark.style.left = `${lightness}%`;
  return h("span", { class: "lightness" }, mark);
}

export class FabricCard {
  element = h("section", { class: "card" });
  #facts = h("div", { class: "facts" });
  #notes = h("div", { class: "notes" });
  #trouble = troublePlace();
  #name = h("input", { maxlength: 80 });
  #shows = h("input", { size: 6 });
  #across = field("", this.#shows);
  /** @type {Map<Mark, HTMLInputElement>} */
  #ticks = new Map();
  #id;

  /**
   * @param {string} id
   * @param {object} does
   * @param {(action: () => Promise<unknown>) => void} does.remove
   * @param {(file: File) => Promise<Lit | null>} does.lit how a photo is lit; null to leave it
   */
  constructor(id, does) {
    this.#id = id;
    this.#name.addEventListener("change", () => this.#change({ name: this.#name.value }));
    this.#shows.addEventListener("change", () => this.#change({ shows: meant(this.#shows.value) }));
    const remove = () => does.remove(() => desk.write("DELETE", `fabrics/${id}`));
    const retake = chooser("Retake the photo", ([file]) => this.#retake(file, does.lit), false);
    retake.append(h("a", { href: "guide.html", target: "_blank" }, "Taking the photo"));
    this.element.append(
      this.#facts,
      this.#notes,
      retake,
      field("Name", this.#name),
      this.#across,
      h("div", { class: "ticks" }, ...TICKS.map(([mark, words]) => this.#tick(mark, words))),
      this.#trouble,
      h("button", { onclick: remove }, "Take out of the bundle"),
    );
  }

  /** @param {Mark} mark @param {string} words */
  #tick(mark, words) {
    const box = h("input", { type: "checkbox" });
    box.addEventListener("change", () => this.#change({ [mark]: box.checked }));
    this.#ticks.set(mark, box);
    return h("label", { class: "tick" }, box, words);
  }

  /** @param {Record<string, unknown>} fields */
  #change(fields) {
    return attempt(this.#trouble, () => desk.write("PATCH", `fabrics/${this.#id}`, fields));
  }

  /** @param {File} file @param {(file: File) => Promise<Lit | null>} lit */
  #retake(file, lit) {
    return attempt(this.#trouble, async () => {
      const how = await lit(file);
      if (!how) return;
      const form = new FormData();
      form.append("photo", await smaller(file), file.name);
      await desk.write("PUT", `fabrics/${this.#id}/photo?${new URLSearchParams(how)}`, form);
    });
  }

  /** @param {Swatch} swatch */
  show(swatch) {
    const { fabric } = swatch;
    this.element.setAttribute("aria-label", fabric.name);
    put(this.#name, fabric.name);
    put(this.#shows, shown(swatch.shows));
    say(/** @type {Element} */ (this.#across.firstChild), `Cloth across the photo, ${unit()}`);
    for (const [mark, box] of this.#ticks) box.checked = swatch[mark];
    const { lightness } = fabric.reads_as;
    keep(
      this.#facts,
      [swatch.picture],
      (key) => key,
      () =>
        h(
          "div",
          { class: "seen" },
          picture(fabric.id, "", 480),
          h("span", {}, h("span", {}, "Reads as"), chip(fabric.id)),
          h("span", {}, h("span", {}, "Main colours"), bar(swatch)),
          h("span", {}, `Lightness ${Math.round(lightness)} of 100`, scale(lightness)),
        ),
    );
    const notes = [
      ...fabric.warnings,
      ...reasons(fabric.id),
      desk.view?.obtained[fabric.id] ?? "",
    ].filter(Boolean);
    keep(
      this.#notes,
      notes,
      (text) => text,
      (text) => h("p", { class: fabric.warnings.includes(text) ? "warning" : "" }, text),
    );
  }
}

/** What was done last in the bundle, and the way back. */
export class WayBack {
  #element;
  #revision = -1;
  #words = "";

  /** @param {HTMLElement} element where it is said */
  constructor(element) {
    this.#element = element;
  }

  /** @param {string} words */
  offer(words) {
    this.#words = words;
    this.#revision = desk.view?.revision ?? -1;
    this.show();
  }

  /** The offer holds until something else is changed. */
  show() {
    if (desk.view?.revision !== this.#revision) return this.#element.replaceChildren();
    if (this.#element.firstChild) return;
    const back = () => attempt(this.#element, () => desk.write("POST", "undo"));
    const button = h("button", { onclick: back }, "Put it back");
    const text = h("span");
    this.#element.append(text, button);
    say(text, this.#words);
  }
}
