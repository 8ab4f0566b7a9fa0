/** A field for a length, in inches or centimetres as the plan says. */

import { meant, shown, unit } from "../plan/lengths.js";
import { h, put, say } from "./dom.js";

/** @param {string} label @param {(length: string) => void} changed */
export function lengthField(label, changed) {
  const onchange = () => changed(meant(input.value));
  const input = h("input", { size: 6, autocomplete: "off", onchange });
  const words = h("span", label);
  const show = (
    /** @type {string | null | undefined} */ length,
    /** @type {string} */ usual = "",
  ) => {
    say(words, `${label}, ${unit()}`);
    put(input, length ? shown(length) : "");
    input.placeholder = usual;
  };
  return { element: h("label.field", words, input), input, show };
}
