/** Dialogs that open over the page. */

import { button, h } from "./dom.js";

/**
 * A dialog with its title and the way out.
 * @param {"photo-dialog" | "large"} kind
 * @param {string} title
 * @param {...import("./dom.js").Part} parts
 */
export function makeDialog(kind, title, ...parts) {
  /** @type {HTMLDialogElement} */
  const dialog = h(
    `dialog.${kind}`,
    { "aria-label": title },
    h(
      "header",
      h("h2", title),
      button("Close", () => dialog.close()),
    ),
    ...parts,
  );
  return dialog;
}

/**
 * One with a photo on it.
 * @param {string} title
 * @param {Node[]} photo
 * @param {Node[]} beside
 */
export function photoDialog(title, photo, beside) {
  const dialog = makeDialog(
    "photo-dialog",
    title,
    h("div.photo", ...photo),
    h("div.beside-photo", ...beside),
  );
  // In the steps room, so that what is said there of fields and buttons holds here as well.
  document.querySelector("fabrics-step")?.append(dialog);
  return dialog;
}

/**
 * A place in a photo as the server reads it: a point, or left, top, right and bottom.
 * @param {import("./photo-board.js").Spot} from
 * @param {import("./photo-board.js").Spot} to
 */
export const spotText = (from, to) =>
  (from === to ? from : [...from, ...to]).map((part) => part.toFixed(4)).join(",");
