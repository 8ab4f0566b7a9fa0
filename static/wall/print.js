/** What the printer adds below the quilt: the plan in words and the list of its fabrics. */

import { h, many } from "../parts/dom.js";
import { picture } from "../parts/swatch.js";
import { desk } from "../plan/workspace.js";
import { allSwatches } from "./quilt.js";

const paper = /** @type {HTMLElement} */ (document.querySelector(".paper"));

/** Write the sheet anew; its pictures are ready, as the page shows them already. */
function write() {
  const view = desk.view;
  if (!view) return;
  const { layout, background, choice, brief } = view.plan;
  const blocks = new Map();
  for (const id of layout?.fabrics ?? []) blocks.set(id, (blocks.get(id) ?? 0) + 1);
  const used = allSwatches(view).filter(({ fabric: { id } }) =>
    layout ? blocks.has(id) || id === background : brief.swatches.length,
  );
  const kept = choice?.kept ?? [];
  const place = (/** @type {string} */ id) => (id === background ? -1 : kept.indexOf(id));
  used.sort((a, b) => place(a.fabric.id) - place(b.fabric.id));
  const line = (/** @type {{id: string, name: string}} */ { id, name }) =>
    h(
      "li",
      picture(id),
      h("span", name, h("small", blocks.has(id) ? many(blocks.get(id), "block") : "background")),
    );
  paper.replaceChildren(
    h("ul", ...view.summary.map((text) => h("li", text))),
    h("ul.sheet", ...used.map(({ fabric }) => line(fabric))),
  );
}

addEventListener("beforeprint", write);
