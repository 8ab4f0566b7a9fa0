/** Threads stitched across every fabric: where each shows, is soft, vanishes. */

import { h, keep, s, say, set } from "../../parts/dom.js";
import { fromLight, nameOf } from "../../plan/fabrics.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").ThreadOut} Thread */

/** How wide the background's column is: it is most of the quilt. */
const BACKGROUND_WIDTH = 2;
/** Heights of the bars below the stitches. */
const BAR = { shows: 4, soft: 1.5, vanishes: 0 };

/** @typedef {{id: string, wide: number}} Column */

/** The fabrics that threads are judged over, from light to dark. @param {PlanView} view */
function columnsOf(view) {
  const [{ shows, soft, vanishes }] = view.threads;
  const order = fromLight(view, [...shows, ...soft, ...vanishes]);
  return order.map((id) => ({ id, wide: id === view.plan.background ? BACKGROUND_WIDTH : 1 }));
}

/** Names in words. @param {readonly string[]} ids */
const names = (ids) => ids.map(nameOf).join(", ") || "nothing";

/** Two rows of stitches. @param {string} colour */
function stitches(colour) {
  const rows = [
    [0, "33%"],
    [6, "67%"],
  ].map(([offset, y]) =>
    s("line", { x1: 0, x2: "100%", y1: y, y2: y, stroke: colour, "stroke-dashoffset": offset }),
  );
  return s("svg.stitches", { "aria-hidden": true }, ...rows);
}

export class ThreadChart {
  element = h("div.threads", { role: "radiogroup", "aria-label": "Thread" });
  #columns = h("div.columns", { "aria-hidden": true });
  #rows = h("div.rows");
  #every = h("button.small", {
    onclick: () => {
      this.#all = !this.#all;
      if (this.#view) this.show(this.#view);
    },
  });
  #all = false;
  /** @type {PlanView | null} */
  #view = null;
  #chosen;
  #remove;

  /**
   * @param {(id: string) => void} chosen
   * @param {(id: string) => void} remove
   */
  constructor(chosen, remove) {
    this.#chosen = chosen;
    this.#remove = remove;
    const chart = h("div.chart", this.#columns, this.#rows);
    this.element.append(chart, this.#every);
  }

  /** @param {PlanView} view */
  show(view) {
    this.#view = view;
    const { thread } = view.plan.brief;
    const columns = view.threads.length ? columnsOf(view) : [];
    keep(
      this.#columns,
      columns,
      ({ id, wide }) => `${id} ${wide} ${view.pictures[id]}`,
      (column) => this.#column(column, view),
    );
    const few = view.threads.filter(
      ({ id, own, calm, showy }) => own || calm || showy || id === thread,
    );
    keep(
      this.#rows,
      this.#all ? view.threads : few,
      ({ id, colour }) => `${id} ${colour}`,
      (each) => this.#row(each),
      (element, each) => this.#update(element, each, columns, thread),
    );
    this.#every.hidden = few.length === view.threads.length;
    say(this.#every, this.#all ? "Fewer threads" : "More threads");
    set(this.#every, { "aria-expanded": this.#all });
  }

  /** @param {Column} column @param {PlanView} view */
  #column({ id, wide }, view) {
    const column = h("span");
    column.style.flexGrow = String(wide);
    column.style.backgroundImage = `url("${view.pictures[id]}?width=120")`;
    return column;
  }

  /** @param {Thread} thread */
  #row({ id, colour, own, name }) {
    const said = `thread-${id}`;
    const choose = () => this.#chosen(id);
    const radio = { type: "radio", name: "thread", onchange: choose, "aria-describedby": said };
    const remove = () => this.#remove(id);
    return h(
      "div.thread",
      h(
        "label.option",
        h("input", radio),
        h("span.words", h("span.name", name), h("span.pick"), h("span.tally")),
        h("span.band", stitches(colour)),
        h("span.bars"),
      ),
      h("span.hidden", { id: said }),
      own ? h("button.small", { "aria-label": `Remove ${name}`, onclick: remove }, "Remove") : "",
    );
  }

  /**
   * @param {HTMLElement} element
   * @param {Thread} thread
   * @param {readonly Column[]} columns
   * @param {string} chosen
   */
  #update(element, thread, columns, chosen) {
    const { id, name, calm, showy, shows, soft, vanishes } = thread;
    const [words, pick, tally] = ["name", "pick", "tally"].map(
      (part) => /** @type {Element} */ (element.querySelector(`.${part}`)),
    );
    say(words, name);
    say(pick, [calm && "calm pick", showy && "showy pick"].filter(Boolean).join(", "));
    say(tally, `shows on ${shows.length}, soft on ${soft.length}, vanishes on ${vanishes.length}`);
    const said = /** @type {Element} */ (element.querySelector(".hidden"));
    const full = `Shows on ${names(shows)}. Soft on ${names(soft)}. Vanishes on ${names(vanishes)}.`;
    say(said, full);
    /** @type {HTMLInputElement} */ (element.querySelector("input")).checked = id === chosen;
    element.querySelector(".bars")?.replaceChildren(bars(thread, columns));
  }
}

/** A bar below each fabric: thick where the thread shows, thin where it is soft. */
/** @param {Thread} thread @param {readonly Column[]} columns */
function bars({ shows, soft }, columns) {
  let at = 0;
  const parts = columns.map(({ id, wide }) => {
    const high = BAR[shows.includes(id) ? "shows" : soft.includes(id) ? "soft" : "vanishes"];
    const part = `M${at} 0h${wide}v${high}h${-wide}z`;
    at += wide;
    return part;
  });
  const props = { viewBox: `0 0 ${at || 1} 4`, preserveAspectRatio: "none", "aria-hidden": true };
  return s("svg", props, s("path", { d: parts.join("") }));
}
