/** How the block's units are made: a choice for each kind, and what every way does beside it. */

import { field } from "../../parts/controls.js";
import { fold, h, keep, offer, say, set } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { workspace } from "../../plan/workspace.js";

/** @typedef {import("../../types/api.d.ts").MethodChoice} MethodChoice */
/** @typedef {import("../../types/api.d.ts").MethodRow} MethodRow */
/** @typedef {import("../../types/api.d.ts").MethodsOut} MethodsOut */
/** @typedef {Partial<import("../../types/api.d.ts").Sewing>} Sewing */

/** Every way is worked out while somebody looks: the plan is cut again for each. */
export class Methods {
  #fields = h("div.fields");
  #list = h("ul.forms");
  #doing = h("p.quiet", { role: "status" });
  #errors = errorPlace();
  #asked = "";
  #fold = fold(
    "What each way does to cloth and work",
    { ontoggle: () => this.#ask() },
    h("div.group", this.#list, this.#doing),
  );
  element = h(
    "section.unprinted",
    h("h3", "How units are made"),
    this.#fields,
    this.#fold,
    this.#errors,
  );

  /** @param {MethodChoice[]} choices */
  show(choices) {
    this.element.hidden = !choices.length;
    keep(
      this.#fields,
      choices,
      ({ decision }) => decision,
      ({ decision, label }) => {
        const select = h("select", { onchange: () => this.#use(decision, select.value) });
        return field(label, select);
      },
      (element, { options, chosen }) => {
        const select = /** @type {HTMLSelectElement} */ (element.querySelector("select"));
        offer(
          select,
          options.map(({ name, label }) => [name, label]),
          chosen,
        );
      },
    );
    this.#ask();
  }

  #ask() {
    const key = `${workspace.view?.id} ${workspace.view?.revision}`;
    if (!this.#fold.open || key === this.#asked) return;
    this.#asked = key;
    say(this.#doing, "Cutting the quilt by each way");
    attempt(this.#errors, async () => {
      try {
        /** @type {MethodsOut} */
        const { rows } = await workspace.read("cutting/methods");
        if (this.#asked === key) this.#tell(rows);
      } catch (error) {
        if (this.#asked === key) this.#asked = "";
        throw error;
      } finally {
        if (this.#asked === key || !this.#asked) say(this.#doing, "");
      }
    });
  }

  /** @param {MethodRow[]} rows */
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
            h("b", `${row.unit}: ${row.name}`),
            ...[row.cloth, row.change, row.work, row.special]
              .filter((words) => words)
              .map((words) => h("small", words)),
          ),
          row.usual ? h("span.quiet", "as now") : this.#button(row),
        ),
    );
  }

  /** @param {MethodRow} row */
  #button({ decision, method, unit, name }) {
    const button = h("button", { onclick: () => this.#use(decision, method) }, "Use");
    set(button, { "aria-label": `Use: make ${unit} ${name}` });
    return button;
  }

  /** @param {string} decision @param {string} method */
  #use(decision, method) {
    const sewing = /** @type {Sewing} */ ({ [decision]: method });
    return attempt(this.#errors, () => workspace.change({ sewing }));
  }
}
