/** Step: cutting. What fits, what is short, what to buy; how it is cut, sewn and pressed. */

import { field } from "../../parts/controls.js";
import {
  box,
  button,
  capital,
  fold,
  h,
  keep,
  list,
  offer,
  put,
  say,
  section,
  tick,
} from "../../parts/dom.js";
import { errorPlace } from "../../parts/errors.js";
import { lengthField } from "../../parts/length-field.js";
import { sewingOf } from "../../plan/fabrics.js";
import { shown, unit } from "../../plan/lengths.js";
import { Stopped, watch } from "../../plan/server.js";
import { workspace } from "../../plan/workspace.js";
import { Step } from "../step.js";
import { CutCloth } from "./cut-cloth.js";
import { Methods } from "./methods.js";
import { OtherForms } from "./other-forms.js";
import { OtherSizes } from "./other-sizes.js";
import { arrowed } from "./pressing.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").CuttingTable} CuttingTable */
/** @typedef {import("../../types/api.d.ts").ClothRow} ClothRow */
/** @typedef {import("../../types/api.d.ts").ShoppingItem} ShoppingItem */
/** @typedef {import("../../types/api.d.ts").FormKind} FormKind */

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

/** One row of the shopping list. @param {ShoppingItem} item */
function bought({ what, purpose, needed, owned, buy, cuts }) {
  const there = owned ? `${owned} at hand` : "";
  const takes = needed !== buy && needed !== owned ? `needs ${needed}` : "";
  const quiet = [takes, buy ? there : ""].filter(Boolean).join(", ");
  const how = cuts.map((line) => h("li", line));
  return h(
    "div",
    h("dt", what, purpose ? ` (${purpose.toLowerCase()})` : ""),
    h(
      "dd",
      buy ? `Buy ${buy}` : there,
      quiet && h("p.quiet", quiet),
      how.length ? fold("How it is cut", h("ul.facts", ...how)) : "",
    ),
  );
}

/** @param {Element} place @param {string[]} lines */
const tell = (place, lines) => list(place, lines, (line) => h("li", capital(line)));

/** What a simple plan may cost, as shops cut: its length, and what it is called. */
const ALLOWANCES = {
  inches: [
    ["0", "for no more cloth"],
    ["4 1/2", "for up to 1/8 yd more"],
    ["9", "for up to 1/4 yd more"],
    ["18", "for up to 1/2 yd more"],
  ],
  cm: [
    ["0", "for no more cloth"],
    ["100 mm", "for up to 10 cm more"],
    ["200 mm", "for up to 20 cm more"],
    ["500 mm", "for up to 50 cm more"],
  ],
};

/** The aims of cutting that may be chosen, hers among them. @param {string} hers */
function aims(hers) {
  const usual = ALLOWANCES[unit() === "cm" ? "cm" : "inches"];
  const known = usual.some(([length]) => length === hers);
  const own = known ? [] : [[hers, `for up to ${shown(hers)} ${unit()} more`]];
  const simple = [...usual, ...own].map(([length, words]) => [length, `Simplest, ${words}`]);
  return /** @type {[string, string][]} */ ([...simple, ["least", "Least cloth"]]);
}

