/** Step: finishing. Borders, binding, backing, and the thread to quilt with. */

import { ClothField } from "../../parts/cloth-field.js";
import { box, button, h, keep, many, say, section, tick } from "../../parts/dom.js";
import { lengthField } from "../../parts/length-field.js";
import { ownColour } from "../../parts/own-colour.js";
import { add, chooser } from "../../parts/photos.js";
import { picture } from "../../parts/swatch.js";
import { sewingOf } from "../../plan/fabrics.js";
import { workspace } from "../../plan/workspace.js";
import { onward, Step } from "../step.js";
import { ThreadChart } from "./thread-chart.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").Band} Border */

/** Width a new border begins with, inches. */
const BEGIN = "2";

class FinishStep extends Step {
  #borders = h("div.borders");
  #size = h("p.quiet", { role: "status" });
  #binding = this.#cloth("Binding", "Like the outermost border", "binding_fabric");
  #backing = this.#cloth("Backing", "To be bought", "backing_fabric");
  #bindingWidth = lengthField("Cut width", (binding) => this.change({ sewing: { binding } }));
  #bias = box((on) => this.change({ sewing: { grain: on ? "bias" : "straight" } }));
  #diagonal = box((on) => this.change({ sewing: { join: on ? "diagonal" : "straight" } }));
  #threads = new ThreadChart(
    (thread) => this.change({ thread }),
    (id) => this.attempt(() => workspace.write("DELETE", `fabrics/${id}`)),
  );
  /** @type {WeakMap<HTMLElement, {cloth: ClothField, width: ReturnType<typeof lengthField>}>} */
  #rows = new WeakMap();

  build() {
    const more = () => this.#setBorders([...this.#given, { width: BEGIN, fabric: "" }]);
    const own = ownColour("the thread's colour", (colour) =>
      workspace.write("POST", "colours", { colour, role: "thread" }),
    );
    const photo = chooser("Photo of a thread", ([file]) => this.attempt(() => add(file, "thread")));
    this.append(
      section("Borders", this.#borders, button("Add a border", more), this.#size),
      this.errors,
      section(
        "Binding",
        h("div.edge", this.#binding.element, this.#bindingWidth.element),
        tick(this.#bias, "Cut on the bias"),
        tick(this.#diagonal, "Strips joined diagonally"),
      ),
      section("Backing", this.#backing.element),
      section(
        "Thread",
        h(
          "p.quiet",
          "Stitched over your fabrics. The bar below is thick where a thread shows, thin where it is soft.",
        ),
        this.#threads.element,
        h("div.own-thread", own, photo),
      ),
      onward("cutting", "See what to cut"),
    );
  }

  /**
   * @param {string} label
   * @param {string} none
   * @param {"binding_fabric" | "backing_fabric"} name
   */
  #cloth(label, none, name) {
    return new ClothField(label, none, (id) => workspace.change({ [name]: id }));
  }

  get #given() {
    return workspace.view?.plan.brief.borders ?? [];
  }

  /** @param {Border[]} borders */
  #setBorders(borders) {
    return this.change({ borders });
  }

  /** @param {number} index @param {Partial<Border>} fields */
  #withBorder(index, fields) {
    return this.#given.map((border, i) => (i === index ? { ...border, ...fields } : border));
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, background } = view.plan;
    const { borders } = brief;
    const sewing = sewingOf(view);
    keep(
      this.#borders,
      borders.map((border, index) => ({ ...border, index })),
      ({ index }) => String(index),
      ({ index }) => this.#border(index),
      (element, border) => this.#update(element, border, view),
    );
    say(this.#size, `${view.size.words} finished`);
    const outermost = borders.at(-1)?.fabric || background;
    this.#binding.show(view, brief.binding_fabric, outermost);
    this.#backing.show(view, brief.backing_fabric, "");
    this.#bindingWidth.show(sewing.binding);
    this.#bias.checked = sewing.grain === "bias";
    this.#diagonal.checked = sewing.join === "diagonal";
    this.#threads.show(view);
    this.#showGist(view);
  }

  /** @param {PlanView} view */
  #showGist({ plan: { brief, background } }) {
    const fabrics = brief.borders.map(({ fabric }) => fabric || background).filter(Boolean);
    this.gist.replaceChildren(
      brief.borders.length ? many(brief.borders.length, "border") : "no border",
      ...fabrics.slice(0, 4).map((id) => picture(id)),
    );
  }

  /** @param {number} index */
  #border(index) {
    const cloth = new ClothField("Border", "Like the background", (fabric) =>
      workspace.change({ borders: this.#withBorder(index, { fabric }) }),
    );
    const width = lengthField("Width", (value) =>
      this.#setBorders(this.#withBorder(index, { width: value })),
    );
    const remove = () => this.#setBorders(this.#given.filter((_, i) => i !== index));
    const name = `Remove border ${index + 1}`;
    const away = h("button.small", { "aria-label": name, onclick: remove }, "Remove");
    const group = { class: "edge", role: "group", "aria-label": `Border ${index + 1}` };
    const row = h("div", group, cloth.element, width.element, away);
    this.#rows.set(row, { cloth, width });
    return row;
  }

  /** @param {HTMLElement} row @param {Border & {index: number}} border @param {PlanView} view */
  #update(row, { index, width, fabric }, view) {
    const parts = this.#rows.get(row);
    const last = view.plan.brief.borders.length - 1;
    const place = last && { 0: ", innermost", [last]: ", outermost" }[index];
    parts?.cloth.show(view, fabric, view.plan.background, `Border ${index + 1}${place || ""}`);
    parts?.width.show(width);
  }
}

customElements.define("finish-step", FinishStep);
