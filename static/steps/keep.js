/** Step: keep it. Files to take away, the pattern to print, a link to show, and the other plans. */

import { check, choices, field, sure } from "../parts/controls.js";
import { button, fold, h, keep, list, say, section } from "../parts/dom.js";
import { attempt, errorPlace } from "../parts/errors.js";
import { fileButton } from "../parts/photos.js";
import { forget, openFile } from "../plan/plans.js";
import { ask } from "../plan/server.js";
import { workspace } from "../plan/workspace.js";
import { Step } from "./step.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").PlanLine} PlanLine */

const FILES = [
  { path: "drawings/cloth.png", words: "Picture of the quilt", form: "PNG", layout: true },
  { path: "drawings/cloth.svg", words: "Drawing of the quilt", form: "SVG", layout: true },
  { path: "drawings/picks.png", words: "Fabrics with reasons", form: "PNG", layout: false },
  { path: "cutting.txt", words: "What to cut", form: "Text", layout: true, onBackground: true },
  { path: "plan.zip", words: "The plan with its photos, to open elsewhere", form: "ZIP" },
  { path: "plan.zip?history=true", words: "The same with all its changes", form: "ZIP" },
  { path: "plan.json", words: "The plan without photos", form: "JSON" },
];

/** @type {import("../parts/controls.js").Option[]} */
const PAPERS = [
  ["letter", "Letter"],
  ["a4", "A4"],
];
/** @type {import("../parts/controls.js").Option[]} */
const INKS = [
  ["colour", "Colour"],
  ["black", "Black only"],
];

/** @type {import("../parts/controls.js").Option[]} */
const TYPES = [
  ["false", "Usual"],
  ["true", "Large print"],
];

/** The printed pattern: paper, ink, and the designer's own words. */
function printed() {
  const text = (/** @type {string} */ name) =>
    h("input", { name, maxlength: 200, autocomplete: "off" });
  const long = (/** @type {string} */ name) => h("textarea", { name, rows: 3, maxlength: 5000 });
  const link = (/** @type {string} */ href, /** @type {string} */ words) =>
    h("a.button", { href, target: "_blank" }, words);
  /** Lead to the pattern with these words. */
  const lead = () => {
    const words = [...new FormData(form)].filter(([, value]) => value);
    const query = new URLSearchParams(/** @type {[string, string][]} */ (words));
    links.replaceChildren(
      link(workspace.path(`booklet.pdf?${query}`), "Pattern as PDF"),
      link(workspace.path(`booklet.html?${query}`), "Read it here"),
    );
  };
  const paper = choices("Paper", "paper", PAPERS, lead);
  const ink = choices("Ink", "ink", INKS, lead);
  const type = choices("Type", "large", TYPES, lead);
  check(paper, "letter");
  check(ink, "colour");
  check(type, "false");
  const title = text("title");
  const links = h("p.row");
  const form = h(
    "form.group",
    { onchange: lead, onsubmit: (event) => event.preventDefault() },
    h("div.row", paper, ink, type),
    fold(
      "Your own words in it",
      field("Title", title),
      field("Designer", text("designer")),
      field("Introduction", long("introduction")),
      field("Notes at the end", long("notes")),
    ),
    links,
  );
  const element = section("The pattern to print", form);
  const show = (/** @type {PlanView} */ { plan: { layout, background, brief } }) => {
    element.hidden = !(layout && background);
    title.placeholder = brief.title;
    lead();
  };
  return { element, show };
}

