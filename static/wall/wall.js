/** The design wall: the quilt in view, and moving its blocks by tap, by drag or by keyboard. */

import { h, s, say, set } from "../parts/dom.js";
import { attempt, errorPlace } from "../parts/errors.js";
import { nameOf } from "../plan/fabrics.js";
import { workspace } from "../plan/workspace.js";
import { cellTowards } from "./arrow-keys.js";
import { LiftedBar } from "./lifted-bar.js";
import { frame, Quilt } from "./quilt.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("./quilt.js").ViewName} ViewName */

const DRAG_FROM = 6;

/**
 * Which fabric lies where: the layout or, before there is one, the fabrics in the order they came.
 * @param {PlanView} view
 */
function laid(view) {
  const { layout, choice, brief } = view.plan;
  if (layout) return layout.fabrics;
  const order = choice?.kept.length ? choice.kept : brief.swatches.map(({ fabric }) => fabric.id);
  return view.cells.filter((cell) => !cell.plain).map((_, i) => order[i % order.length] ?? "");
}

/**
 * A small padlock.
 * @param {{x: number, y: number}} at
 * @param {number} side of the block it lies on
 */
function lock({ x, y }, side) {
  const r = side / 9;
  const bow = `M${-r * 0.6} 0v${-r * 0.5}a${r * 0.6} ${r * 0.6} 0 0 1 ${r * 1.2} 0v${r * 0.5}`;
  return s(
    "g.lock",
    { transform: `translate(${x} ${y})` },
    s("circle", { r: r * 2 }),
    s("path", { d: bow }),
    s("rect", { x: -r, y: -r * 0.1, width: r * 2, height: r * 1.3, rx: r * 0.2 }),
  );
}

