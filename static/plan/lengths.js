/** Lengths as the plan's maker reads and writes them: inches or centimetres. */

import { inches } from "../wall/quilt.js";
import { desk } from "./workspace.js";

const metric = () => desk.view?.plan.brief.units === "metric";

/** The unit that a number alone is meant in. */
export const unit = () => (metric() ? "cm" : "inches");

/** A length for a field: as it was given, or in centimetres. @param {string} length */
export const shown = (length) => (metric() ? String(+(inches(length) * 2.54).toFixed(2)) : length);

/** What was typed in a field, with its unit. @param {string} text */
export const meant = (text) =>
  metric() && /^[\d\s.,]+$/.test(text) ? `${text.trim().replace(",", ".")} cm` : text;
