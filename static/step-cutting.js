/** Step: cutting. What fits, what is short, what to buy; how it is cut, sewn and pressed. */

import { CutCloth } from "./cut-cloth.js";
import { desk } from "./desk.js";
import { h, keep, put, say } from "./dom.js";
import { lengthField } from "./length-field.js";
import { OtherSizes } from "./other-sizes.js";
import { arrowed } from "./pressing.js";
import { Stopped, watch } from "./server.js";
import { field, Step } from "./step.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").CuttingTable} CuttingTable */
/** @typedef {import("./types.d.ts").ClothRow} ClothRow */

/** Fabrics of which the same can be said. @param {ClothRow[]} rows */
function grouped(rows) {
  /** @type {Map<string, ClothRow[]>} */
  const groups = new Map();
  for (const row of rows) {
    const key = `${row.verdict}|${row.cloth}|${row.brief}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups];
}

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** Lines that are told again only when they differ. @param {Element} list @param {string[]} lines */
const tell = (list, lines) =>
  keep(
    list,
    lines,
    (line) => line,
    (line) => h("li", {}, capital(line)),
  );

class CuttingStep extends Step {
  #verdict = h("p", { class: "sentence", role: "status" });
  #doing = h("span", { class: "quiet" });
  #stop = h("button", { class: "small", onclick: () => this.#turn() }, "Stop");
  #usual = h("select", {
    onchange: () => this.change({ sewing: { form: this.#usual.value } }),
  });
  #groups = h("div", { class: "cut-groups" });
  #amounts = h("dl", { class: "amounts" });
  #seam = lengthField("Seam allowance", (seam) => this.change({ sewing: { seam } }, this.#bad));
  #squaring = lengthField("Lost squaring up a strip set", (squaring) =>
    this.change({ sewing: { squaring } }, this.#bad),
  );
  #shrinkage = h("input", { type: "number", min: 0, max: 20, step: 0.5, inputmode: "decimal" });
  #side = lengthField("My square for side triangles", (side) => this.#own("side_square", side));
  #corner = lengthField("My square for corner triangles", (side) =>
    this.#own("corner_square", side),
  );
  #triangles = h(
    "select",
    { onchange: () => this.change({ sewing: { triangles: this.#triangles.value } }, this.#bad) },
    ...["one", "two", "four", "eight"].map((value) => h("option", { value }, `${value} at a time`)),
  );
  #bad = h("div", { class: "trouble", role: "alert" });
  #setting = h("ul", { class: "facts" });
  #sets = h("ul", { class: "facts" });
  #pressing = h("p");
  #blocks = h("div", { class: "pressed" });
  #care = h("ul", { class: "facts" });
  #body = h("div", { class: "cutting", hidden: true });
  #strips = h("section", {}, h("h3", {}, "Strip sets"), this.#sets);
  #squares = h("div", { class: "fields" });
  #point = h("section", {}, h("h3", {}, "Between and around the blocks"), this.#setting);
  #other = new OtherSizes();
  #text = h("a", { download: true }, "All of it as a text");
  /** @type {Map<string, CutCloth>} */
  #cloths = new Map();
  /** @type {AbortController | null} */
  #asking = null;
  #asked = "";
  #plan = "";

  build() {
    const print = h("button", { onclick: () => window.print() }, "Print");
    this.#point.append(this.#squares);
    this.#squares.append(this.#side.element, this.#corner.element);
    this.#body.append(
      field("The fabrics come as", this.#usual),
      h(
        "p",
        { class: "quiet unprinted" },
        "Open a fabric for its cloth, its cutting drawing and its cuts.",
      ),
      this.#groups,
      h("section", {}, h("h3", {}, "In all"), this.#amounts),
      h(
        "section",
        { class: "unprinted" },
        h("h3", {}, "How you sew"),
        h("div", { class: "fields" }, this.#seam.element, this.#squaring.element),
        h(
          "div",
          { class: "fields" },
          field("Half-square triangles are made", this.#triangles),
          field("Yardage shrinks by, per cent", this.#shrinkage),
        ),
        this.#bad,
      ),
      this.#point,
      this.#strips,
      h("section", {}, h("h3", {}, "Pressing"), this.#pressing, this.#blocks),
      this.#other.element,
      h("section", {}, h("h3", {}, "Take care"), this.#care),
      h("p", { class: "take" }, print, this.#text),
    );
    this.append(
      this.#verdict,
      h("p", { class: "working" }, this.#doing, this.#stop),
      this.trouble,
      this.#body,
    );
    this.#shrinkage.addEventListener("change", () =>
      this.change({ sewing: { shrinkage: this.#shrinkage.valueAsNumber || 0 } }, this.#bad),
    );
    this.#stop.hidden = true;
    this.closest("details")?.addEventListener("toggle", () => desk.view && this.show(desk.view));
  }

  /** @param {"side_square" | "corner_square"} name @param {string} side */
  #own(name, side) {
    return this.change({ sewing: { [name]: side.trim() || "0" } }, this.#bad);
  }

  /** @param {PlanView} view */
  show(view) {
    const { layout, background } = view.plan;
    const details = this.closest("details");
    if (this.#plan !== view.id) this.#clear(view.id);
    if (!layout || !background) {
      this.#clear(view.id);
      if (layout) say(this.#doing, "Choose a background first.");
      return;
    }
    const key = `${view.id} ${view.revision}`;
    if (details?.open && key !== this.#asked) {
      this.#asked = key;
      this.attempt(() => this.#ask(view));
    }
  }

  /** @param {string} plan */
  #clear(plan) {
    this.#asking?.abort();
    this.#asked = "";
    this.#plan = plan;
    this.#body.hidden = true;
    say(this.#verdict, "");
    say(this.gist, "");
    this.#cloths.clear();
    this.#groups.replaceChildren();
  }

  /** Stop what is being worked out, or begin again. */
  #turn() {
    if (this.#asking) return this.#asking.abort();
    this.#asked = "";
    if (desk.view) this.show(desk.view);
  }

  /** Ask for the table; only the newest answer is shown. @param {PlanView} view */
  async #ask(view) {
    this.#asking?.abort();
    const asking = new AbortController();
    this.#asking = asking;
    const late = setTimeout(() => this.#say("Working out the cuts", "Stop"), 300);
    const progress = (/** @type {number} */ _share, /** @type {string} */ words) => {
      if (this.#asking === asking && !this.#stop.hidden) say(this.#doing, capital(words));
    };
    const path = `/api/plans/${view.id}/cutting/table`;
    try {
      const answer = await watch("GET", path, undefined, undefined, progress, asking.signal);
      if (this.#asking !== asking) return;
      this.#say(`${view.size.words} finished`, "");
      this.#tell(view, /** @type {CuttingTable} */ (/** @type {unknown} */ (answer)));
    } catch (error) {
      if (this.#asking !== asking) return;
      this.#say(error instanceof Stopped ? "Stopped" : "", "Work it out");
      throw error;
    } finally {
      clearTimeout(late);
      if (this.#asking === asking) this.#asking = null;
    }
  }

  /** @param {string} words @param {string} button */
  #say(words, button) {
    say(this.#doing, words);
    if (button) say(this.#stop, button);
    this.#stop.hidden = !button;
  }

  /** @param {PlanView} view @param {CuttingTable} table */
  #tell(view, table) {
    const { sewing } = view.plan.brief;
    this.#body.hidden = false;
    say(this.#verdict, table.verdict);
    say(this.gist, table.verdict.replace(/\.$/, ""));
    this.#usual.replaceChildren(
      ...table.forms.map(({ name, label }) => h("option", { value: name }, label)),
    );
    this.#usual.value = sewing.form;
    this.#tellCloths(view, table);
    this.#amounts.replaceChildren(
      ...table.amounts.map(({ what, much }) =>
        h("div", {}, h("dt", {}, what), h("dd", {}, much.replace(/\.$/, ""))),
      ),
    );
    this.#seam.show(sewing.seam);
    this.#squaring.show(sewing.squaring);
    this.#side.show(sewing.side_square);
    this.#corner.show(sewing.corner_square);
    put(this.#shrinkage, sewing.shrinkage);
    this.#triangles.value = sewing.triangles;
    this.#squares.hidden = view.plan.brief.setting.kind !== "on point";
    this.#point.hidden = !table.setting.length;
    tell(this.#setting, table.setting);
    this.#strips.hidden = !table.strip_sets.length;
    tell(this.#sets, table.strip_sets);
    say(this.#pressing, [table.pressing, ...table.notes].join(" "));
    this.#blocks.replaceChildren(...arrowed(view, table.arrows));
    tell(this.#care, table.care);
    this.#other.show(view, table);
    this.#text.href = `/api/plans/${view.id}/cutting.txt`;
  }

  /** @param {PlanView} view @param {CuttingTable} table */
  #tellCloths(view, table) {
    keep(
      this.#groups,
      grouped(table.cloths),
      ([key]) => key,
      () => h("section", {}, h("p", { class: "verdict" }), h("div", { class: "tiles" })),
      (section, [, rows]) => {
        const [{ brief, cloth, enough, verdict }] = rows;
        section.classList.toggle("short", !verdict.startsWith("fits"));
        const [words, tiles] = section.children;
        words.replaceChildren(
          h("b", {}, capital(brief)),
          h(
            "span",
            { class: "quiet" },
            `${capital(cloth)}${rows.length > 1 ? " each" : ""}${enough ? `; ${enough} would do` : ""}`,
          ),
        );
        tiles.replaceChildren(...rows.flatMap((row) => this.#cloth(view, table, row)));
      },
    );
  }

  /** @param {PlanView} view @param {CuttingTable} table @param {ClothRow} row */
  #cloth(view, table, row) {
    const cloth = this.#cloths.get(row.fabric) ?? new CutCloth(row.fabric);
    this.#cloths.set(row.fabric, cloth);
    cloth.show(view, table, row);
    return cloth.elements;
  }
}

customElements.define("cutting-step", CuttingStep);
