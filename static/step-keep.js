/** Step: keep it. Downloads, print, and the other plans. */

import { h, keep } from "./dom.js";
import { ask } from "./server.js";
import { Step } from "./step.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {{id: string, title: string, saved_at: string}} Kept */

const FILES = [
  { path: "drawings/cloth.png", words: "Picture of the quilt", form: "PNG", layout: true },
  { path: "drawings/cloth.svg", words: "Drawing of the quilt", form: "SVG", layout: true },
  { path: "drawings/picks.png", words: "Fabrics with reasons", form: "PNG", layout: false },
  { path: "cutting.txt", words: "What to cut", form: "Text", layout: true, ground: true },
  { path: "booklet.pdf", words: "The pattern to print", form: "PDF", layout: true, ground: true },
  { path: "plan.json", words: "The plan itself", form: "JSON", layout: false },
];

const CARE = [
  "Close a rotary cutter after every cut, cut away from your body, and keep fingers off the ruler's edge.",
  "Keep hands clear of steam and unplug the iron when done. Keep fingers clear of the needle; never sew over pins.",
  "Young people sew with an adult beside them. Follow your tools' instructions and the rules that hold where you are.",
];

class KeepStep extends Step {
  #facts = h("ul", { class: "facts" });
  #files = h("ul", { class: "files" });
  #plans = h("ul", { class: "plans" });

  build() {
    this.append(
      this.#facts,
      this.#files,
      h("p", {}, h("button", { type: "button", onclick: () => print() }, "Print")),
      h("h3", {}, "Care at the cutting table"),
      h("ul", { class: "facts" }, ...CARE.map((line) => h("li", {}, line))),
      h("h3", {}, "Your plans"),
      this.#plans,
      this.trouble,
    );
    this.closest("details")?.addEventListener("toggle", () => this.#list());
  }

  /** @param {PlanView} view */
  show(view) {
    keep(
      this.#facts,
      view.summary,
      (line) => line,
      (line) => h("li", {}, line),
    );
    const { layout: laid, background } = view.plan;
    const ready = FILES.filter(
      ({ layout, ground }) => (laid || !layout) && (background || !ground),
    );
    keep(
      this.#files,
      view.plan.brief.swatches.length ? ready : [],
      ({ path }) => `${view.id} ${path}`,
      ({ path, words, form }) => {
        const href = `/api/plans/${view.id}/${path}?download=true`;
        return h("li", {}, h("a", { href, download: true }, words), h("span", {}, form));
      },
    );
  }

  /** List the plans there are. */
  #list() {
    if (!this.closest("details")?.open) return;
    this.attempt(async () => {
      /** @type {Kept[]} */
      const plans = await ask("GET", "/api/plans");
      keep(
        this.#plans,
        plans,
        ({ id, title }) => `${id} ${title}`,
        ({ id, title, saved_at }) => {
          const when = new Date(saved_at).toLocaleDateString();
          return h("li", {}, h("a", { href: `#plan=${id}` }, title), h("span", {}, when));
        },
      );
    });
  }
}

customElements.define("keep-step", KeepStep);
