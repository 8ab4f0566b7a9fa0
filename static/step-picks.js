/** Step: how many fabrics. Which are used, which are not and why. */

import { h, keep, many, put, say } from "./dom.js";
import { onward, Step } from "./step.js";
import { nameOf, picture, pictures, why } from "./swatch.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */

class PicksStep extends Step {
  #slider = h("input", { type: "range", min: 1, max: 1, "aria-label": "How many fabrics" });
  #number = h("output", { class: "big" });
  #all = h(
    "button",
    { type: "button", onclick: () => this.change({ count: null }) },
    "Use all that stand out",
  );
  #kept = h("div", { class: "mosaic" });
  #closest = h("p", { class: "beside" });
  #relax = h("div", { class: "relax" });
  #out = h("div", { class: "outs" });
  #heading = h("h3", {}, "Left out");

  build() {
    this.#slider.addEventListener("input", () => say(this.#number, this.#slider.value));
    this.#slider.addEventListener("change", () =>
      this.change({ count: Number(this.#slider.value) }),
    );
    this.append(
      h("div", { class: "howmany" }, this.#number, this.#slider, this.#all),
      this.trouble,
      this.#kept,
      this.#closest,
      this.#relax,
      this.#heading,
      this.#out,
      onward("setting", "Choose the setting"),
    );
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, choice } = view.plan;
    const kept = choice?.kept ?? [];
    this.#slider.max = String(Math.max(1, brief.swatches.length));
    put(this.#slider, brief.count ?? kept.length);
    say(this.#number, this.#slider.value);
    this.#all.hidden = brief.count === null;
    const lightness = new Map(
      brief.swatches.map(({ fabric }) => [fabric.id, fabric.reads_as.lightness]),
    );
    pictures(
      this.#kept,
      kept.toSorted((a, b) => (lightness.get(b) ?? 0) - (lightness.get(a) ?? 0)),
    );
    this.#showClosest(view);
    this.#showRelax(view);
    this.#heading.hidden = !choice?.left_out.length;
    keep(
      this.#out,
      choice?.left_out ?? [],
      (entry) => `${entry.fabric} ${entry.sentence}`,
      (entry) => why(entry),
    );
    this.gist.textContent = choice ? `${kept.length} of ${brief.swatches.length}` : "";
  }

  /** The two most alike. @param {PlanView} view */
  #showClosest(view) {
    const choice = view.plan.choice;
    const pair = choice?.closest_pair;
    this.#closest.hidden = !pair;
    if (!pair) return;
    const proved = choice.proved ? " No other choice does better." : "";
    const words = `The two most alike differ by ${choice.closest?.toFixed(1)}.${proved}`;
    this.#closest.replaceChildren(
      picture(pair[0], nameOf(pair[0])),
      picture(pair[1], nameOf(pair[1])),
      h("span", {}, words),
    );
  }

  /** What would bring more back. @param {PlanView} view */
  #showRelax(view) {
    const { choice, brief } = view.plan;
    const problems = (choice?.problems ?? []).map((text) => h("p", {}, text));
    const ways = (choice?.relax ?? []).map(({ limit, value, sentence, brings_back }) => {
      const loosen = () => this.change({ limits: { ...brief.limits, [limit]: value } });
      const words = `Bring back ${many(brings_back.length, "fabric")}`;
      return h("p", {}, sentence, " ", h("button", { type: "button", onclick: loosen }, words));
    });
    this.#relax.replaceChildren(...problems, ...ways);
  }
}

customElements.define("picks-step", PicksStep);
