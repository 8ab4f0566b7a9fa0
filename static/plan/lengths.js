/** Lengths as the plan's maker reads and writes them: inches or centimetres. */

import { workspace } from "./workspace.js";

/**
 * Read a length such as '8 1/2' or '215 mm' in inches.
 * @param {string} text
 */
export function inches(text) {
  const scale = /mm/.test(text) ? 1 / 25.4 : /cm/.test(text) ? 1 / 2.54 : 1;
  const parts = text
    .replace(/[^\d./ ]/g, "")
    .trim()
    .split(/\s+/);
  const value = (/** @type {string} */ part) => {
    const [top, bottom = 1] = part.split("/").map(Number);
    return top / bottom;
  };
  return scale * parts.reduce((sum, part) => sum + value(part), 0);
}

const metric = () => workspace.view?.plan.brief.units === "metric";

/** The unit that a number alone is meant in. */
export const unit = () => (metric() ? "cm" : "inches");

/** A length for a field: as it was given, or in centimetres. @param {string} length */
export const shown = (length) => (metric() ? String(+(inches(length) * 2.54).toFixed(2)) : length);

/** What was typed in a field; a number alone is meant in the plan's unit. @param {string} text */
export const meant = (text) =>
  metric() && /\S/.test(text) && !/[a-z"'\u201c-\u201f\u2032\u2033]/i.test(text)
    ? `${text} cm`
    : text;
