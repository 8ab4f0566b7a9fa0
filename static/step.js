/** What every step of the way has in common, and the controls they are made of. */

import { desk } from "./desk.js";
import { h } from "./dom.js";
import { attempt, troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").Wish} Wish */

/** A step: built once, then shown anew whenever the plan changes. */
export class Step extends HTMLElement {
  trouble = troublePlace();

  connectedCallback() {
    const details = this.closest("details");
    details?.addEventListener("toggle", () => details.open && details.scrollIntoView());
    this.build();
    desk.on("plan", () => desk.view && this.show(desk.view));
  }

  build() {}

  /** @param {PlanView} _view */
  show(_view) {}

  /** The short form beside the step's heading. @returns {HTMLElement} */
  get gist() {
    return /** @type {HTMLElement} */ (this.closest("details")?.querySelector(".gist"));
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
export const field = (label, control) =>
  h("label", { class: "field" }, h("span", {}, label), control);

/**
 * A choice of one by picture.
 * @param {string} legend
 * @param {string} name
 * @param {{value: string, label: string, picture: Element}[]} options
 * @param {(value: string) => void} chosen
 */
export function choices(legend, name, options, chosen) {
  const labels = options.map(({ value, label, picture }) =>
    h(
      "label",
      { class: "option" },
      h("input", { type: "radio", name, value, onchange: () => chosen(value) }),
      picture,
      h("span", {}, label),
    ),
  );
  return h("fieldset", { class: "choices" }, h("legend", {}, legend), ...labels);
}

/** Mark the chosen one. @param {Element} group @param {string} value */
export function check(group, value) {
  for (const input of group.querySelectorAll("input")) input.checked = input.value === value;
}

/** The button that leads on. @param {string} step @param {string} words */
export function onward(step, words) {
  const open = () => goTo(step);
  return h(
    "p",
    { class: "onward" },
    h("button", { type: "button", class: "main", onclick: open }, words),
  );
}

/** Open a step. @param {string} step */
export function goTo(step) {
  const details = /** @type {HTMLDetailsElement | null} */ (
    document.getElementById(`step-${step}`)
  );
  if (!details) return;
  details.open = true;
  details.querySelector("summary")?.focus({ preventScroll: true });
}
