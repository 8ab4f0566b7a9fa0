/** A colour of one's own: typed, or picked with the browser's colour control. */

import { Problem } from "../plan/server.js";
import { button, h } from "./dom.js";
import { attempt, errorPlace } from "./errors.js";

/**
 * Read a colour as it is typed.
 * @param {string} text
 * @returns {string} '#rrggbb', or '' if it is no colour
 */
function hex(text) {
  const digits = text.trim().replace("#", "").toLowerCase();
  if (!/^([\da-f]{3}){1,2}$/.test(digits)) return "";
  return `#${digits.length === 3 ? digits.replace(/./g, "$&$&") : digits}`;
}

/**
 * A field to type in, the colour control beside it, and a button that adds the colour.
 * @param {string} label what the colour is for
 * @param {(colour: string) => Promise<unknown>} given adds a colour
 * @param {(colour: string) => void} [tried] shows a colour that is not added yet
 * @param {string} [words] on the button
 */
export function ownColour(label, given, tried = () => {}, words = "Add") {
  const errors = errorPlace();
  const control = h("input", {
    type: "color",
    value: "#c8b79a",
    "aria-label": `Pick ${label}`,
    oninput: () => {
      typed.value = control.value;
      tried(control.value);
    },
  });
  const add = () =>
    attempt(errors, async () => {
      const colour = hex(typed.value || control.value);
      if (!colour) {
        throw new Problem(422, `'${typed.value}' is no colour; write it like #c8b79a.`);
      }
      await given(colour);
      typed.value = "";
    });
  const typed = h("input", {
    size: 8,
    maxlength: 40,
    placeholder: "#c8b79a",
    "aria-label": `Type ${label}`,
    oninput: () => {
      const colour = hex(typed.value);
      if (!colour) return;
      control.value = colour;
      tried(colour);
    },
    onkeydown: ({ key }) => key === "Enter" && add(),
  });
  return h("div.own-colour", control, typed, button(words, add), errors);
}
