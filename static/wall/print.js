/** What the printer adds below the quilt: the plan in words and the list of its fabrics. */

import { h, many } from "../parts/dom.js";
import { picture } from "../parts/swatch.js";
import { allSwatches } from "../plan/fabrics.js";
import { workspace } from "../plan/workspace.js";

const sheet = /** @type {HTMLElement} */ (document.querySelector(".print-sheet"));

/** Write the sheet anew; its pictures are ready, as the page shows them already. */
function write() {
  const view = workspace.view;
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
  sheet.replaceChildren(
    h("ul", ...view.summary.map((text) => h("li", text))),
    h("ul.sheet", ...used.map(({ fabric }) => line(fabric))),
  );
}

addEventListener("beforeprint", write);
