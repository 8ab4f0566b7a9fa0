/** Fetches cloth to draw with: a photo without its rim, evenly lit, in a size for a screen. */

/**
 * A tile of cloth.
 * @typedef {object} Tile
 * @property {string} href
 * @property {number} ratio height over width
 */

/** @type {Map<string, Promise<Tile>>} */
const tiles = new Map();

/** The cloth of a photo, fetched once. @param {string} url @returns {Promise<Tile>} */
export function clothTile(url) {
  const tile = tiles.get(url) ?? fetched(`${url}?width=480&even=true`);
  tiles.set(url, tile);
  return tile;
}

/** @param {string} href @returns {Promise<Tile>} */
async function fetched(href) {
  const image = new Image();
  image.src = href;
  await image.decode();
  return { href, ratio: image.naturalHeight / image.naturalWidth };
}