/** A link under which others see the plan and can change nothing. */
function shared() {
  let plan = "";
  const errors = errorPlace();
  const said = h("p.quiet", { role: "status" });
  const address = h("input", {
    readonly: true,
    "aria-label": "Link to look at this plan",
    onfocus: () => address.select(),
  });
  /** Where the page may not copy, the address is selected so that a key or a long press can. */
  const copy = async () => {
    address.select();
    try {
      await navigator.clipboard.writeText(address.value);
      say(said, "Copied.");
    } catch {
      say(said, "Selected: copy it with your device's copy command.");
    }
  };
  const set = (/** @type {string} */ path) => {
    address.value = path && new URL(path, location.href).href;
    row.hidden = !path;
    make.hidden = Boolean(path);
    say(said, "");
  };
  const act = (/** @type {"GET" | "POST" | "DELETE"} */ method) =>
    attempt(errors, async () => {
      const asked = plan;
      const answer = await ask(method, `/api/plans/${asked}/link`);
      if (plan !== asked) return;
      set(answer?.address ?? "");
      if (!answer) say(said, "The link leads nowhere now.");
    });
  const tools = h(
    "p.row",
    button("Copy it", copy),
    button("Take it back", () => act("DELETE")),
  );
  const row = h("div.group", address, tools);
  const make = button("Make a link", () => act("POST"));
  const words = "Whoever has the link sees the quilt, its sizes and fabrics, and changes nothing.";
  const element = section("Show it to others", h("p.quiet", words), make, row, said, errors);
  /** Show the link there is, if there is one. */
  const show = (/** @type {string} */ id) => {
    if (plan === id) return;
    plan = id;
    set("");
    act("GET");
  };
  set("");
  return { element, show };
}

class KeepStep extends Step {
  #facts = h("ul.facts");
  #files = h("ul.files");
  #plans = h("ul.plans");
  #pattern = printed();
  #link = shared();
  #opening = errorPlace();

  build() {
    const open = fileButton(
      "button",
      "Open a plan from a file",
      { accept: ".zip,.json" },
      ([file]) => this.attempt(() => openFile(file), this.#opening),
    );
    this.append(
      this.#pattern.element,
      section(
        "Files to take away",
        this.#files,
        button("Print this page", () => print()),
      ),
      this.#link.element,
      section("The plan in words", this.#facts),
      section("Your plans", this.#plans, this.errors, h("p", open), this.#opening),
    );
  }

  turned() {
    this.#list();
  }

  /** @param {PlanView} view */
  show(view) {
    list(this.#facts, view.summary);
    const { layout: laid, background } = view.plan;
    const ready = FILES.filter(
      ({ layout, onBackground }) => (laid || !layout) && (background || !onBackground),
    );
    keep(
      this.#files,
      view.plan.brief.swatches.length ? ready : ready.slice(-3),
      ({ path }) => `${view.id} ${path}`,
      ({ path, words, form }) => {
        const href = workspace.path(`${path}${path.includes("?") ? "&" : "?"}download=true`);
        return h("li", h("a", { href, download: true }, words), h("span", form));
      },
    );
    this.#pattern.show(view);
    this.#list();
  }

  /** List the plans there are. */
  #list() {
    const here = workspace.view?.id;
    if (!this.details.open || !here) return;
    this.#link.show(here);
    this.attempt(async () => {
      /** @type {PlanLine[]} */
      const plans = await ask("GET", "/api/plans");
      keep(
        this.#plans,
        plans,
        ({ id, title, revision }) => `${id} ${revision} ${title} ${id === here}`,
        (line) => this.#line(line, plans.find(({ id }) => id !== line.id)?.id),
      );
    });
  }

  /** @param {PlanLine} line @param {string} [next] */
  #line({ id, title, saved_at, picture, problem }, next) {
    const here = id === workspace.view?.id;
    const when = new Date(saved_at).toLocaleDateString();
    const gone = () =>
      this.attempt(async () => {
        await forget(id, next);
        this.#list();
      });
    return h(
      "li",
      h("img", { src: picture || null, alt: "", width: 64, height: 64, loading: "lazy" }),
      h(
        "span",
        h("a", { href: `#plan=${id}`, "aria-current": here ? "page" : null }, title),
        h("small", problem || (here ? "on the wall now" : when)),
      ),
      sure("Delete", title, gone),
    );
  }
}

customElements.define("keep-step", KeepStep);
