/** How photos were lit: where white paper lies in them, and which light they share. */

import { field } from "../../parts/controls.js";
import { h } from "../../parts/dom.js";
import { showWhitePaper } from "./white-paper.js";

/** @typedef {import("../../parts/photos.js").Lit} Lit */
/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */

const LIGHTS = {
  auto: "Found by itself",
  mark: "I will show where it lies",
  none: "None; leave the colours as they are",
};

/** What is told of the light before photos are chosen. */
export class Daylight {
  #way = h(
    "select",
    ...Object.entries(LIGHTS).map(([value, words]) => h("option", { value }, words)),
  );
  #known = h("datalist", { id: "lights" });
  #light = h("input", { maxlength: 60, list: "lights", placeholder: "kitchen window" });
  element = h(
    "div.fields",
    field("White paper in the photos", this.#way),
    field("Name of the light, if they share one", this.#light),
    this.#known,
  );

  /** @param {PlanView} view */
  show({ plan }) {
    const lights = plan.brief.swatches.map(({ fabric }) => fabric.light).filter(Boolean);
    this.#known.replaceChildren(...[...new Set(lights)].map((value) => h("option", { value })));
  }

  /**
   * Photos with how each was lit; in a light they share, the one with paper goes first and
   * serves them all.
   * @param {readonly File[]} files
   * @returns {Promise<[File[], Lit][]>} none if the dialog was closed
   */
  async of(files) {
    const light = this.#light.value.trim();
    if (this.#way.value !== "mark") return [[[...files], { white: this.#way.value, light }]];
    /** @type {[File[], Lit][]} */
    const lit = [];
    for (const [index, file] of files.entries()) {
      const marked = await showWhitePaper(file);
      if (!marked) return [];
      lit.push([[file], { ...marked, light }]);
      if (light && marked.white !== "auto") {
        const rest = files.filter((_, other) => other !== index);
        return [
          [[file], { ...marked, light }],
          [rest, { white: "auto", light }],
        ];
      }
    }
    return lit;
  }
}