export class QuiltWall extends HTMLElement {
  #quilt = new Quilt();
  #frame = h("div.frame");
  #room = h("div.room", this.#frame);
  #liftedBar = new LiftedBar({
    lock: (cell) => this.#turnLock(cell),
    putBack: () => this.#putBack(),
  });
  #errors = errorPlace();
  #heard = h("p.hidden", { role: "status" });
  /** @type {ViewName} */
  #look = "cloth";
  /** @type {string[]} */
  #fabrics = [];
  /** @type {number | null} */
  #lifted = null;
  #focus = 0;
  /** @type {number | null} */
  #pointed = null;
  /** @type {{cell: number, x: number, y: number, moving: boolean} | null} */
  #drag = null;
  #dropped = false;
  /** @type {readonly number[]} Cells that a step beside the wall points at. */
  #shown = [];
  /** @type {readonly (readonly [number, number])[]} Pairs of cells it joins by a line. */
  #pairs = [];
  /** Background on trial; '' shows the plan's. */
  #trial = "";

  connectedCallback() {
    set(this.#quilt.svg, { role: "group", "aria-labelledby": "quilt-label" });
    this.#frame.append(this.#quilt.svg);
    const label = h("p.hidden", { id: "quilt-label" });
    this.append(label, this.#room, this.#liftedBar.element, this.#errors, this.#heard);
    this.#listen();
    this.#showLiftedBar();
    for (const name of ["plan", "swap"]) workspace.on(name, () => this.#show());
    workspace.on("work", () => this.#showLiftedBar());
  }

  /** @param {ViewName} look */
  set look(look) {
    this.#look = look;
    this.#show();
  }

  /** @param {boolean} close */
  set close(close) {
    this.#room.classList.toggle("close", close);
  }

  /** Ring some cells, as a step beside the wall asks. @param {readonly number[]} cells */
  set shown(cells) {
    this.#shown = cells;
    this.#mark();
  }

  /** Join pairs of cells. @param {readonly (readonly [number, number])[]} pairs */
  set pairs(pairs) {
    this.#pairs = pairs;
    this.#mark();
  }

  /** Show the quilt on another background, saving nothing. @param {string} id '' for the plan's */
  set trial(id) {
    if (id === this.#trial) return;
    this.#trial = id;
    this.#show();
  }

  get #cells() {
    return (workspace.view?.cells ?? []).filter((cell) => !cell.plain);
  }

  get #pinned() {
    return workspace.view?.plan.layout?.pinned ?? [];
  }

  /** @param {number} cell */
  #name(cell) {
    return nameOf(this.#fabrics[cell]) || "plain";
  }

  /** @param {number} cell */
  #place(cell) {
    const { row, column } = this.#cells[cell];
    return `row ${row + 1}, place ${column + 1}`;
  }

  /** The plan, on the background that is being tried. */
  get #view() {
    const view = workspace.view;
    const [tried, now] = [this.#trial, view?.plan.background];
    if (!view || !tried) return view;
    const around = view.around.map((piece) =>
      piece.fabric === now ? { ...piece, fabric: tried } : piece,
    );
    return { ...view, around, plan: { ...view.plan, background: tried } };
  }

  #show() {
    const view = this.#view;
    if (!view) return;
    const held = this.#lifted === null ? "" : this.#fabrics[this.#lifted];
    this.#fabrics = laid(view);
    // What is in hand lies elsewhere now.
    if (this.#lifted !== null && this.#fabrics[this.#lifted] !== held) this.#lifted = null;
    const [, , width, height] = frame(view);
    this.#frame.style.setProperty("--ratio", String(width / height));
    const focused = this.#quilt.svg.contains(document.activeElement);
    if (this.#quilt.show(view, view.block, this.#look, this.#fabrics)) {
      this.#lifted = null;
      this.#focus = Math.min(this.#focus, Math.max(0, this.#quilt.cells.length - 1));
      if (focused) this.#quilt.cells[this.#focus]?.focus();
    }
    if (!view.plan.layout) this.#lifted = null;
    this.#label(view);
    this.#mark();
    this.#showLiftedBar();
  }

  /** @param {PlanView} view */
  #label(view) {
    const movable = Boolean(view.plan.layout);
    const label = /** @type {HTMLElement} */ (this.firstElementChild);
    const keys = movable
      ? " Arrow keys go from block to block, Enter lifts and places, Escape puts back, L locks."
      : "";
    say(label, `The quilt, ${view.size.words}.${keys}`);
    this.classList.toggle("sketch", !movable);
    this.#quilt.cells.forEach((cell, index) => {
      const locked = this.#pinned.includes(index) ? ", locked" : "";
      set(cell, {
        role: movable ? "button" : "img",
        tabindex: index === this.#focus && movable ? 0 : -1,
        "aria-label": `${this.#name(index)}, ${this.#place(index)}${locked}`,
        "aria-pressed": movable ? String(index === this.#lifted) : null,
      });
    });
  }

  /** Draw rings, locks and the lifted block over the quilt. */
  #mark() {
    const { marks, cells } = this.#quilt;
    const outline = (/** @type {number} */ cell, /** @type {string} */ name) => {
      const rect = this.#quilt.outline(cell);
      rect.setAttribute("class", name);
      return rect;
    };
    marks.replaceChildren(
      ...this.#pairs.filter((pair) => pair.every((cell) => cells[cell])).map((p) => this.#join(p)),
      ...this.#pinned
        .filter((cell) => cells[cell])
        .map((cell) => lock(this.#quilt.places[cell], this.#quilt.side)),
      ...this.#shown
        .filter((cell) => cells[cell])
        .flatMap((cell) => [outline(cell, "ring halo"), outline(cell, "ring shown")]),
    );
    const target = this.#pointed ?? this.#focus;
    if (this.#lifted !== null && target !== this.#lifted && cells[target]) {
      marks.append(outline(target, "ring halo"), outline(target, "ring target"));
    }
    if (this.#quilt.svg.contains(document.activeElement) && cells[this.#focus]) {
      marks.append(outline(this.#focus, "ring focus under"), outline(this.#focus, "ring focus"));
    }
    cells.forEach((cell, index) => {
      cell.classList.toggle("lifted", index === this.#lifted);
    });
    if (this.#lifted !== null) marks.append(this.#ghost(this.#lifted));
  }

  /** A line from block to block, with a dot in the middle of each. @param {readonly number[]} pair */
  #join(pair) {
    const [a, b] = pair.map((cell) => this.#quilt.places[cell]);
    const r = this.#quilt.side / 10;
    const dot = `a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
    const d = `M${a.x - r} ${a.y}${dot}M${b.x - r} ${b.y}${dot}M${a.x} ${a.y}L${b.x} ${b.y}`;
    return s("g.link", s("path.under", { d }), s("path", { d }));
  }

  /** The lifted block, a little larger, above everything. @param {number} cell */
  #ghost(cell) {
    const copy = /** @type {SVGGElement} */ (this.#quilt.cells[cell].cloneNode(true));
    for (const name of ["tabindex", "role", "aria-label", "aria-pressed", "data-cell"]) {
      copy.removeAttribute(name);
    }
    copy.setAttribute("class", "ghost");
    const place = this.#quilt.places[cell];
    const { x, y } = this.#drag?.moving ? this.#drag : place;
    copy.setAttribute("transform", `translate(${x} ${y}) rotate(${place.angle}) scale(1.14)`);
    return copy;
  }

  #showLiftedBar() {
    const held = this.#lifted;
    const cell = held ?? this.#pointed;
    this.#liftedBar.show({
      held,
      locked: held !== null && this.#pinned.includes(held),
      fabric: cell === null ? "" : this.#fabrics[cell],
      words: cell === null ? "" : `${this.#name(cell)}, ${this.#place(cell)}`,
    });
  }

  #listen() {
    set(this.#quilt.svg, {
      onclick: (event) => this.#tap(event),
      onkeydown: (event) => this.#key(event),
      onfocusin: ({ target }) => {
        const cell = this.#cellAt(target);
        if (cell !== null) this.#moveTo(cell);
      },
      onfocusout: () => requestAnimationFrame(() => this.#mark()),
      onpointerdown: (event) => this.#grip(event),
      onpointermove: (event) => this.#pull(event),
      onpointerup: (event) => this.#release(event),
      onpointercancel: () => this.#putBack(),
      onpointerleave: () => this.#point(null),
    });
  }

  /** @param {EventTarget | null} target */
  #cellAt(target) {
    const group = target instanceof Element ? target.closest("[data-cell]") : null;
    return group && workspace.view?.plan.layout ? Number(group.getAttribute("data-cell")) : null;
  }

  /** @param {number | null} cell */
  #point(cell) {
    if (cell === this.#pointed) return;
    this.#pointed = cell;
    if (this.#lifted !== null) this.#mark();
    this.#showLiftedBar();
  }

  /** @param {number} cell */
  #moveTo(cell) {
    this.#quilt.cells[this.#focus]?.setAttribute("tabindex", "-1");
    this.#quilt.cells[cell]?.setAttribute("tabindex", "0");
    this.#focus = cell;
    this.#mark();
  }

  /** @param {Event} event */
  #tap(event) {
    const cell = this.#cellAt(event.target);
    if (this.#dropped || cell === null) {
      this.#dropped = false;
      return;
    }
    this.#use(cell);
  }

  /** Lift, place or put back, as the cell and what is lifted say. @param {number} cell */
  #use(cell) {
    if (this.#lifted === null) this.#lift(cell);
    else if (this.#lifted === cell) this.#putBack();
    else this.#swap(this.#lifted, cell);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const next = cellTowards(this.#cells, this.#focus, event.key);
    if (event.key === "Enter" || event.key === " ") this.#use(this.#focus);
    else if (event.key === "Escape") this.#putBack();
    else if (event.key.toLowerCase() === "l") this.#turnLock(this.#focus);
    else if (/^Arrow|^Home$|^End$/.test(event.key)) this.#quilt.cells[next]?.focus();
    else return;
    event.preventDefault();
  }

  /** @param {number} cell */
  #lift(cell) {
    workspace.endLook();
    this.#lifted = cell;
    this.#refresh();
    say(this.#heard, `Lifted ${this.#name(cell)}. Choose a block to swap it with.`);
  }

  #putBack() {
    this.#drag = null;
    if (this.#lifted === null) return;
    this.#lifted = null;
    this.#refresh();
    say(this.#heard, "Put back.");
  }

  #refresh() {
    if (workspace.view) this.#label(workspace.view);
    this.#mark();
    this.#showLiftedBar();
  }

  /** @param {number} first @param {number} second */
  #swap(first, second) {
    const words = `Swapped ${this.#name(first)} with ${this.#name(second)}.`;
    this.#lifted = null;
    this.#pointed = null;
    this.#drag = null;
    if (this.#quilt.svg.contains(document.activeElement)) this.#quilt.cells[second]?.focus();
    attempt(this.#errors, () => workspace.swap(first, second));
    say(this.#heard, words);
  }

  /** @param {number} cell */
  #turnLock(cell) {
    const pinned = !this.#pinned.includes(cell);
    this.#lifted = null;
    say(this.#heard, `${this.#name(cell)} is ${pinned ? "locked" : "unlocked"}.`);
    attempt(this.#errors, () => workspace.write("PUT", `layout/pins/${cell}`, { pinned }));
  }

  /** A mouse or a pen drags at once; a finger drags a block it has lifted. @param {PointerEvent} event */
  #grip(event) {
    const cell = this.#cellAt(event.target);
    this.#dropped = false;
    if (cell === null || event.button !== 0) return;
    if (event.pointerType === "touch" && cell !== this.#lifted) return;
    this.#drag = { cell, x: event.clientX, y: event.clientY, moving: false };
  }

  /** @param {PointerEvent} event */
  #pull(event) {
    const under = document.elementFromPoint(event.clientX, event.clientY);
    this.#point(event.pointerType === "touch" && !this.#drag ? null : this.#cellAt(under));
    const drag = this.#drag;
    if (!drag) return;
    if (!drag.moving) {
      if (Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < DRAG_FROM) return;
      drag.moving = true;
      this.#quilt.svg.setPointerCapture(event.pointerId);
      this.#lift(drag.cell);
    }
    const matrix = this.#quilt.svg.getScreenCTM()?.inverse();
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
    drag.x = at.x;
    drag.y = at.y;
    const ghost = this.#quilt.marks.querySelector(".ghost");
    ghost?.replaceWith(this.#ghost(drag.cell));
  }

  /** @param {PointerEvent} event */
  #release(event) {
    const drag = this.#drag;
    this.#drag = null;
    if (!drag?.moving) return;
    this.#dropped = true;
    const under = this.#cellAt(document.elementFromPoint(event.clientX, event.clientY));
    if (under === null || under === drag.cell) this.#putBack();
    else this.#swap(drag.cell, under);
  }
}

customElements.define("quilt-wall", QuiltWall);
