/** The bundle in an order that shows something: around the colour wheel, from light to dark. */

/** @typedef {import("../../types/api.d.ts").Swatch} Swatch */

/** Chroma below which a colour is a grey to the eye, and its hue says little (a judgement). */
const GREY = 8;

/** @param {Swatch} swatch darkest last */
const darkness = ({ fabric }) => -fabric.reads_as.lightness;

/** Hue from red round to pink, greys after all of them. @param {Swatch} swatch */
function hue({ fabric }) {
  const { a, b, lightness } = fabric.reads_as;
  if (Math.hypot(a, b) < GREY) return 1000 - lightness;
  // The wheel is cut open between pink and red, where few fabrics lie.
  return (Math.atan2(b, a) * (180 / Math.PI) + 380) % 360;
}

/** @type {Record<string, (swatch: Swatch) => number>} */
const KEYS = { came: () => 0, hue, lightness: darkness, greys: darkness };

/**
 * Fabrics in the order they are to be shown.
 * @param {readonly Swatch[]} swatches
 * @param {string} how one of KEYS
 */
export const sorted = (swatches, how) =>
  swatches.toSorted((one, other) => KEYS[how](one) - KEYS[how](other));
