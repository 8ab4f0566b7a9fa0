/** A screen that opens over the page, with a photo on it. */

import { h } from "./dom.js";

/**
 * @param {string} title
 * @param {Node[]} photo
 * @param {Node[]} beside
 */
export function photoScreen(title, photo, beside) {
  const close = () => dialog.close();
  /** @type {HTMLDialogElement} */
  const dialog = h(
    "dialog",
    { class: "screen", "aria-label": title },
    h("header", {}, h("h2", {}, title), h("button", { onclick: close }, "Close")),
    h("div", { class: "photo" }, ...photo),
    h("div", { class: "beside-photo" }, ...beside),
  );
  // In the steps room, so that what is said there of fields and buttons holds here as well.
  document.querySelector("fabrics-step")?.append(dialog);
  return dialog;
}

/**
 * A place in a photo as the server reads it: a point, or left, top, right and bottom.
 * @param {import("./board.js").Spot} from
 * @param {import("./board.js").Spot} to
 */
export const spotText = (from, to) =>
  (from === to ? from : [...from, ...to]).map((part) => part.toFixed(4)).join(",");
