/** The block with an arrow on every seam: the side its allowance is pressed to. */

import { h, s } from "../../parts/dom.js";
import { workspace } from "../../plan/workspace.js";
import { blockPath } from "../../wall/quilt.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").CuttingTable} CuttingTable */

const SIDE = 36;
/** Length of an arrow and of its head. */
const LONG = 5;
const HEAD = 1.8;

/** @param {{x: number, y: number, dx: number, dy: number}} arrow */
function arrowPath({ x, y, dx, dy }) {
  const size = Math.hypot(dx, dy);
  const [u, v] = [dx / size, dy / size];
  const [px, py] = [(x - 0.5) * SIDE, (y - 0.5) * SIDE];
  const [ex, ey] = [px + (u * LONG) / 2, py + (v * LONG) / 2];
  const wing = (/** @type {number} */ side) =>
    `${ex - HEAD * (u + side * v)} ${ey - HEAD * (v - side * u)}`;
  return `M${px - (u * LONG) / 2} ${py - (v * LONG) / 2}L${ex} ${ey}M${wing(1)}L${ex} ${ey}L${wing(-1)}`;
}

/**
 * One drawing for each way the blocks are pressed.
 * @param {PlanView} view
 * @param {CuttingTable["arrows"]} ways
 */
export function arrowed(view, ways) {
  const block = workspace.blocks.find(({ name }) => name === view.plan.brief.block);
  return ways.map((arrows, way) => {
    const words = ways.length > 1 ? ["One block", "The next block"][way] : "Every block";
    const drawing = s(
      "svg",
      { viewBox: "-19 -19 38 38", role: "img", "aria-label": `${words} with arrows to press by` },
      s("path.plain", { d: "M-18-18h36v36h-36z" }),
      s("path", { d: block ? blockPath(block, "FS", SIDE) : "", class: "feature" }),
      s("path", { d: arrows.map(arrowPath).join(""), class: "halo" }),
      s("path", { d: arrows.map(arrowPath).join(""), class: "arrows" }),
    );
    return h("figure", drawing, h("figcaption", words));
  });
}
