/** Draws a plan as SVG in inches: patterns of the photos, blocks cut as the block is cut. */

import { keep, s, set } from "../parts/dom.js";
import { allSwatches } from "../plan/fabrics.js";
import { inches } from "../plan/lengths.js";
import { clothTile } from "./cloth-tiles.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").BlockOut} Block */
/** @typedef {import("../types/api.d.ts").CellOut} Cell */
/** @typedef {import("../types/api.d.ts").Swatch} Swatch */
/** @typedef {"cloth" | "flat" | "grey"} ViewName how the quilt is shown */

/** @param {Block} block @param {string} roles @param {number} side */
export function blockPath(block, roles, side) {
  return block.patches
    .filter((patch) => roles.includes(patch.role))
    .map(({ points }) => `M${points.map((p) => p.map((v) => (v - 0.5) * side)).join("L")}Z`)
    .join("");
}

/**
 * A fabric as a repeating fill: its colour at once, its cloth when that is ready. The middle of
 * a block shows the middle of the photo, as it is; every other repeat is mirrored, so that no
 * edge of the photo shows.
 * @param {string} id
 * @param {string} url of its picture
 * @param {number} shows inches of cloth across the photo
 * @param {string} colour
 */
function fabricPattern(id, url, shows, colour) {
  const backdrop = s("rect", { width: 2 * shows, height: 2 * shows, fill: colour });
  const place = { x: -shows / 2, y: -shows / 2, width: 2 * shows, height: 2 * shows };
  const props = { id, patternUnits: "userSpaceOnUse", ...place };
  const pattern = s("pattern", props, backdrop);
  if (!url) return pattern;
  clothTile(url).then(
    ({ href, ratio }) => {
      const [width, height] = [shows, shows * ratio];
      // A little larger all round, over the cloth's colour: no gap shows where repeats meet.
      const size = {
        href,
        x: -0.005 * width,
        y: -0.005 * height,
        width: 1.01 * width,
        height: 1.01 * height,
        preserveAspectRatio: "none",
      };
      const image = (/** @type {string} */ flip) => {
        const [across, down] = flip.split(" ").map((way) => (way === "1" ? 0 : 2));
        const transform = `translate(${across * width} ${down * height}) scale(${flip})`;
        return s("image", { ...size, transform });
      };
      set(pattern, { y: -height / 2, height: 2 * height });
      set(backdrop, { height: 2 * height });
      pattern.replaceChildren(backdrop, ...["1 1", "-1 1", "1 -1", "-1 -1"].map(image));
    },
    () => {},
  );
  return pattern;
}

/**
 * Left, top, width and height of the drawing: the quilt with its binding, in inches.
 * @param {PlanView} view
 */
export function frame(view) {
  const { width, height } = view.size;
  const least = Math.min(0, ...view.around.flatMap(({ points }) => points.flat()));
  return [least, least, width - 2 * least, height - 2 * least];
}

/** The quilt as one SVG element that can be repainted without being rebuilt. */
export class Quilt {
  /** Finished side of a block, in inches. */
  side = 1;
  svg = s("svg.quilt");
  /** @type {SVGGElement[]} One for each cell that takes a fabric, in the plan's order. */
  cells = [];
  /** Where each of them lies. @type {{x: number, y: number, angle: number}[]} */
  places = [];
  /** Drawn over everything else: rings, locks, the lifted block. */
  marks = s("g.marks", { "aria-hidden": true });
  /** Cloth of the fabrics, and the same as it lies under turned pieces. */
  #cloths = s("g");
  #lain = s("g");
  #shape = "";
  /** Every piece that is no block, in the plan's order. @type {SVGElement[]} */
  #around = [];
  /** Under everything, so that nothing shines through between two pieces. */
  #backdrop = s("rect");

