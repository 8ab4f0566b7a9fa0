/** Step: the layout. Arranging, and the swaps that would help most. */

import { check, choices, field, smallDrawing } from "../parts/controls.js";
import { box, button, fold, h, keep, put, s, say, set, tick } from "../parts/dom.js";
import { picture } from "../parts/swatch.js";
import { nameOf } from "../plan/fabrics.js";
import { keepCopy } from "../plan/plans.js";
import { workspace } from "../plan/workspace.js";
import { goTo, onward, Step } from "./step.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").Style} Style */
/** @typedef {import("../types/api.d.ts").SwapOut} Swap */
/** @typedef {import("../types/api.d.ts").NearOut} Near */
/** @typedef {import("../types/api.d.ts").RevisionLine} Revision */

/** Small drawings of the rules: the grey of each of sixteen squares, 0 to 4. */
const STYLES = [
  { value: "scattered", label: "Scattered", greys: "0314420113423021" },
  { value: "families", label: "Two families", greys: "0314304102413140" },
  { value: "repeating", label: "Repeating", greys: "0123123023013012" },
  { value: "light to dark", label: "Light to dark", greys: "0011012112232334" },
];

/** @param {string} greys */
function stylePicture(greys) {
  const squares = [...greys].map((tone, index) =>
    s("rect", {
      x: (index % 4) * 9 + 0.5,
      y: Math.floor(index / 4) * 9 + 0.5,
      width: 8,
      height: 8,
      "fill-opacity": 0.08 + Number(tone) * 0.22,
    }),
  );
  return smallDrawing("0 0 36 36", ...squares);
}

const theWall = () =>
  /** @type {import("../wall/wall.js").QuiltWall} */ (document.querySelector("quilt-wall"));

/** Ring cells on the wall. @param {readonly number[]} cells */
function point(cells) {
  theWall().shown = cells;
}

