/** Other sizes: blocks that suit a form of cloth, and the same pattern for every bed. */

import { field } from "../../parts/controls.js";
import { fold, h, keep, many, offer, say } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { lengthField } from "../../parts/length-field.js";
import { sewingOf } from "../../plan/fabrics.js";
import { inches, shown, unit } from "../../plan/lengths.js";
import { workspace } from "../../plan/workspace.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").CuttingTable} CuttingTable */
/** @typedef {import("../../types/api.d.ts").WhatIfRow} WhatIfRow */
/** @typedef {import("../../types/api.d.ts").BedRow} BedRow */
/** @typedef {{name: string, more: string[], pressed: boolean, use: () => void}} Line */

/** Blocks to try on a piece of cloth, the largest first: by the inch, or in whole centimetres. */
function ranges() {
  const metric = unit() === "cm";
  const [largest, count] = metric ? [36, 27] : [14, 10];
  return Array.from({ length: count }, (_, at) => {
    const most = largest - at;
    return metric ? [`${most} cm`, `${most} cm`] : [`${most - 0.75}`, `${most}`];
  });
}

/** The largest block for every number of blocks that one piece holds. @param {WhatIfRow[]} rows */
function best(rows) {
  // Metric sizes are tried in whole centimetres; with seams they need not fall on a mark.
  const ruled = rows.filter((row) => row.on_ruler || unit() === "cm").toReversed();
  return ruled.filter(
    ({ usable }, at) =>
      usable.blocks > Math.max(0, ...ruled.slice(0, at).map((larger) => larger.usable.blocks)),
  );
}

/** A length with its unit. @param {string} length */
const withUnit = (length) => `${shown(length)} ${unit() === "cm" ? "cm" : "in"}`;

/** What one piece of cloth holds. @param {import("../../types/api.d.ts").HoldingOut} holding */
const holds = ({ blocks, spare, waste, whole }) =>
  `${many(blocks, "block")}, ${whole ? "to the last thread" : `${withUnit(spare)} of height to spare, ${Math.round(100 * waste)} % waste`}`;

/** A question that is asked when its fold is opened, and again when the plan is another. */
class Question {
  #list = h("ul.sizes");
  #errors = errorPlace();
  #answer;
  #asked = "";
  #turn = 0;
  #doing = h("p.quiet", { role: "status" });
  element;

  /**
   * @param {string} title
   * @param {Element[]} controls
   * @param {(tell: (lines: Line[]) => boolean) => Promise<void>} answer tells what is known so
   *   far, as often as it likes, and ends when it hears that nobody waits any more
   */
  constructor(title, controls, answer) {
    this.#answer = answer;
    this.element = fold(
      title,
      { ontoggle: () => this.show() },
      h("div.group", ...controls, this.#list, this.#doing, this.#errors),
    );
  }

  /** Ask anew if anything is another. @param {boolean} [anew] */
  show(anew = false) {
    const key = `${workspace.view?.id} ${workspace.view?.revision}`;
    if (!this.element.open || (!anew && key === this.#asked)) return;
    this.#asked = key;
    say(this.#doing, "Working it out");
    const waits = () => this.element.open && this.#asked === key && this.#turn === turn;
    const turn = ++this.#turn;
    attempt(this.#errors, async () => {
      try {
        await this.#answer((lines) => {
          if (waits()) this.#tell(lines);
          return waits();
        });
      } finally {
        if (!this.element.open) this.#asked = "";
        if (this.#turn === turn) say(this.#doing, "");
      }
    });
  }

  /** @param {Line[]} lines */
  #tell(lines) {
    keep(
      this.#list,
      lines,
      ({ name, more, pressed }) => `${name} ${more} ${pressed}`,
      ({ name, more, pressed, use }) =>
        h(
          "li",
          h("span", h("b", name), ...more.map((text) => h("small", text))),
          pressed
            ? h("span.quiet", "as now")
            : h("button", { "aria-label": `Use ${name}`, onclick: use }, "Use"),
        ),
    );
  }
}

export class OtherSizes {
  #form = h("select", { onchange: () => this.#blocks.show(true) });
  #drop = lengthField("Drop beside the mattress", (drop) => {
    this.#hangs = drop;
    this.#beds.show(true);
  });
  #hangs = "";
  #errors = errorPlace();
  #blocks = new Question(
    "Block sizes that suit a form of cloth",
    [field("One piece of", this.#form)],
    (tell) => this.#askBlocks(tell),
  );
  #beds = new Question("This pattern for every bed", [this.#drop.element], (tell) =>
    this.#askBeds(tell),
  );
  element = h(
    "section.unprinted",
    h("h3", "Other sizes"),
    this.#errors,
    this.#blocks.element,
    this.#beds.element,
  );

  /** @param {PlanView} view @param {CuttingTable} table */
  show(view, table) {
    const sewing = sewingOf(view);
    const pieces = table.forms.filter(({ name }) => name !== "yardage");
    const usual = pieces.find(({ name }) => name === sewing.form) ?? pieces[0];
    offer(
      this.#form,
      pieces.map(({ name, label }) => [name, label]),
      (pieces[this.#form.selectedIndex] ?? usual).name,
    );
    this.#drop.show(this.#drops);
    this.#blocks.show();
    this.#beds.show();
  }

  /** How far a quilt hangs down, as asked or as is common. */
  get #drops() {
    return this.#hangs || (unit() === "cm" ? "30 cm" : "12");
  }

  /** @param {import("../../types/api.d.ts").BriefChange} change */
  #use(change) {
    return () => attempt(this.#errors, () => workspace.change(change));
  }

  /** Ask inch by inch, the largest blocks first. @param {(lines: Line[]) => boolean} tell */
  async #askBlocks(tell) {
    const { setting } = /** @type {PlanView} */ (workspace.view).plan.brief;
    const line = (/** @type {WhatIfRow} */ { finished, nominal, usable }) => ({
      name: withUnit(finished),
      more: [
        holds(usable),
        ...(nominal.blocks > usable.blocks ? [`As sold: ${holds(nominal)}`] : []),
      ],
      pressed: inches(finished) === inches(setting.block_size),
      use: this.#use({ setting: { block_size: finished } }),
    });
    /** @type {WhatIfRow[]} */
    let known = [];
    for (const [least, most] of ranges()) {
      const query = { form: this.#form.value, least, most };
      /** @type {{rows: WhatIfRow[]}} */
      const { rows } = await workspace.read(`what-if?${new URLSearchParams(query)}`);
      known = [...rows, ...known];
      if (!tell(best(known).map(line))) return;
    }
  }

  /** @param {(lines: Line[]) => boolean} tell */
  async #askBeds(tell) {
    const { setting, borders: now } = /** @type {PlanView} */ (workspace.view).plan.brief;
    const query = new URLSearchParams({ drop: this.#drops });
    /** @type {{rows: BedRow[]}} */
    const { rows } = await workspace.read(`sizes?${query}`);
    const wide = (/** @type {{width: string}[]} */ list) =>
      list.reduce((sum, { width }) => sum + inches(width), 0);
    const lines = rows.map(({ words, size, across, down, blocks, border, borders, buy }) => ({
      name: `${words}, ${size.words}`,
      more: [`${across} × ${down}, ${many(blocks, "block")}, ${border} of border`, ...buy],
      pressed: across === setting.across && down === setting.down && wide(now) === wide(borders),
      use: this.#use({ setting: { across, down }, borders }),
    }));
    tell(lines);
  }
}
