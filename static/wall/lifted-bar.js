/** The line below the quilt: the lifted block, what the server is busy with, what to do. */

import { button, h, keep, say } from "../parts/dom.js";
import { picture } from "../parts/swatch.js";
import { workspace } from "../plan/workspace.js";

/**
 * @typedef {object} Held
 * @property {number | null} held the lifted cell
 * @property {boolean} locked whether it is locked
 * @property {string} fabric id of the fabric lifted or pointed at
 * @property {string} words what it is and where it lies; empty without one
 */

/** What can be done when nothing is. */
function hint() {
  if (!workspace.view) return "One moment: the quilt is being laid out.";
  if (workspace.view.plan.layout) return "Tap a block, then tap where it should go.";
  return workspace.view.plan.brief.swatches.length
    ? "Laid out as they came; they are arranged in the step Layout."
    : "Your quilt will show here.";
}

const workLine = () =>
  h(
    "div.line",
    h("progress", { max: 1, "aria-label": "Arranging" }),
    h("span.words"),
    button("Stop", () => workspace.stop()),
  );

/** @param {HTMLElement} line @param {{share: number, words: string}} work */
function updateWork(line, { share, words }) {
  const [bar, text] = line.children;
  /** @type {HTMLProgressElement} */ (bar).value = share;
  if (text) say(text, words);
}

export class LiftedBar {
  element = h("div.lifted-bar");
  #does;

  /** @param {{lock: (cell: number) => void, putBack: () => void}} does */
  constructor(does) {
    this.#does = does;
  }

  /** @param {Held} state */
  show(state) {
    const { work } = workspace;
    const { held, locked, words } = state;
    keep(
      this.element,
      [work ? "work" : held === null ? "hint" : `${held} ${locked}`],
      (key) => key,
      () => (work ? workLine() : held === null ? h("p") : this.#heldLine(held, state)),
      (line) => {
        if (work) updateWork(line, work);
        else if (held === null) say(line, words || hint());
      },
    );
  }

  /** @param {number} held @param {Held} state */
  #heldLine(held, { locked, fabric, words }) {
    const turn = () => this.#does.lock(held);
    return h(
      "div.line",
      picture(fabric),
      h("span.words", words),
      button(locked ? "Unlock" : "Lock", turn),
      button("Put back", this.#does.putBack),
    );
  }
}
