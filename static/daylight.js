/** How photos were lit: where white paper lies in them, and which light they share. */

import { Board } from "./board.js";
import { h } from "./dom.js";
import { place, screen } from "./screen.js";
import { field } from "./step.js";

/** @typedef {import("./photos.js").Lit} Lit */
/** @typedef {import("./types.d.ts").PlanView} PlanView */

const WAYS = {
  auto: "Found by itself",
  mark: "I will show where it lies",
  none: "None; leave the colours as they are",
};

/** The screen on which the white paper is shown. */
class PaperScreen {
  #board = new Board();
  /** @type {(lit: Lit | null) => void} */
  #done = () => {};
  element = screen(
    "Show the white paper",
    [
      this.#board.element,
      h(
        "p",
        { class: "quiet" },
        "Tap the white paper, or drag a box on it. By keys: arrows move the cross, Enter sets it.",
      ),
      h(
        "button",
        { type: "button", onclick: () => this.#finish({ white: "auto" }) },
        "There is none in this photo",
      ),
    ],
    [],
  );

  constructor() {
    // The event comes late: by then the screen may be open again for the next photo.
    this.element.addEventListener("close", () => this.element.open || this.#done(null));
  }

  /** @param {File} file @returns {Promise<Lit | null>} null if the screen was closed */
  async ask(file) {
    const url = URL.createObjectURL(file);
    this.#board.photo(url, file.name);
    this.element.showModal();
    this.#board.aim("Where the white paper lies", (from, to) =>
      this.#finish({ white: place(from, to) }),
    );
    const lit = await new Promise((done) => {
      this.#done = done;
    });
    this.#board.calm();
    URL.revokeObjectURL(url);
    return lit;
  }

  /** @param {Lit} lit */
  #finish(lit) {
    this.#done(lit);
    this.element.close();
  }
}

/** What is told of the light before photos are chosen. */
export class Daylight {
  #way = h(
    "select",
    {},
    ...Object.entries(WAYS).map(([value, words]) => h("option", { value }, words)),
  );
  #known = h("datalist", { id: "lights" });
  #light = h("input", { maxlength: 60, list: "lights", placeholder: "kitchen window" });
  screen = new PaperScreen();
  element = h(
    "div",
    { class: "fields" },
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
   * @returns {Promise<[File[], Lit][]>} none if the screen was closed
   */
  async of(files) {
    const light = this.#light.value.trim();
    if (this.#way.value !== "mark") return [[[...files], { white: this.#way.value, light }]];
    /** @type {[File[], Lit][]} */
    const lit = [];
    for (const [index, file] of files.entries()) {
      const marked = await this.screen.ask(file);
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
