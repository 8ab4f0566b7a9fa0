/** Step: keep it. Files to take away, the pattern to print, a link to show, and the other plans. */

import { desk } from "./desk.js";
import { h, keep, say } from "./dom.js";
import { forget, openFile, sure } from "./plans.js";
import { ask } from "./server.js";
import { check, choices, field, Step } from "./step.js";
import { attempt, troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").PlanLine} PlanLine */

const FILES = [
  { path: "drawings/cloth.png", words: "Picture of the quilt", form: "PNG", layout: true },
  { path: "drawings/cloth.svg", words: "Drawing of the quilt", form: "SVG", layout: true },
  { path: "drawings/picks.png", words: "Fabrics with reasons", form: "PNG", layout: false },
  { path: "cutting.txt", words: "What to cut", form: "Text", layout: true, ground: true },
  { path: "plan.zip", words: "The plan with its photos, to open elsewhere", form: "ZIP" },
  { path: "plan.json", words: "The plan without photos", form: "JSON" },
];

const CARE = [
  "Close a rotary cutter after every cut, cut away from your body, and keep fingers off the ruler's edge.",
  "Keep hands clear of steam and unplug the iron when done. Keep fingers clear of the needle; never sew over pins.",
  "Young people sew with an adult beside them. Follow your tools' instructions and the rules that hold where you are.",
];

/** The printed pattern: paper, ink, and the designer's own words. */
class Pattern {
  #form = h("form", { class: "group" });
  element = h("section", { class: "group" }, h("h3", {}, "The pattern to print"), this.#form);
  #links = h("p", { class: "row" });
  #paper = choices("Paper", "paper", options("letter Letter", "a4 A4"), () => this.#lead());
  #ink = choices("Ink", "ink", options("colour Colour", "black Black only"), () => this.#lead());

  constructor() {
    const text = (/** @type {string} */ name) =>
      h("input", { name, maxlength: 200, autocomplete: "off" });
    const long = (/** @type {string} */ name) => h("textarea", { name, rows: 3, maxlength: 5000 });
    for (const row of [this.#paper, this.#ink]) row.classList.add("words");
    check(this.#paper, "letter");
    check(this.#ink, "colour");
    this.#form.append(
      h("div", { class: "row" }, this.#paper, this.#ink),
      h(
        "details",
        { class: "fold" },
        h("summary", {}, "Your own words in it"),
        field("Title", text("title")),
        field("Designer", text("designer")),
        field("Introduction", long("introduction")),
        field("Notes at the end", long("notes")),
      ),
      this.#links,
    );
    this.#form.addEventListener("change", () => this.#lead());
    this.#form.addEventListener("submit", (event) => event.preventDefault());
  }

  /** @param {PlanView} view */
  show(view) {
    const { layout, background, brief } = view.plan;
    this.element.hidden = !(layout && background);
    this.#form.querySelector("[name=title]")?.setAttribute("placeholder", brief.title);
    this.#lead();
  }

  /** Lead to the pattern as it is wished. */
  #lead() {
    const words = [...new FormData(this.#form)].filter(([, value]) => value);
    const query = new URLSearchParams(/** @type {[string, string][]} */ (words));
    const base = `/api/plans/${desk.view?.id}/booklet`;
    const link = (/** @type {string} */ href, /** @type {string} */ text) =>
      h("a", { href, class: "button", target: "_blank" }, text);
    this.#links.replaceChildren(
      link(`${base}.pdf?${query}`, "Pattern as PDF"),
      link(`${base}.html?${query}`, "Read it here"),
    );
  }
}

/** @param {...string} texts a value and the words for it, each */
function options(...texts) {
  return texts.map((text) => {
    const at = text.indexOf(" ");
    return { value: text.slice(0, at), label: text.slice(at + 1) };
  });
}

/** A link under which others see the plan and can change nothing. */
class Link {
  #address = h("input", { readonly: true, "aria-label": "Link to look at this plan" });
  #row = h("div", { class: "group", hidden: true });
  #make = h("button", { onclick: () => this.#do("POST") }, "Make a link");
  #said = h("p", { class: "quiet", role: "status" });
  #trouble = troublePlace();
  element = h("section", { class: "group" });
  #plan = "";

  constructor() {
    const button = (/** @type {string} */ words, /** @type {() => void} */ onclick) =>
      h("button", { onclick }, words);
    this.#row.append(
      this.#address,
      h(
        "p",
        { class: "row" },
        button("Copy it", () => this.#copy()),
        button("Take it back", () => this.#do("DELETE")),
      ),
    );
    this.#address.addEventListener("focus", () => this.#address.select());
    this.element.append(
      h("h3", {}, "Show it to others"),
      h(
        "p",
        { class: "quiet" },
        "Whoever has the link sees the quilt, its sizes and fabrics, and changes nothing.",
      ),
      this.#make,
      this.#row,
      this.#said,
      this.#trouble,
    );
  }

  /** @param {PlanView} view */
  show({ id }) {
    if (this.#plan !== id) this.#set("");
    this.#plan = id;
  }

  /** @param {string} address */
  #set(address) {
    this.#address.value = address;
    this.#row.hidden = !address;
    this.#make.hidden = Boolean(address);
    say(this.#said, "");
  }

  /** @param {"POST" | "DELETE"} method */
  #do(method) {
    return attempt(this.#trouble, async () => {
      const answer = await ask(method, `/api/plans/${this.#plan}/link`);
      this.#set(answer ? new URL(answer.address, location.href).href : "");
      if (!answer) say(this.#said, "The link leads nowhere now.");
    });
  }

  /** Copy the address; where the page may not, it is selected so that a key or a long press can. */
  async #copy() {
    this.#address.select();
    try {
      await navigator.clipboard.writeText(this.#address.value);
      say(this.#said, "Copied.");
    } catch {
      say(this.#said, "Selected: copy it with your device's copy command.");
    }
  }
}

class KeepStep extends Step {
  #facts = h("ul", { class: "facts" });
  #files = h("ul", { class: "files" });
  #plans = h("ul", { class: "plans" });
  #pattern = new Pattern();
  #link = new Link();
  #opening = troublePlace();

  build() {
    this.append(
      this.#pattern.element,
      h(
        "section",
        { class: "group" },
        h("h3", {}, "Files to take away"),
        this.#files,
        h("p", {}, h("button", { onclick: () => print() }, "Print this page")),
      ),
      this.#link.element,
      h("section", { class: "group" }, h("h3", {}, "The plan in words"), this.#facts),
      h(
        "section",
        { class: "group" },
        h("h3", {}, "Care at the cutting table"),
        h("ul", { class: "facts" }, ...CARE.map((line) => h("li", {}, line))),
      ),
      h(
        "section",
        { class: "group" },
        h("h3", {}, "Your plans"),
        this.#plans,
        this.trouble,
        this.#opener(),
        this.#opening,
      ),
    );
    this.closest("details")?.addEventListener("toggle", () => this.#list());
  }

  /** Open a plan from its file. */
  #opener() {
    const input = h("input", { type: "file", accept: ".zip,.json", class: "hidden" });
    input.addEventListener("change", () => {
      const [file] = input.files ?? [];
      input.value = "";
      if (file) this.attempt(() => openFile(file), this.#opening);
    });
    return h("p", {}, h("label", { class: "button" }, input, "Open a plan from a file"));
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
      view.plan.brief.swatches.length ? ready : ready.slice(-2),
      ({ path }) => `${view.id} ${path}`,
      ({ path, words, form }) => {
        const href = `/api/plans/${view.id}/${path}?download=true`;
        return h("li", {}, h("a", { href, download: true }, words), h("span", {}, form));
      },
    );
    this.#pattern.show(view);
    this.#link.show(view);
    this.#list();
  }

  /** List the plans there are. */
  #list() {
    if (!this.closest("details")?.open) return;
    this.attempt(async () => {
      /** @type {PlanLine[]} */
      const plans = await ask("GET", "/api/plans");
      keep(
        this.#plans,
        plans,
        ({ id, title, revision }) => `${id} ${revision} ${title} ${id === desk.view?.id}`,
        (line) => this.#line(line, plans.find(({ id }) => id !== line.id)?.id),
      );
    });
  }

  /** @param {PlanLine} line @param {string} [next] */
  #line({ id, title, saved_at, picture }, next) {
    const here = id === desk.view?.id;
    const when = new Date(saved_at).toLocaleDateString();
    const gone = () =>
      this.attempt(async () => {
        await forget(id, next);
        this.#list();
      });
    return h(
      "li",
      {},
      h("img", { src: picture || null, alt: "", width: 64, height: 64, loading: "lazy" }),
      h(
        "span",
        {},
        h("a", { href: `#plan=${id}`, "aria-current": here ? "page" : null }, title),
        h("small", {}, here ? "on the wall now" : when),
      ),
      sure("Delete", title, gone),
    );
  }
}

customElements.define("keep-step", KeepStep);
