/** One fabric on the cutting table: its tile, and its card with cloth, drawing and cuts. */

import { field } from "../../parts/controls.js";
import { button, h, keep, offer, put, say, set } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { lengthField } from "../../parts/length-field.js";
import { pictures } from "../../parts/swatch.js";
import { sewingOf } from "../../plan/fabrics.js";
import { workspace } from "../../plan/workspace.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").CuttingTable} CuttingTable */
/** @typedef {import("../../types/api.d.ts").ClothRow} ClothRow */
/** @typedef {import("../../types/api.d.ts").OwnCloth} OwnCloth */
/** @typedef {import("../../types/api.d.ts").FormKind} FormKind */

export class CutCloth {
  #id;
  #at;
  /** All cloths of this fabric as they are cut now. @type {ClothRow[]} */
  #rows = [];
  #enough = 1;
  #picture = h("span.picture");
  #name = h("span.name");
  #tile = h(
    "button.tile",
    { "aria-expanded": false, onclick: () => this.#turn() },
    this.#picture,
    this.#name,
  );
  #title = h("h3");
  #words = h("p");
  #select = h("select", { onchange: () => this.#set({ form: this.#chosen }, true) });
  #count = h("input", {
    type: "number",
    min: 1,
    max: 100,
    inputmode: "numeric",
    onchange: () => this.#set({ count: this.#count.valueAsNumber || 1 }),
  });
  #countField = field("Pieces of it", this.#count);
  #width = lengthField("Usable width", (width) => this.#set({ width: width || null }));
  #height = lengthField("Usable height", (height) => this.#set({ height: height || null }));
  #length = lengthField("Length at hand, washed", (length) =>
    this.#set({ length: length || null }),
  );
  #another = button("I have another piece of it", () =>
    this.#save([...this.#others, ...this.#mine, this.#plain("yardage")]),
  );
  #less = button("Not this piece", () =>
    this.#save([...this.#others, ...this.#mine.filter((_, at) => at !== this.#at)]),
  );
  #usual = button("Like the other fabrics", () => this.#save(this.#others));
  #more = button("", () => this.#set({ count: this.#enough }));
  #errors = errorPlace();
  #drawing = h("img", { loading: "lazy" });
  #larger = h("a", { target: "_blank" }, "Open the drawing by itself");
  #place = h("div.cut-drawing", { role: "group", tabindex: 0 }, this.#drawing);
  #cuts = h("ol.cuts");
  #care = h("p.quiet");
  #card = h(
    "div.card",
    { hidden: true },
    this.#title,
    this.#words,
    field("Comes as", this.#select),
    h(
      "div.fields",
      this.#countField,
      this.#length.element,
      this.#height.element,
      this.#width.element,
    ),
    h("div.take", this.#more, this.#another, this.#less, this.#usual),
    this.#errors,
    this.#place,
    h("p.take", this.#larger),
    this.#cuts,
    this.#care,
  );
  /** The tile and the card that it opens. */
  elements = [this.#tile, this.#card];

  /** @param {string} id @param {number} at which of the fabric's cloths */
  constructor(id, at) {
    this.#id = id;
    this.#at = at;
  }

  #turn() {
    this.#card.hidden = !this.#card.hidden;
    set(this.#tile, { "aria-expanded": !this.#card.hidden });
    this.#draw();
  }

  get #chosen() {
    return /** @type {FormKind} */ (this.#select.value);
  }

  get #cloths() {
    return workspace.view ? (sewingOf(workspace.view).cloths ?? []) : [];
  }

  get #others() {
    return this.#cloths.filter(({ fabric }) => fabric !== this.#id);
  }

  /** What the fabric comes as: as it is told, else as it is taken to be. */
  get #mine() {
    const told = this.#cloths.filter(({ fabric }) => fabric === this.#id);
    return told.length ? told : this.#rows.map(({ form }) => this.#plain(form));
  }

  /** A cloth of which nothing was measured. @param {FormKind} form @returns {OwnCloth} */
  #plain(form) {
    return {
      fabric: this.#id,
      form,
      count: 1,
      length: null,
      width: null,
      height: null,
      units: null,
      along: "long side",
    };
  }

  /**
   * Say that the cloth at hand is another.
   * @param {Partial<OwnCloth>} fields
   * @param {boolean} [anew] forget what was measured of the cloth before
   */
  #set(fields, anew = false) {
    const changed = this.#mine.map((own, at) =>
      at === this.#at ? { ...(anew ? this.#plain(own.form) : own), ...fields } : own,
    );
    return this.#save([...this.#others, ...changed]);
  }

  /** @param {OwnCloth[]} cloths */
  #save(cloths) {
    return attempt(this.#errors, () => workspace.change({ sewing: { cloths } }));
  }

  /** @param {PlanView} view @param {CuttingTable} table @param {ClothRow} row */
  show(view, table, row) {
    this.#rows = table.cloths
      .filter(({ fabric }) => fabric === row.fabric)
      .sort((one, two) => one.at - two.at);
    const own = this.#cloths.filter(({ fabric }) => fabric === row.fabric)[this.#at];
    const open = row.form === "yardage";
    pictures(this.#picture, [row.fabric]);
    say(this.#name, row.name);
    say(this.#title, row.name);
    say(this.#words, row.sentences.join(" "));
    offer(
      this.#select,
      table.forms.map(({ name, label }) => [name, label]),
      row.form,
    );
    this.#countField.hidden = open;
    put(this.#count, own?.count ?? 1);
    this.#height.element.hidden = open;
    this.#height.show(own?.height, "as usual");
    this.#width.show(own?.width, "as usual");
    this.#length.element.hidden = !open;
    this.#length.show(own?.length, "to be bought");
    this.#usual.hidden = !row.own;
    this.#less.hidden = this.#rows.length < 2;
    this.#more.hidden = !row.enough;
    say(this.#more, `Take ${row.enough} of them`);
    this.#enough = row.enough ?? 1;
    this.#larger.href = workspace.path(
      `cutting/${row.fabric}.svg?revision=${view.revision}&cloth=${row.at}`,
    );
    const drawn = `Cutting drawing of ${row.name}`;
    set(this.#place, { "aria-label": drawn });
    this.#drawing.alt = `${drawn}, to scale`;
    keep(
      this.#cuts,
      row.cuts,
      ({ numbers, words }) => `${numbers} ${words}`,
      ({ numbers, words }) => h("li", h("b", numbers), h("span", words)),
    );
    say(this.#care, table.care[0]);
    this.#draw();
  }

  /** Show the drawing once somebody looks. */
  #draw() {
    if (!this.#card.hidden && this.#drawing.src !== this.#larger.href) {
      this.#drawing.src = this.#larger.href;
    }
  }
}
