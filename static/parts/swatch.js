/** A fabric in the page: its picture, the colour it reads as, its main colours, its verdict. */

import { workspace } from "../plan/workspace.js";
import { h, keep, say } from "./dom.js";

/** @typedef {import("../types/api.d.ts").Swatch} Swatch */
/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").Lab} Lab */
/** @typedef {"must_use" | "leave_out" | "directional"} Mark */

/** How a fabric stands on the background or why it is left out, in a word or two. */
const FATES = {
  clear: "stands out",
  soft: "soft",
  camouflage: "half melts",
  lost: "sinks",
  twin: "too like another",
  "left out by hand": "left out",
  "not needed": "not needed",
  farther: "farther from the mood",
};

/** @param {Lab} lab */
const css = ({ lightness, a, b }) => `lab(${lightness}% ${a} ${b})`;

/** Where a fabric's picture is. @param {string} id @param {240 | 480} wide pixels across at most */
export function source(id, wide) {
  const address = workspace.view?.pictures[id];
  return address ? `${address}?width=${wide}` : "";
}

/**
 * A fabric's picture.
 * @param {string} id
 * @param {string} [alt]
 * @param {240 | 480} [wide] pixels across at most
 */
export function picture(id, alt = "", wide = 240) {
  const src = source(id, wide);
  const size = { width: 96, height: 96, loading: "lazy", draggable: "false" };
  return h("img.cloth", { ...size, src, alt });
}

/** A row of small pictures. @param {Element} place @param {readonly string[]} ids */
export function pictures(place, ids) {
  keep(
    place,
    ids,
    (id) => `${id} ${workspace.view?.pictures[id]}`,
    (id) => picture(id),
  );
}

/** The colour a fabric reads as. @param {string} id */
export function chip(id) {
  const element = h("span.chip");
  element.style.background = workspace.view?.colours[id] ?? "none";
  return element;
}

/** Main colours, as wide as their shares. @param {Swatch} swatch */
export function bar(swatch) {
  const parts = swatch.fabric.colours.map(({ colour, share }) => {
    const part = h("span");
    part.style.background = css(colour);
    part.style.flexGrow = String(share);
    return part;
  });
  return h("span.bar", ...parts);
}

/** What is known of a fabric: how it stands, and why it is left out. @param {string} id */
function known(id) {
  const plan = workspace.view?.plan;
  const stand = plan?.contrasts.find((c) => c.fabric === id && c.background === plan.background);
  const out = plan?.choice?.left_out.find((entry) => entry.fabric === id);
  return { stand, out };
}

/** Why it became of it, in full sentences. @param {string} id */
export function reasons(id) {
  const { words, plan } = workspace.view ?? {};
  const found = [words?.stands[plan?.background ?? ""]?.[id], words?.left_out[id]];
  return [...new Set(found)].filter((text) => text !== undefined);
}

/** A fabric beside the sentence on it. @param {string} fabric @param {string} sentence */
export const why = (fabric, sentence) => h("p.beside.why", picture(fabric), h("span", sentence));

/** What was decided on a fabric, as a small mark and in words. @type {[Mark, string, string][]} */
const MARKS = [
  ["must_use", "\u2713", "must be used"],
  ["leave_out", "\u2715", "left out by hand"],
  ["directional", "\u2191", "has an up and a down"],
];

/** @param {Swatch} swatch */
const marks = (swatch) =>
  MARKS.filter(([mark]) => swatch[mark]).map(([, sign, words]) =>
    h(
      "span.mark",
      { title: words },
      h("span", { "aria-hidden": true }, sign),
      h("span.hidden", `${words}, `),
    ),
  );

/** A button that shows a fabric and opens its card. */
export class Tile {
  element;
  #picture;
  #caption = h("span.name");
  #fate = h("span.fate");
  #colours = h("span.colours");
  #marks = h("span.signs");
  #made = "";

  /** @param {Swatch} swatch @param {() => void} open */
  constructor(swatch, open) {
    this.#picture = h("span.picture");
    this.element = h(
      "button.tile",
      { "aria-expanded": false, onclick: open },
      this.#picture,
      this.#colours,
      this.#caption,
      this.#fate,
    );
    this.show(swatch);
  }

  /** @param {Swatch} swatch */
  show(swatch) {
    const id = swatch.fabric.id;
    if (this.#made !== swatch.picture) {
      this.#picture.replaceChildren(picture(id), chip(id), this.#marks);
      this.#colours.replaceChildren(bar(swatch));
      this.#made = swatch.picture;
    }
    this.#marks.replaceChildren(...marks(swatch));
    say(this.#caption, swatch.fabric.name);
    const { stand, out } = known(id);
    const kind = out?.reason ?? stand?.verdict;
    const look = workspace.view?.words.see_photo.includes(id) ? "see photo" : "";
    say(this.#fate, [kind && FATES[kind], look].filter(Boolean).join(" · "));
    this.element.classList.toggle("out", Boolean(out));
  }
}