  /**
   * Show a plan; returns whether the cells were made anew.
   * @param {PlanView} view
   * @param {Block} block
   * @param {ViewName} look
   * @param {string[]} fabrics fabric id a cell
   */
  show(view, block, look, fabrics) {
    const { cells, centre, plan } = view;
    const around = view.around.map(({ points }) => points);
    const { turned, turn } = plan.layout ?? {};
    const shape = JSON.stringify([cells, centre, around, block, turned, turn]);
    const anew = shape !== this.#shape;
    if (anew) this.#build(view, block);
    this.#shape = shape;
    this.#showCloths(
      view,
      new Set([
        ...fabrics,
        view.plan.brief.second_fabric,
        ...view.around.map(({ fabric }) => fabric),
      ]),
    );
    this.#paint(view, look, fabrics);
    return anew;
  }

  /** The outline of a cell, to be drawn over it. @param {number} index */
  outline(index) {
    const cell = this.cells[index];
    const { side } = this;
    return s("rect", {
      x: -side / 2,
      y: -side / 2,
      width: side,
      height: side,
      transform: cell?.getAttribute("transform"),
    });
  }

  /** @param {PlanView} view @param {Block} block */
  #build(view, block) {
    const { side, turn, ...centre } = view.centre;
    this.side = side;
    const turned = new Set(view.plan.layout?.turned ?? []);
    const by = view.plan.layout?.turn ?? 0;
    const square = `M${-side / 2} ${-side / 2}h${side}v${side}h${-side}z`;
    const [feature, second] = ["F", "S"].map((role) => blockPath(block, role, side));
    const [x, y, width, height] = frame(view);
    set(this.#backdrop, { x, y, width, height });
    this.#around = view.around.map(({ points }) =>
      s("path", { d: `M${points.join("L")}Z`, class: "seam" }),
    );
    const cloth = s("g", this.#backdrop, ...this.#around);
    this.cells = [];
    this.places = [];
    for (const cell of view.cells.filter(({ plain }) => !plain)) {
      const index = this.cells.length;
      const angle = turn + (turned.has(index) ? by : 0);
      const place = { x: centre.x + cell.x, y: centre.y + cell.y, angle };
      const where = `translate(${place.x} ${place.y}) rotate(${angle})`;
      const paths = [square, second, feature].map((d) => s("path.seam", { d }));
      const group = s("g", { transform: where, "data-cell": String(index) }, ...paths);
      this.cells.push(group);
      this.places.push(place);
      cloth.append(group);
    }
    this.svg.setAttribute("viewBox", [x, y, width, height].join(" "));
    this.svg.replaceChildren(s("defs", this.#cloths, this.#lain), cloth, this.marks);
  }

  /**
   * Keep one pattern a fabric; cloth is fetched for those that show.
   * @param {PlanView} view
   * @param {Set<string>} shown ids
   */
  #showCloths(view, shown) {
    const cloths = allSwatches(view).map(({ fabric: { id }, shows }) => {
      const seen = shown.has(id) || id === view.plan.background;
      return { id, shows, url: (seen && view.pictures[id]) || "" };
    });
    keep(
      this.#cloths,
      cloths,
      ({ id, shows, url }) => `${id} ${url} ${shows}`,
      ({ id, shows, url }) => {
        const colour = view.colours[id] ?? "none";
        return fabricPattern(`cloth-${id}`, url, inches(shows), colour);
      },
    );
  }

  /**
   * Cloth as it lies under a piece.
   * @param {string} id
   * @param {number} grain degrees it is turned
   */
  #lying(id, grain) {
    if (!grain) return `url(#cloth-${id})`;
    const name = `lying-${grain}-${id}`;
    if (!this.#lain.querySelector(`#${CSS.escape(name)}`)) {
      const patternTransform = `rotate(${grain})`;
      this.#lain.append(s("pattern", { id: name, href: `#cloth-${id}`, patternTransform }));
    }
    return `url(#${name})`;
  }

  /** @param {PlanView} view @param {ViewName} look @param {string[]} fabrics */
  #paint(view, look, fabrics) {
    const lightness = new Map(
      allSwatches(view).map(({ fabric }) => [fabric.id, fabric.reads_as.lightness]),
    );
    const fill = (/** @type {string | undefined} */ id, grain = 0) => {
      if (!id || !lightness.has(id)) return "none";
      if (look === "cloth") return this.#lying(id, grain);
      return look === "flat" ? (view.colours[id] ?? "none") : `lab(${lightness.get(id)}% 0 0)`;
    };
    const { background, brief } = view.plan;
    const bare = (/** @type {string} */ paint) => (paint === "none" ? "var(--chalk)" : paint);
    const backdrop = bare(fill(background));
    // Only what changes is set: everything else need not be painted again.
    set(this.#backdrop, { fill: backdrop });
    this.#around.forEach((path, index) => {
      const piece = view.around[index];
      set(path, { fill: bare(fill(piece?.fabric, piece?.grain)) });
    });
    this.cells.forEach((cell, index) => {
      const paint = fill(fabrics[index]);
      const second = paint === "none" ? paint : fill(brief.second_fabric || fabrics[index]);
      for (const [part, colour] of [backdrop, second, paint].entries())
        set(cell.children[part], { fill: colour });
      cell.classList.toggle("empty", paint === "none");
    });
  }
}