class LayoutStep extends Step {
  #style = choices(
    "Rule",
    "style",
    STYLES.map(({ value, label, greys }) => [value, label, stylePicture(greys)]),
    (value) => this.change({ style: /** @type {Style} */ (value) }),
  );
  #apart = h("input", {
    type: "range",
    min: 0,
    max: 1,
    step: 0.05,
    oninput: () => this.#tellApart(),
    onchange: () => this.change({ apart: this.#apart.valueAsNumber }),
  });
  #asks = h("output");
  #arrange = h("button.main", { onclick: () => this.arrange() });
  #facts = h("ul.facts");
  #swaps = h("ul.swaps");
  #heading = h("h3", { hidden: true });
  #near = box(() => this.#askNear());
  #pairs = h("ul.swaps");
  #kept = h("p", { role: "status" });
  #found = h("p", { role: "status" });
  #changes = h("ol.changes");
  #done = fold("What was done", this.#changes, { ontoggle: () => this.#askDone() });
  #next = onward("finish", "Choose the edges");
  #asked = "";

  build() {
    const copy = () =>
      this.attempt(async () => {
        say(this.#kept, "");
        const title = await keepCopy();
        const look = h(
          "button.small",
          { onclick: () => goTo("variants") },
          "See them side by side",
        );
        this.#kept.replaceChildren(`Kept as ${title}. `, look);
      });
    const found = () =>
      say(this.#found, workspace.found && `A further look found ${workspace.found}.`);
    workspace.on("found", found);
    this.append(
      this.#style,
      field("How far neighbours must differ", this.#apart),
      h("p.quiet", this.#asks),
      h("p.row", this.#arrange, button("Keep a copy to compare", copy)),
      this.#kept,
      this.#found,
      this.errors,
      this.#facts,
      tick(this.#near, "Mark neighbours that look alike"),
      this.#pairs,
      this.#heading,
      this.#swaps,
      this.#done,
      this.#next,
    );
  }

  turned() {
    const view = workspace.view;
    if (!this.details.open) {
      point([]);
      theWall().pairs = [];
    } else if (view && !view.plan.layout && view.plan.choice?.kept.length) this.arrange();
    else if (view) this.#ask(view);
  }

  /** Ask for what is said about this state of the plan. @param {PlanView} view */
  #ask(view) {
    this.#askSwaps(view);
    this.#askNear();
    this.#askDone();
  }

  /** Join the neighbours that look alike on the wall and say how alike; or take that away. */
  async #askNear() {
    const view = workspace.view;
    const on = this.#near.checked && view?.plan.layout;
    /** @type {Near[]} */
    let near = [];
    if (on) await this.attempt(async () => (near = await workspace.read("layout/near?most=99")));
    if (view?.revision !== workspace.view?.revision) return;
    const limit = view?.plan.brief.limits?.clear ?? 0;
    near = near.filter(({ touch, difference }) => touch === "edge" && difference < limit);
    theWall().pairs = near.map(({ first, second }) => [first, second]);
    const lines = near.map(({ first, second, sentence }) => this.#pair(first, second, [sentence]));
    const none = on && !near.length ? [h("li", "No neighbours look alike.")] : [];
    this.#pairs.replaceChildren(...lines, ...none);
  }

  /**
   * Two blocks, ringed on the wall while they are in focus or under the pointer.
   * @param {number} first
   * @param {number} second
   * @param {(Node | string)[]} words
   * @param {() => void} [onclick]
   */
  #pair(first, second, words, onclick = () => {}) {
    const pictures = [first, second].map((cell) =>
      picture(workspace.view?.plan.layout?.fabrics[cell] ?? ""),
    );
    const [on, off] = [() => point([first, second]), () => point([])];
    const props = { onclick, onfocus: on, onblur: off, onpointerenter: on, onpointerleave: off };
    return h("li", h("button.beside.swap", props, ...pictures, h("span", ...words)));
  }

  /** List every state the plan went through, the newest first; one press leads to it. */
  async #askDone() {
    if (!this.#done.open) return;
    await this.attempt(async () => {
      /** @type {Revision[]} */
      const done = await workspace.read("revisions");
      const at = done.findIndex(({ current }) => current);
      keep(
        this.#changes,
        done.toReversed(),
        ({ revision, what, made_at }) => `${workspace.view?.id} ${revision} ${what} ${made_at}`,
        (line) => this.#change(line),
        (item, { revision, current }) => {
          const undone = done.findIndex((line) => line.revision === revision) > at;
          item.classList.toggle("undone", undone);
          const [button] = item.children;
          set(button, { "aria-current": current ? "step" : null });
        },
      );
    });
  }

  /** @param {Revision} line */
  #change({ revision, what, made_at }) {
    const go = () => this.attempt(() => workspace.write("POST", `revisions/${revision}`));
    const when = new Date(made_at).toLocaleString([], { dateStyle: "short", timeStyle: "short" });
    const words = h("span", what);
    return h("li", h("button", { onclick: go }, words, h("small", when)));
  }

  arrange() {
    workspace.found = "";
    say(this.#found, "");
    return this.attempt(() => workspace.arrange());
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, layout, choice } = view.plan;
    check(this.#style, brief.style);
    put(this.#apart, brief.apart);
    this.#tellApart();
    this.#arrange.textContent = layout ? "Arrange again" : "Arrange";
    this.#arrange.disabled = !choice?.kept.length;
    this.#next.hidden = !layout;
    this.#showFacts(view);
    if (!layout) this.#swaps.replaceChildren();
    if (!layout) this.#heading.hidden = true;
    this.gist.textContent = view.words.gist || "not yet";
    if (this.details.open) this.#ask(view);
  }

  /** Say where the slider stands. */
  #tellApart() {
    const share = this.#apart.valueAsNumber;
    const { brief, quality } = workspace.view?.plan ?? {};
    const wanted = share === brief?.apart ? quality?.wanted : null;
    const words = [
      share === 0
        ? "Neighbours may be alike"
        : share <= 0.5
          ? `${Math.round(100 * share)} % of the furthest that can be reached`
          : share < 1
            ? "More than half of the furthest that can be reached"
            : "The furthest that leaves copies of a fabric apart",
      ...(share && wanted ? [`at least ${wanted.toFixed(1)}`] : []),
    ].join(": ");
    set(this.#apart, { "aria-valuetext": words });
    say(this.#asks, words);
  }

  /** @param {PlanView} view */
  #showFacts(view) {
    const { quality, layout } = view.plan;
    const cells = layout && quality ? quality.closest_cells : null;
    const lines = [...view.words.neighbours, ...view.words.problems];
    const pair = () => point(cells ?? []);
    const button = h("button.small", { onclick: pair }, "Show the closest pair");
    this.#facts.replaceChildren(
      ...lines.map((line) => h("li", line)),
      ...(cells ? [h("li", button)] : []),
    );
  }

  /** Ask for the swaps once for each revision. @param {PlanView} view */
  async #askSwaps(view) {
    const wanted = `${view.id} ${view.revision}`;
    if (!view.plan.layout || wanted === this.#asked) return;
    this.#asked = wanted;
    await this.attempt(async () => {
      /** @type {Swap[]} */
      const swaps = await workspace.read("layout/swaps?most=5");
      if (wanted === this.#asked) this.#showSwaps(view, swaps);
    });
  }

  /** @param {PlanView} view @param {Swap[]} swaps */
  #showSwaps(view, swaps) {
    const fabrics = view.plan.layout?.fabrics ?? [];
    this.#heading.hidden = false;
    this.#heading.textContent = swaps.length
      ? "Swaps that help most"
      : "No single swap would help.";
    keep(
      this.#swaps,
      swaps,
      ({ first, second }) => `${view.revision} ${first} ${second}`,
      ({ first, second, sentence }) => {
        const names = [first, second].map((cell) => nameOf(fabrics[cell])).join(" and ");
        return this.#pair(first, second, [names, h("small", sentence)], () => {
          point([]);
          this.attempt(() => workspace.swap(first, second));
        });
      },
    );
  }
}

customElements.define("layout-step", LayoutStep);
