/** A block of one's own, written as a small text: sizes and one line for each row of patches. */

import { field } from "../../parts/controls.js";
import { button, h, many, say } from "../../parts/dom.js";
import { errorPlace } from "../../parts/errors.js";

/** @typedef {import("../../types/api.d.ts").OwnBlock} Own */

const EXAMPLE = "B vBF B\n>BF F <BF\nB ^BF B";
const HELP = [
  ["F, S, B", "a whole patch of feature, second feature or background"],
  ["F/B, F\\B", "two triangles, the left one first; the stroke is the seam"],
  ["xFBSB", "four triangles: top, right, bottom, left"],
  ["vBF, ^BF, <BF, >BF", "a flying goose and where it points: goose first, then its corners"],
  ["< or ^ alone", "one patch with what is to the left of it, or above"],
];

const words = (/** @type {string} */ text) => text.trim().split(/\s+/).filter(Boolean);

/** @param {(own: Own, place: HTMLElement) => void} use */
export function ownBlock(use) {
  const name = h("input", { maxlength: 80, autocomplete: "off" });
  const sizes = () => h("input", { value: "1 2 1", autocomplete: "off" });
  const [columns, rows] = [sizes(), sizes()];
  const patches = h(
    "textarea",
    { rows: 4, spellcheck: "false", autocapitalize: "characters" },
    EXAMPLE,
  );
  const errors = errorPlace();
  const now = h("small");
  let shown = "";
  const typed = () => ({
    name: name.value.trim() || "My block",
    columns: words(columns.value),
    rows: words(rows.value),
    patches: patches.value.split("\n").filter((row) => row.trim()),
  });
  const element = h(
    "details.fold",
    h("summary", "A block of my own", now),
    field("Its name", name),
    h("div.fields", field("Widths of its columns", columns), field("Heights of its rows", rows)),
    field("Its patches, a row a line", patches),
    h("ul.marks-help", ...HELP.map(([mark, text]) => h("li", h("code", mark), h("span", text)))),
    errors,
    button("Use it", () => use(typed(), errors)),
  );
  const show = (/** @type {import("../../types/api.d.ts").PlanView} */ view) => {
    const own = view.plan.brief.own_block;
    say(now, own ? `in use: ${own.name}, ${many(view.block.patches.length, "part")}` : "");
    const text = JSON.stringify(own);
    if (!own || text === shown) return;
    shown = text;
    name.value = own.name;
    columns.value = own.columns.join(" ");
    rows.value = own.rows.join(" ");
    patches.value = own.patches.join("\n");
  };
  return { element, show };
}
