/** What every step of the way has in common, and the controls they are made of. */

import { h, s } from "../parts/dom.js";
import { attempt, troublePlace } from "../parts/errors.js";
import { desk } from "../plan/workspace.js";

/** @typedef {import("../types/types.d.ts").PlanView} PlanView */
/** @typedef {import("../types/types.d.ts").Wish} Wish */

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
  "kin-step": ["Here copies of your quilt lie side by side, to choose between them.", quilt],
};

/**
 * Bring a step to the top and keep its heading there while it fills, until a hand does something.
 * @param {HTMLElement} details
 */
function settle(details) {
  const filling = new ResizeObserver(() => details.scrollIntoView());
  filling.observe(details);
  const leave = () => filling.disconnect();
  for (const sign of ["wheel", "touchstart", "pointerdown", "keydown"])
    addEventListener(sign, leave, { once: true, passive: true });
  setTimeout(leave, 5000);
}

/** A step: built once, then shown anew whenever the plan changes. */
export class Step extends HTMLElement {
  trouble = troublePlace();
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
    desk.on("plan", () => {
      if (desk.view) this.#lead(desk.view);
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
    if (desk.view) this.show(desk.view);
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
  attempt(action, place = this.trouble) {
    return attempt(place, action);
  }

  /** Change the brief. @param {Wish} fields @param {HTMLElement} [place] */
  change(fields, place) {
    return this.attempt(() => desk.change(fields), place);
  }
}

/** A labelled control. @param {string} label @param {HTMLElement} control */
export const field = (label, control) => h("label.field", h("span", label), control);

/** @typedef {readonly [value: string, label: string, ...picture: Element[]]} Option */

/**
 * A choice of one, by picture if there are pictures, else by words in a row.
 * @param {string} legend
 * @param {string} name
 * @param {readonly Option[]} options
 * @param {(value: string) => void} chosen
 */
export function choices(legend, name, options, chosen) {
  const labels = options.map(([value, label, ...picture]) =>
    h(
      "label.option",
      h("input", { type: "radio", name, value, onchange: () => chosen(value) }),
      ...picture,
      h("span", label),
    ),
  );
  const kind = options[0].length > 2 ? "choices" : "choices words";
  return h("fieldset", { class: kind }, h("legend", legend), ...labels);
}

/** A small drawing to choose by. @param {string} viewBox @param {...Node} shapes */
export const smallDrawing = (viewBox, ...shapes) =>
  s("svg.small-drawing", { viewBox, "aria-hidden": true }, ...shapes);

/** Mark the chosen one. @param {Element} group @param {string} value */
export function check(group, value) {
  for (const input of group.querySelectorAll("input")) input.checked = input.value === value;
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
