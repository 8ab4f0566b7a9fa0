/** Controls that steps are made of: a field, a choice of one, a button that asks once more. */

import { h, s } from "./dom.js";

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

/**
 * A button that asks once more before it acts.
 * @param {string} words
 * @param {string} name of what it acts on
 * @param {() => void} act
 */
export function sure(words, name, act) {
  const place = h("span.sure", { onkeydown: ({ key }) => key === "Escape" && back() });
  const small = (/** @type {string} */ text, /** @type {() => void} */ onclick, label = text) =>
    h("button.small", { onclick, "aria-label": label }, text);
  const ask = () => {
    place.replaceChildren(h("span", "For good?"), small(words, act, named), no);
    no.focus();
  };
  const back = () => {
    place.replaceChildren(first);
    first.focus();
  };
  const named = `${words} ${name}`;
  const first = small(words, ask, named);
  const no = small("Keep", back);
  place.append(first);
  return place;
}
