/** Shows quilt and fabrics as colour-blind eyes see them, and says what merges for them. */

import { s, say } from "../parts/dom.js";
import { workspace } from "../plan/workspace.js";

/** @typedef {import("../types/api.d.ts").Eyes} Eyes */

/**
 * What such eyes make of linear light: Machado, Oliveira, Fernandes 2009, severity 1. The
 * browser works it out on the cloth itself.
 * @type {Record<Eyes, number[][]>}
 */
const MATRICES = {
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

/** @param {[string, number[][]]} entry */
function filter([eyes, rows]) {
  const values = [...rows.map((row) => [...row, 0, 0]), [0, 0, 0, 1, 0]].flat().join(" ");
  return s(
    "filter",
    { id: `eyes-${eyes}`, x: 0, y: 0, width: 1, height: 1 },
    s("feColorMatrix", { values, "color-interpolation-filters": "linearRGB" }),
  );
}

/**
 * Let a list choose the eyes, and say what merges for them.
 * @param {HTMLSelectElement} select
 * @param {Element} note
 */
export function offerEyes(select, note) {
  const filters = Object.entries(MATRICES).map(filter);
  document.body.append(s("svg.hidden", { "aria-hidden": "true" }, s("defs", ...filters)));
  const show = () => {
    const eyes = /** @type {Eyes | ""} */ (select.value);
    document.body.dataset.eyes = eyes;
    say(note, (eyes && workspace.view?.words.eyes[eyes]) || "");
  };
  select.addEventListener("change", show);
  workspace.on("plan", show);
}
