/** Showing where white paper lies in a photo. */

import { Board } from "./board.js";
import { h } from "./dom.js";
import { photoScreen, spotText } from "./screen.js";

/** @typedef {import("./photos.js").Lit} Lit */

/** The screen on which the white paper is shown. */
class PaperScreen {
  #board = new Board();
  /** @type {(lit: Lit | null) => void} */
  #done = () => {};
  element = photoScreen(
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
        { onclick: () => this.#finish({ white: "auto" }) },
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
      this.#finish({ white: spotText(from, to) }),
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

/** @type {PaperScreen | undefined} Made when it is first wanted. */
let paperScreen;

/**
 * Have the white paper shown in a photo.
 * @param {File} file
 * @returns {Promise<Lit | null>} null if the screen was closed
 */
export function showPaper(file) {
  paperScreen ??= new PaperScreen();
  return paperScreen.ask(file);
}
