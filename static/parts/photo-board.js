/** A photo that can be pointed at: outlines on it, corners to move, places to show. */

import { h, s, set } from "./dom.js";

/** @typedef {[number, number]} Spot parts of the photo's width and height */

/** Pixels on the screen that an arrow key moves by with Shift; without it moves by one. */
const STRIDE = 10;
/** How many times larger the lens shows what lies under a corner. */
const LENS = 4;
/** Pixels a pointer may tremble within a tap. */
const TREMBLE = 5;
/** Milliseconds after the last arrow key until a corner counts as placed. */
const REST = 350;

/** @type {Record<string, Spot>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const CORNERS = ["Top left", "Top right", "Bottom right", "Bottom left"];

/** @param {number} part */
const clamp = (part) => Math.min(1, Math.max(0, part));

/** @param {Spot} one @param {Spot} other @returns {[Spot, Spot]} upper left and lower right */
const spanned = (one, other) => [
  [Math.min(one[0], other[0]), Math.min(one[1], other[1])],
  [Math.max(one[0], other[0]), Math.max(one[1], other[1])],
];

export class Board {
  #image = h("img", { alt: "", draggable: "false", onload: () => this.#draw() });
  #drawing = s("svg", { "aria-hidden": true });
  #lens = h("div.lens", { hidden: true, "aria-hidden": true }, h("i"), h("i"));
  element = h("div.board", this.#image, this.#drawing, this.#lens);
  /** @type {Spot[][]} */
  #outlines = [];
  /** @type {Spot[]} */
  #corners = [];
  /** @type {HTMLElement[]} */
  #handles = [];
  #chosen = -1;
  /** The corner that was tapped and goes where the photo is tapped next. */
  #lifted = -1;
  /** @type {((from: Spot, to: Spot) => void) | null} */
  #aim = null;
  #does;

  /**
   * @param {object} does
   * @param {(piece: number) => void} [does.pick] an outline was tapped
   * @param {(corner: number, to: Spot) => void} [does.move] a corner was placed
   */
  constructor(does = {}) {
    this.#does = does;
    this.#listen();
  }

  /** @param {string} src @param {string} alt */
  photo(src, alt) {
    set(this.#image, { src, alt });
  }

  /**
   * Show outlines, and handles on the corners of one thing.
   * @param {Spot[][]} outlines
   * @param {number} chosen the outline that is chosen; -1 for none
   * @param {Spot[]} corners where handles are wanted
   * @param {string} name what they are the corners of
   */
  show(outlines, chosen, corners, name) {
    this.calm();
    this.#outlines = outlines;
    this.#chosen = chosen;
    this.#corners = corners.map(([x, y]) => [x, y]);
    const labels = corners.map((_, corner) => `${CORNERS[corner]} corner of ${name}`);
    this.#setHandles(labels, (corner, to) => this.#does.move?.(corner, to));
    this.#draw();
  }

  /**
   * Have a place shown: by tap, by dragging a box, or by keys and Enter.
   * @param {string} label of the cross that keys move
   * @param {(from: Spot, to: Spot) => void} shown both the same for a tap
   */
  aim(label, shown) {
    this.#corners = [[0.5, 0.5]];
    this.#setHandles([label], () => {});
    this.#aim = (from, to) => {
      this.calm();
      shown(from, to);
    };
    this.element.classList.add("aiming");
    this.#handles[0].focus();
    this.#draw();
  }

  /** Nothing is to be shown any more. */
  calm() {
    if (!this.#aim) return;
    this.#aim = null;
    this.#corners = [];
    this.#setHandles([], () => {});
    this.element.classList.remove("aiming");
    this.#draw();
  }

  /** @param {PointerEvent | MouseEvent} event @returns {Spot} */
  #at({ clientX, clientY }) {
    const { left, top, width, height } = this.#image.getBoundingClientRect();
    return [clamp((clientX - left) / width), clamp((clientY - top) / height)];
  }

  /** Taps and boxes on the photo itself. */
  #listen() {
    /** @type {PointerEvent | null} */
    let start = null;
    const over = (/** @type {PointerEvent} */ event) =>
      start && Math.hypot(event.clientX - start.clientX, event.clientY - start.clientY) > TREMBLE;
    set(this.#drawing, {
      onpointerdown: (event) => {
        start = event;
      },
      onpointermove: (event) => {
        if (start && this.#aim && over(event))
          this.#draw(spanned(this.#at(start), this.#at(event)));
      },
      onpointercancel: () => {
        start = null;
      },
      onpointerup: (event) => {
        if (!start) return;
        const [from, to] = spanned(this.#at(start), this.#at(event));
        const dragged = over(event);
        start = null;
        if (this.#aim) this.#aim(dragged ? from : to, to);
        else if (this.#lifted >= 0) this.#place(this.#lifted, to);
        else if (!dragged) this.#pick(event);
      },
    });
  }

  /** @param {PointerEvent} event */
  #pick({ target }) {
    const piece = /** @type {SVGElement} */ (target).dataset.piece;
    this.#does.pick?.(piece === undefined ? -1 : Number(piece));
  }

  /** @param {number} corner @param {Spot} to */
  #place(corner, to) {
    this.#lift(-1);
    this.#lens.hidden = true;
    this.#corners[corner] = to;
    this.#draw();
    this.#does.move?.(corner, to);
  }

  /** @param {number} corner */
  #lift(corner) {
    this.#lifted = corner;
    this.#handles.forEach((handle, index) => {
      set(handle, { "aria-pressed": index === corner });
    });
  }

  /** @param {string[]} labels @param {(corner: number, to: Spot) => void} placed */
  #setHandles(labels, placed) {
    this.#lifted = -1;
    const same = labels.length === this.#handles.length && !this.#aim;
    if (!same) {
      for (const handle of this.#handles) handle.remove();
      this.#handles = labels.map((_, corner) => this.#handle(corner, placed));
      this.element.append(...this.#handles);
    }
    this.#handles.forEach((handle, corner) => {
      set(handle, { "aria-label": labels[corner] });
    });
  }

  /** @param {number} corner @param {(corner: number, to: Spot) => void} placed */
  #handle(corner, placed) {
    const handle = h("button.handle");
    let rest = 0;
    let moved = false;
    set(handle, {
      onpointerdown: (event) => {
        handle.setPointerCapture(event.pointerId);
        moved = false;
      },
      onpointermove: (event) => {
        if (!handle.hasPointerCapture(event.pointerId)) return;
        const to = this.#at(event);
        const { width, height } = this.#image.getBoundingClientRect();
        const [x, y] = this.#corners[corner];
        moved ||= Math.hypot((to[0] - x) * width, (to[1] - y) * height) > TREMBLE;
        if (moved) this.#shift(corner, to);
      },
      onpointerup: () => {
        this.#lens.hidden = true;
        if (moved && !this.#aim) placed(corner, this.#corners[corner]);
      },
      onfocus: () => this.#magnify(corner),
      onblur: () => {
        this.#lens.hidden = true;
      },
      onclick: (event) => {
        if (this.#aim) this.#aim(this.#corners[corner], this.#corners[corner]);
        else if (this.#lifted === corner) this.#place(corner, this.#at(event));
        else if (event.detail && !moved) this.#lift(corner);
      },
      onkeydown: (event) => {
        const way = ARROWS[event.key];
        if (!way) return;
        event.preventDefault();
        const step = event.shiftKey ? STRIDE : 1;
        const { width, height } = this.#image.getBoundingClientRect();
        const [x, y] = this.#corners[corner];
        this.#shift(corner, [
          clamp(x + (step * way[0]) / width),
          clamp(y + (step * way[1]) / height),
        ]);
        clearTimeout(rest);
        rest = setTimeout(() => placed(corner, this.#corners[corner]), REST);
      },
    });
    return handle;
  }

  /** @param {number} corner @param {Spot} to */
  #shift(corner, to) {
    this.#corners[corner] = to;
    this.#draw();
    this.#magnify(corner);
  }

  /** Show what lies under a corner, larger, on the other side of the photo. @param {number} corner */
  #magnify(corner) {
    const { width, height } = this.#image.getBoundingClientRect();
    const spot = this.#corners[corner];
    if (!spot) return;
    this.#lens.hidden = false;
    this.#lens.classList.toggle("right", spot[0] < 0.5);
    this.#lens.classList.toggle("lower", spot[1] < 0.5);
    const middle = this.#lens.clientWidth / 2;
    const { style } = this.#lens;
    style.backgroundImage = `url("${this.#image.src}")`;
    style.backgroundSize = `${LENS * width}px ${LENS * height}px`;
    style.backgroundPosition = `${middle - LENS * width * spot[0]}px ${middle - LENS * height * spot[1]}px`;
  }

  /** @param {[Spot, Spot]} [marked] a box that is being dragged */
  #draw(marked) {
    const { naturalWidth: width, naturalHeight: height } = this.#image;
    if (!width) return;
    this.#drawing.setAttribute("viewBox", `0 0 ${width} ${height}`);
    const outline = (/** @type {readonly Spot[]} */ spots, /** @type {string} */ kind) =>
      s("polygon", {
        class: kind,
        points: spots.map(([x, y]) => `${x * width},${y * height}`).join(" "),
      });
    const shapes = this.#outlines.flatMap((spots, piece) => {
      const chosen = piece === this.#chosen;
      const body = outline(chosen ? this.#corners : spots, chosen ? "piece chosen" : "piece");
      body.dataset.piece = String(piece);
      return [outline(chosen ? this.#corners : spots, "under"), body];
    });
    if (this.#chosen < 0 && this.#corners.length > 1) shapes.push(outline(this.#corners, "whole"));
    if (marked) {
      const [[left, top], [right, bottom]] = marked;
      shapes.push(
        outline(
          [
            [left, top],
            [right, top],
            [right, bottom],
            [left, bottom],
          ],
          "whole",
        ),
      );
    }
    this.#drawing.replaceChildren(...shapes);
    this.#corners.forEach(([x, y], corner) => {
      const { style } = this.#handles[corner];
      style.left = `${100 * x}%`;
      style.top = `${100 * y}%`;
    });
  }
}
