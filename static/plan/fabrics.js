/** What is read off a plan: its fabrics, one by its id, in order, by name; how it is sewn. */

import { workspace } from "./workspace.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */

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

/** How it is cut and sewn, which the server always says. @param {PlanView} view */
export const sewingOf = (view) =>
  /** @type {import("../types/api.d.ts").Sewing} */ (view.plan.brief.sewing);
