/** A block of one's own, written as a small text: sizes and one line for each row of patches. */

import { h, many, say } from "./dom.js";
import { field } from "./step.js";
import { troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").OwnBlock} Own */

const EXAMPLE = "B vBF B\n>BF F <BF\nB ^BF B";
const HELP = [
  ["F, S, B", "a whole patch of feature, second feature or background"],
  ["F/B, F\\B", "two triangles, the left one first; the stroke is the seam"],
  ["xFBSB", "four triangles: top, right, bottom, left"],
  ["vBF, ^BF, <BF, >BF", "a flying goose and where it points: goose first, then its corners"],
  ["< or ^ alone", "one patch with what is to the left of it, or above"],
];

const words = (/** @type {string} */ text) => text.trim().split(/\s+/).filter(Boolean);

export class OwnBlock {
  #name = h("input", { maxlength: 80, autocomplete: "off" });
  #columns = h("input", { value: "1 2 1", autocomplete: "off" });
  #rows = h("input", { value: "1 2 1", autocomplete: "off" });
  #patches = h("textarea", { rows: 4, spellcheck: "false", autocapitalize: "characters" });
  #trouble = troublePlace();
  #now = h("small");
  element;
  #shown = "";

  /** @param {(own: Own, place: HTMLElement) => void} use */
  constructor(use) {
    this.#patches.value = EXAMPLE;
    const help = HELP.map(([mark, text]) => h("li", {}, h("code", {}, mark), h("span", {}, text)));
    this.element = h(
      "details",
      { class: "fold" },
      h("summary", {}, "A block of my own", this.#now),
      field("Its name", this.#name),
      h(
        "div",
        { class: "fields" },
        field("Widths of its columns", this.#columns),
        field("Heights of its rows", this.#rows),
      ),
      field("Its patches, a row a line", this.#patches),
      h("ul", { class: "marks-help" }, ...help),
      this.#trouble,
      h("button", { onclick: () => use(this.#own(), this.#trouble) }, "Use it"),
    );
  }

  /** @returns {Own} */
  #own() {
    return {
      name: this.#name.value.trim() || "My block",
      columns: words(this.#columns.value),
      rows: words(this.#rows.value),
      patches: this.#patches.value.split("\n").filter((row) => row.trim()),
    };
  }

  /** @param {import("./types.d.ts").PlanView} view */
  show(view) {
    const own = view.plan.brief.own_block;
    say(this.#now, own ? `in use: ${own.name}, ${many(view.block.patches.length, "part")}` : "");
    const text = JSON.stringify(own);
    if (!own || text === this.#shown) return;
    this.#shown = text;
    this.#name.value = own.name;
    this.#columns.value = own.columns.join(" ");
    this.#rows.value = own.rows.join(" ");
    this.#patches.value = own.patches.join("\n");
  }
}