class CuttingStep extends Step {
  #verdict = h("p.sentence", { role: "status" });
  #checked = h("p.quiet");
  #doing = h("span.quiet");
  #stop = h("button.small", { onclick: () => this.#turn() }, "Stop");
  #usual = h("select", {
    onchange: () =>
      this.change({
        sewing: {
          form: /** @type {FormKind} */ (this.#usual.value),
          form_units: null,
          along: "long side",
        },
      }),
  });
  #aim = h("select", {
    onchange: () => {
      const chosen = this.#aim.value;
      const simple = chosen !== "least";
      this.#sew(simple ? { aim: "simplest", allowance: chosen } : { aim: "least" });
    },
  });
  #aims = h("p.quiet");
  #atHand = box((at_hand) => this.#sew({ at_hand }));
  #groups = h("div.cut-groups");
  #shopping = h("dl.shopping");
  #amounts = h("dl.amounts");
  #seam = lengthField("Seam allowance", (seam) => this.#sew({ seam }));
  #squaring = lengthField("Lost squaring up a strip set", (squaring) => this.#sew({ squaring }));
  #shrinkage = h("input", {
    type: "number",
    min: 0,
    max: 20,
    step: 0.5,
    inputmode: "decimal",
    onchange: () => this.#sew({ shrinkage: this.#shrinkage.valueAsNumber || 0 }),
  });
  #side = lengthField("My square for side triangles", (side) =>
    this.#sew({ side_square: side.trim() || "0" }),
  );
  #corner = lengthField("My square for corner triangles", (side) =>
    this.#sew({ corner_square: side.trim() || "0" }),
  );
  #oversize = lengthField("Cut the others larger by", (side) =>
    this.#sew({ oversize: side.trim() || "0" }),
  );
  #floating = lengthField("Blocks float by", (by) => this.#sew({ floating: by.trim() || "0" }));
  #ownHeight = lengthField("My own pre-cut, height", (height) =>
    this.#sew({ own_height: height.trim() || null }),
  );
  #ownWidth = lengthField("My own pre-cut, width", (width) =>
    this.#sew({ own_width: width.trim() || null }),
  );
  #bad = errorPlace();
  #setting = h("ul.facts");
  #sets = h("ul.facts");
  #pressing = h("p");
  #blocks = h("div.pressed");
  #care = h("ul.facts");
  #body = h("div.cutting", { hidden: true });
  #strips = section("Strip sets", this.#sets);
  #squares = h("div.fields");
  #point = section("Between and around the blocks", this.#setting);
  #methods = new Methods();
  #otherForms = new OtherForms();
  #other = new OtherSizes();
  #text = h("a", { download: true }, "All of it as a text");
  /** @type {Map<string, CutCloth>} */
  #cloths = new Map();
  /** @type {AbortController | null} */
  #asking = null;
  #asked = "";
  #plan = "";

  build() {
    this.#point.append(this.#squares);
    this.#squares.append(
      ...[this.#side, this.#corner, this.#oversize, this.#floating].map(({ element }) => element),
    );
    this.#body.append(
      field("The fabrics come as", this.#usual),
      tick(this.#atHand, "I have a piece of each fabric"),
      field("Aim of cutting", this.#aim),
      this.#aims,
      this.#otherForms.element,
      h("p.quiet.unprinted", "Open a fabric for its cloth, its cutting drawing and its cuts."),
      this.#groups,
      section("Shopping list", this.#shopping),
      section("In all", this.#amounts),
      this.#methods.element,
      h(
        "section.unprinted",
        h("h3", "How you sew"),
        h("div.fields", this.#seam.element, this.#squaring.element),
        h("div.fields", this.#ownHeight.element, this.#ownWidth.element),
        h("div.fields", field("Yardage shrinks by, per cent", this.#shrinkage)),
        this.#bad,
      ),
      this.#point,
      this.#strips,
      section("Pressing", this.#pressing, this.#blocks),
      this.#other.element,
      section("Take care", this.#care),
      h(
        "p.take",
        button("Print", () => print()),
        this.#text,
      ),
    );
    this.append(
      this.#verdict,
      this.#checked,
      h("p.working", this.#doing, this.#stop),
      this.errors,
      this.#body,
    );
    this.#stop.hidden = true;
  }

  turned() {
    this.refresh();
  }

  /** @param {Partial<import("../../types/api.d.ts").Sewing>} sewing */
  #sew(sewing) {
    return this.change({ sewing }, this.#bad);
  }

  /** @param {PlanView} view */
  show(view) {
    const { layout, background } = view.plan;
    if (this.#plan !== view.id) this.#clear(view.id);
    if (!layout || !background) {
      this.#clear(view.id);
      if (layout) say(this.#doing, "Choose a background first.");
      return;
    }
    const key = `${view.id} ${view.revision}`;
    if (this.details.open && key !== this.#asked) {
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
    say(this.#checked, "");
    say(this.gist, "");
    this.#cloths.clear();
    this.#groups.replaceChildren();
  }

  /** Stop what is being worked out, or begin again. */
  #turn() {
    if (this.#asking) return this.#asking.abort();
    this.#asked = "";
    this.refresh();
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
    const path = workspace.path("cutting/table");
    try {
      const answer = await watch("GET", path, undefined, {}, progress, asking.signal);
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
    const sewing = sewingOf(view);
    this.#body.hidden = false;
    say(this.#verdict, table.verdict);
    say(this.#checked, table.checked);
    say(this.gist, table.verdict.replace(/\.$/, ""));
    offer(
      this.#usual,
      table.forms.map(({ name, label }) => [name, label]),
      sewing.form,
    );
    const allowance = sewing.allowance ?? "9";
    const hers = sewing.aim === "least" ? "least" : allowance;
    offer(this.#aim, aims(allowance), hers);
    say(this.#aims, table.aims);
    this.#aims.hidden = !table.aims;
    this.#tellCloths(view, table);
    this.#atHand.checked = sewing.at_hand ?? true;
    this.#shopping.replaceChildren(...table.shopping.map(bought));
    this.#amounts.replaceChildren(
      ...table.amounts.map(({ what, much }) => h("div", h("dt", what), h("dd", much))),
    );
    this.#seam.show(sewing.seam);
    this.#squaring.show(sewing.squaring);
    this.#ownHeight.show(sewing.own_height, "none");
    this.#ownWidth.show(sewing.own_width, "none");
    this.#side.show(sewing.side_square);
    this.#corner.show(sewing.corner_square);
    this.#oversize.show(sewing.oversize);
    this.#floating.show(sewing.floating);
    put(this.#shrinkage, sewing.shrinkage);
    this.#methods.show(table.methods);
    this.#squares.hidden = view.plan.brief.setting.kind !== "on point";
    this.#point.hidden = !table.setting.length;
    tell(this.#setting, table.setting);
    this.#strips.hidden = !table.strip_sets.length;
    tell(this.#sets, table.strip_sets);
    say(this.#pressing, [table.pressing, ...table.notes].join(" "));
    this.#blocks.replaceChildren(...arrowed(view, table.arrows));
    tell(this.#care, table.care);
    this.#otherForms.show();
    this.#other.show(view, table);
    this.#text.href = workspace.path("cutting.txt");
  }

  /** @param {PlanView} view @param {CuttingTable} table */
  #tellCloths(view, table) {
    keep(
      this.#groups,
      grouped(table.cloths),
      ([key]) => key,
      () => h("section", h("p.verdict"), h("div.tiles")),
      (section, [, rows]) => {
        const [{ brief, cloth, enough, fits }] = rows;
        section.classList.toggle("short", !fits);
        const [words, tiles] = section.children;
        words.replaceChildren(
          h("b", capital(brief)),
          h(
            "span.quiet",
            `${capital(cloth)}${rows.length > 1 ? " each" : ""}${enough ? `; ${enough} would do` : ""}`,
          ),
        );
        tiles.replaceChildren(...rows.flatMap((row) => this.#cloth(view, table, row)));
      },
    );
  }

  /** @param {PlanView} view @param {CuttingTable} table @param {ClothRow} row */
  #cloth(view, table, row) {
    const key = `${row.fabric} ${row.at}`;
    const cloth = this.#cloths.get(key) ?? new CutCloth(row.fabric, row.at);
    this.#cloths.set(key, cloth);
    cloth.show(view, table, row);
    return cloth.elements;
  }
}

customElements.define("cutting-step", CuttingStep);
