/** The fabrics of a plan: all of them, one by its id, in order, by name. */

import { workspace } from "./workspace.js";

/** @typedef {import("../types/types.d.ts").PlanView} PlanView */

/** @param {PlanView} view */
export const allSwatches = (view) => [...view.plan.brief.swatches, ...view.plan.brief.backgrounds];

/** @param {PlanView} view @param {string} id */
export const swatchOf = (view, id) => allSwatches(view).find(({ fabric }) => fabric.id === id);

/** Fabrics from light to dark. @param {PlanView} view @param {readonly string[]} ids */
export function fromLight(view, ids) {
  const light = (/** @type {string} */ id) => swatchOf(view, id)?.fabric.reads_as.lightness ?? 0;
  return ids.toSorted((a, b) => light(b) - light(a));
}

/** @param {string} id */
export function nameOf(id) {
  return (workspace.view && swatchOf(workspace.view, id)?.fabric.name) || id;
}
