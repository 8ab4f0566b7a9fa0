/** Showing where white paper lies in a photo. */

import { photoDialog, spotText } from "../../parts/dialogs.js";
import { button, h } from "../../parts/dom.js";
import { Board } from "../../parts/photo-board.js";

/** @typedef {import("../../parts/photos.js").Lit} Lit */

/**
 * Have the white paper shown in a photo.
 * @param {File} file
 * @returns {Promise<Lit | null>} null if the dialog was closed
 */
export function showWhitePaper(file) {
  const board = new Board();
  const url = URL.createObjectURL(file);
  return new Promise((done) => {
    const finish = (/** @type {string} */ white) => {
      done({ white });
      dialog.close();
    };
    const dialog = photoDialog(
      "Show the white paper",
      [
        board.element,
        h(
          "p.quiet",
          "Tap the white paper, or drag a box on it. By keys: arrows move the cross, Enter sets it.",
        ),
        button("There is none in this photo", () => finish("auto")),
      ],
      [],
    );
    dialog.addEventListener("close", () => {
      done(null);
      dialog.remove();
      URL.revokeObjectURL(url);
    });
    board.photo(url, file.name);
    dialog.showModal();
    board.aim("Where the white paper lies", (from, to) => finish(spotText(from, to)));
  });
}
