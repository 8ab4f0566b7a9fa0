/** What every step of the way has in common, and the controls they are made of. */

import { h } from "../parts/dom.js";
import { attempt, errorPlace } from "../parts/errors.js";
import { workspace } from "../plan/workspace.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").BriefChange} BriefChange */

/** @typedef {{words: string, step: string, go: string}} Missing */

/** @param {PlanView} view @returns {Missing | null} */
const fabrics = (view) =>
  view.plan.brief.swatches.length
    ? null
    : { words: "First come your fabrics.", step: "fabrics", go: "Add fabrics" };

/** @param {PlanView} view @returns {Missing | null} */
const quilt = (view) =>
  fabrics(view) ??
  (view.plan.layout
    ? null
    : { words: "First the blocks are laid out.", step: "layout", go: "Lay it out" });

/** What comes in a step, and what must be there before. @type {Record<string, [string, (view: PlanView) => Missing | null]>} */
const NEEDS = {
  "picks-step": ["Here you say how many of your fabrics the quilt uses.", fabrics],
  "layout-step": ["Here your blocks are laid out so that no neighbours look alike.", fabrics],
  "finish-step": ["Here borders, binding, backing and thread are chosen.", fabrics],
  "cutting-step": ["Here stands what to cut from which cloth, and what to buy.", quilt],
  "variants-step": ["Here copies of your quilt lie side by side, to choose between them.", quilt],
};

/**
 * Bring a step to the top and keep its heading there while it fills, until a hand does something.
 * At once: where a long step above closes, the heading has already left the window.
 * @param {HTMLElement} details
 */
function settle(details) {
  const filling = new ResizeObserver(() => details.scrollIntoView({ behavior: "instant" }));
  filling.observe(details);
  const leave = () => filling.disconnect();
  for (const sign of ["wheel", "touchstart", "pointerdown", "keydown"])
    addEventListener(sign, leave, { once: true, passive: true });
  setTimeout(leave, 5000);
}

/** A step: built once, then shown anew whenever the plan changes. */
export class Step extends HTMLElement {
  errors = errorPlace();
  #need = h("div.need");

  connectedCallback() {
    const { details } = this;
    details.addEventListener("toggle", () => {
      if (details.open) settle(details);
      this.turned();
    });
    if (details.open) settle(details);
    this.build();
    this.prepend(this.#need);
    workspace.on("plan", () => {
      if (workspace.view) this.#lead(workspace.view);
      this.refresh();
    });
  }

  /** Say what comes here and lead to what is missing, if anything is. @param {PlanView} view */
  #lead(view) {
    const [what, lacks] = NEEDS[this.localName] ?? [];
    const missing = lacks?.(view);
    this.classList.toggle("lacking", Boolean(missing));
    this.#need.replaceChildren(
      ...(missing ? [h("p", `${what} ${missing.words}`), onward(missing.step, missing.go)] : []),
    );
  }

  build() {}

  /** @param {PlanView} _view */
  show(_view) {}

  refresh() {
    if (workspace.view) this.show(workspace.view);
  }

  /** The step was opened or closed. */
  turned() {}

  get details() {
    return /** @type {HTMLDetailsElement} */ (this.closest("details"));
  }

  /** The short form beside the step's heading. */
  get gist() {
    return /** @type {HTMLElement} */ (this.details.querySelector(".gist"));
  }

  /** Do something and say here what goes wrong. @param {() => Promise<unknown>} action */
  attempt(action, place = this.errors) {
    return attempt(place, action);
  }

  /** Change the brief. @param {BriefChange} fields @param {HTMLElement} [place] */
  change(fields, place) {
    return this.attempt(() => workspace.change(fields), place);
  }
}

/** The button that leads on. @param {string} step @param {string} words */
export const onward = (step, words) =>
  h("p.onward", h("button.main", { onclick: () => goTo(step) }, words));

/** Open a step. @param {string} step */
export function goTo(step) {
  const details = /** @type {HTMLDetailsElement | null} */ (
    document.getElementById(`step-${step}`)
  );
  if (!details) return;
  details.open = true;
  details.querySelector("summary")?.focus({ preventScroll: true });
}
