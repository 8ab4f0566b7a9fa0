/** The card of a fabric: what its photo tells, what can be done with it. */

import { field } from "../../parts/controls.js";
import { box, button, h, keep, list, put, set, tick } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { lengthField } from "../../parts/length-field.js";
import { chooser, smaller } from "../../parts/photos.js";
import { bar, chip, picture, reasons } from "../../parts/swatch.js";
import { workspace } from "../../plan/workspace.js";
import { openPutRight } from "./put-right.js";

/** @typedef {import("../../types/api.d.ts").Swatch} Swatch */
/** @typedef {import("../../parts/photos.js").Lit} Lit */
/** @typedef {"must_use" | "leave_out" | "directional"} Mark */

/** @type {[Mark, string][]} */
const TICKS = [
  ["must_use", "Must be used"],
  ["leave_out", "Leave out"],
  ["directional", "Has an up and a down"],
];

/** A lightness on a scale from black to white. @param {number} lightness */
function scale(lightness) {
  const mark = h("span.at");
  mark.style.left = `${lightness}%`;
  return h("span.lightness", mark);
}

export class FabricCard {
  element = h("section.card");
  #facts = h("div.facts");
  #notes = h("div.notes");
  #errors = errorPlace();
  #name = h("input", {
    maxlength: 80,
    onchange: () => this.#change({ name: this.#name.value }),
  });
  #across = lengthField("Cloth across the photo", (shows) => this.#change({ shows }));
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
    const remove = () => does.remove(() => workspace.write("DELETE", `fabrics/${id}`));
    const retake = chooser("Retake the photo", ([file]) => this.#retake(file, does.lit), false);
    retake.prepend(button("Put right by hand", () => openPutRight(id)));
    retake.append(h("a", { href: "guide.html", target: "_blank" }, "Taking the photo"));
    this.element.append(
      this.#facts,
      this.#notes,
      retake,
      field("Name", this.#name),
      this.#across.element,
      h("div.ticks", ...TICKS.map(([mark, words]) => this.#tick(mark, words))),
      this.#errors,
      button("Take out of the bundle", remove),
    );
  }

  /** @param {Mark} mark @param {string} words */
  #tick(mark, words) {
    const input = box((on) => this.#change({ [mark]: on }));
    this.#ticks.set(mark, input);
    return tick(input, words);
  }

  /** @param {Record<string, unknown>} fields */
  #change(fields) {
    return attempt(this.#errors, () => workspace.write("PATCH", `fabrics/${this.#id}`, fields));
  }

  /** @param {File} file @param {(file: File) => Promise<Lit | null>} lit */
  #retake(file, lit) {
    return attempt(this.#errors, async () => {
      const how = await lit(file);
      if (!how) return;
      const form = new FormData();
      form.append("photo", await smaller(file), file.name);
      await workspace.write("PUT", `fabrics/${this.#id}/photo?${new URLSearchParams(how)}`, form);
    });
  }

  /** @param {Swatch} swatch */
  show(swatch) {
    const { fabric } = swatch;
    set(this.element, { "aria-label": fabric.name });
    put(this.#name, fabric.name);
    this.#across.show(swatch.shows);
    for (const [mark, input] of this.#ticks) input.checked = swatch[mark];
    const { lightness } = fabric.reads_as;
    keep(
      this.#facts,
      [swatch.picture],
      (key) => key,
      () =>
        h(
          "div.seen",
          picture(fabric.id, "", 480),
          h("span", h("span", "Reads as"), chip(fabric.id)),
          h("span", h("span", "Main colours"), bar(swatch)),
          h("span", `Lightness ${Math.round(lightness)} of 100`, scale(lightness)),
        ),
    );
    const { words } = workspace.view ?? {};
    const warnings = words?.warnings[fabric.id] ?? [];
    const notes = [
      ...warnings,
      ...(words?.not_cloth[fabric.id] ?? []),
      ...reasons(fabric.id),
      workspace.view?.patches[fabric.id]?.sentence ?? "",
      workspace.view?.obtained[fabric.id] ?? "",
    ].filter(Boolean);
    list(this.#notes, notes, (text) => h(warnings.includes(text) ? "p.warning" : "p", text));
  }
}

/** What was done last in the bundle, and the way back. */
export class WayBack {
  element = h("div.way-back", { role: "status" });
  #revision = -1;

  /** @param {string} words */
  offer(words) {
    const back = () => attempt(this.element, () => workspace.write("POST", "undo"));
    this.#revision = workspace.view?.revision ?? -1;
    this.element.replaceChildren(h("span", words), button("Put it back", back));
  }

  /** The offer holds until something else is changed. */
  show() {
    if (workspace.view?.revision !== this.#revision) this.element.replaceChildren();
  }
}
