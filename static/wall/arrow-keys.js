/** Where an arrow key leads on the quilt. */

/** @typedef {import("../types/api.d.ts").CellOut} Cell */

/**
 * Left and right stay in the row; up and down go to the nearest row, keeping near the
 * column (on point they zigzag, so that every block can be reached).
 * @param {readonly Cell[]} cells
 * @param {number} from
 * @param {string} key
 * @returns {number} the cell it leads to; the same one at an edge
 */
export function cellTowards(cells, from, key) {
  const here = cells[from];
  const row = (/** @type {Cell} */ cell) => cell.row === here.row;
  const reach = {
    ArrowRight: (/** @type {Cell} */ c) => row(c) && c.column > here.column,
    ArrowLeft: (/** @type {Cell} */ c) => row(c) && c.column < here.column,
    ArrowDown: (/** @type {Cell} */ c) => c.row > here.row,
    ArrowUp: (/** @type {Cell} */ c) => c.row < here.row,
    Home: row,
    End: row,
  }[key];
  if (!reach) return from;
  const away = (/** @type {Cell} */ cell) => {
    if (key === "Home") return cell.column;
    if (key === "End") return -cell.column;
    const sideways = cell.column - here.column - (here.row % 2 ? -0.1 : 0.1);
    return Math.abs(cell.row - here.row) * 1000 + Math.abs(sideways);
  };
  let best = -1;
  cells.forEach((cell, index) => {
    if (!reach(cell)) return;
    if (best < 0 || away(cell) < away(cells[best])) best = index;
  });
  return best < 0 ? from : best;
}
