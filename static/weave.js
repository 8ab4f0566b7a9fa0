/** Makes a photo into cloth to draw with: small, without its rim, evenly lit. */

/** Part of a photo left away on each side: its rim is often frayed or pale. */
const TRIM = 0.02;
/** Longest side of a tile: sharp on a fine screen with the quilt brought closer. */
const LONGEST = 400;
/** Squares a side in which the light is measured. */
const GRID = 16;
/** Strongest fall of light that is evened, natural logarithm. */
const STEEPEST = 0.4;

/**
 * A tile of cloth.
 * @typedef {object} Tile
 * @property {string} href
 * @property {number} ratio height over width
 */

/** @type {Map<string, Promise<Tile>>} */
const woven = new Map();

/** The cloth of a photo, made once. @param {string} url @returns {Promise<Tile>} */
export function weave(url) {
  const tile = woven.get(url) ?? make(url);
  woven.set(url, tile);
  return tile;
}

/** @param {string} url @returns {Promise<Tile>} */
async function make(url) {
  const image = new Image();
  image.src = url;
  await image.decode();
  const [wide, high] = [image.naturalWidth, image.naturalHeight];
  const scale = Math.min(1, LONGEST / Math.max(wide, high));
  const canvas = new OffscreenCanvas(Math.ceil(wide * scale), Math.ceil(high * scale));
  paint(canvas, image);
  even(canvas, fall(image));
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 });
  return { href: URL.createObjectURL(blob), ratio: high / wide };
}

/** @param {OffscreenCanvas} canvas @param {HTMLImageElement} image */
function paint(canvas, image) {
  const context = pen(canvas);
  const [wide, high] = [image.naturalWidth, image.naturalHeight];
  context.imageSmoothingQuality = "high";
  const [x, y, w, h] = [wide * TRIM, high * TRIM, wide * (1 - 2 * TRIM), high * (1 - 2 * TRIM)];
  context.drawImage(image, x, y, w, h, 0, 0, canvas.width, canvas.height);
  return context.getImageData(0, 0, canvas.width, canvas.height);
}

/** @param {OffscreenCanvas} canvas */
const pen = (canvas) =>
  /** @type {OffscreenCanvasRenderingContext2D} */ (
    canvas.getContext("2d", { willReadFrequently: true })
  );

/** Place of square i of n, -1 to 1. @param {number} i @param {number} n */
const place = (i, n) => (2 * i + 1) / n - 1;

/**
 * How light (and its tint) falls across a photo: for red, green and blue the logarithm
 * of a field, as a quadratic in x and y fitted by least squares. Over a full grid the
 * five terms are orthogonal, so each coefficient is a projection.
 * @param {HTMLImageElement} image
 * @returns {number[][]}
 */
function fall(image) {
  const { data } = paint(new OffscreenCanvas(GRID, GRID), image);
  return [0, 1, 2].map((channel) => {
    const sums = [0, 0, 0, 0, 0];
    const norms = [0, 0, 0, 0, 0];
    for (let i = 0; i < GRID * GRID; i += 1) {
      const level = Math.log(8 + data[4 * i + channel]);
      terms(place(i % GRID, GRID), place(Math.floor(i / GRID), GRID)).forEach((term, k) => {
        sums[k] += term * level;
        norms[k] += term * term;
      });
    }
    return sums.map((sum, k) => sum / norms[k]);
  });
}

/** Mean of x squared over the grid; without it the terms are not orthogonal. */
const MEAN = (1 - 1 / GRID ** 2) / 3;

/** @param {number} x @param {number} y */
const terms = (x, y) => [x, y, x * x - MEAN, y * y - MEAN, x * y];

/** Take that fall of light away. @param {OffscreenCanvas} canvas @param {number[][]} fit */
function even(canvas, fit) {
  const context = pen(canvas);
  const { width, height } = canvas;
  const pixels = context.getImageData(0, 0, width, height);
  let at = 0;
  for (let row = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1, at += 4) {
      const [p, q, r, s, t] = terms(place(column, width), place(row, height));
      fit.forEach(([a, b, c, d, e], channel) => {
        const field = a * p + b * q + c * r + d * s + e * t;
        const gain = Math.exp(-Math.max(-STEEPEST, Math.min(STEEPEST, field)));
        pixels.data[at + channel] *= gain;
      });
    }
  }
  context.putImageData(pixels, 0, 0);
}
