/** Other forms of cloth side by side: what each gives, and which the pattern is told for. */

import { fold, h, keep, say, set } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { sewingOf } from "../../plan/fabrics.js";
import { workspace } from "../../plan/workspace.js";

/** @typedef {import("../../types/api.d.ts").FormRow} FormRow */
/** @typedef {import("../../types/api.d.ts").FormsOut} FormsOut */

/** Forms are laid either way; a pattern is told for a form, laid the better way. */
export class OtherForms {
  #list = h("ul.forms");
  #doing = h("p.quiet", { role: "status" });
  #errors = errorPlace();
  #asked = "";
  element = fold(
    "Other forms of cloth, side by side",
    { class: "unprinted", ontoggle: () => this.show() },
    h("div.group", this.#list, this.#doing, this.#errors),
  );

  /** Ask anew when the plan is another, while somebody looks. */
  show() {
    const key = `${workspace.view?.id} ${workspace.view?.revision}`;
    if (!this.element.open || key === this.#asked) return;
    this.#asked = key;
    say(this.#doing, "Working it out");
    attempt(this.#errors, async () => {
      try {
        /** @type {FormsOut} */
        const { rows } = await workspace.read("cutting/forms");
        if (this.#asked === key) this.#tell(rows);
      } catch (error) {
        if (this.#asked === key) this.#asked = "";
        throw error;
      } finally {
        if (this.#asked === key || !this.#asked) say(this.#doing, "");
      }
    });
  }

  /** @param {FormRow[]} rows */
  #tell(rows) {
    keep(
      this.#list,
      rows,
      (row) => JSON.stringify(row),
      (row) =>
        h(
          "li",
          h(
            "span",
            h("b", row.name),
            ...[row.needed, row.gives, row.fewest, row.cuts]
              .filter((words) => words)
              .map((words) => h("small", words)),
          ),
          row.usual ? h("span.quiet", "as now") : this.#choices(row),
        ),
    );
  }

  /** @param {FormRow} row */
  #choices(row) {
    const box = h("input", { type: "checkbox", onchange: () => this.#choose(row, box.checked) });
    set(box, { "aria-label": `${row.name} in the pattern` });
    box.checked = row.chosen;
    const use = () => this.#change({ form: row.kind, along: row.along, form_units: null });
    return h(
      "span.quiet",
      h("label", box, " In the pattern "),
      h("button", { "aria-label": `Use ${row.name}`, onclick: use }, "Use"),
    );
  }

  /** @param {FormRow} row @param {boolean} chosen */
  #choose({ kind }, chosen) {
    if (!workspace.view) return;
    const others = (sewingOf(workspace.view).alternates ?? []).filter((each) => each !== kind);
    this.#change({ alternates: chosen ? [...others, kind] : others });
  }

  /** @param {Partial<import("../../types/api.d.ts").Sewing>} sewing */
  #change(sewing) {
    return attempt(this.#errors, () => workspace.change({ sewing }));
  }
}
