/** Step: the background. Candidates side by side, with the fabrics laid on them. */

import { h, keep, put, say, set } from "../parts/dom.js";
import { ownColour } from "../parts/own-colour.js";
import { chooser, Line, tickets } from "../parts/photos.js";
import { picture, pictures, source, why } from "../parts/swatch.js";
import { nameOf } from "../plan/fabrics.js";
import { workspace } from "../plan/workspace.js";
import { lookAt } from "./fabrics/bundle.js";
import { openPutRight } from "./fabrics/put-right.js";
import { onward, Step } from "./step.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").Swatch} Swatch */
/** @typedef {import("../types/api.d.ts").Verdict} Verdict */

/** From standing out to sinking, so that the eye finds what sinks in one place. */
const GROUPS = /** @type {Verdict[][]} */ ([["clear"], ["soft"], ["camouflage", "lost"]]);

/** How the fabrics stand on a background, best first. @param {PlanView} view @param {string} id */
const stands = (view, id) =>
  view.plan.contrasts
    .filter(({ background }) => background === id)
    .sort((a, b) => b.difference - a.difference);

/** Fabrics laid out in groups on a square of cloth, as large as they fit. */
const patches = () => h("span.patches", ...GROUPS.map(() => h("span")));

/** @param {Element} place @param {string[][]} groups fabric ids */
function lay(place, groups) {
  const rows = (/** @type {number} */ wide) =>
    groups.reduce((sum, { length }) => sum + Math.ceil(length / wide), 0);
  let columns = 3;
  while (rows(columns) > columns) columns += 1;
  [...place.children].forEach((child, index) => {
    const group = /** @type {HTMLElement} */ (child);
    group.style.gridTemplateColumns = `repeat(${columns}, 1fr)`;
    pictures(group, groups[index]);
  });
}

/** Try a background on the wall without saving it. @param {string} id '' ends the trial */
function tryOn(id) {
  const wall = /** @type {import("../wall/wall.js").QuiltWall | null} */ (
    document.querySelector("quilt-wall")
  );
  if (wall) wall.trial = id;
}

class BackgroundStep extends Step {
  #cards = h("div.contents", { role: "radiogroup", "aria-label": "Background" });
  #trial = h("span.laid", patches());
  #heading = h("h3");
  #sinking = h("div.sinking");
  #partly = h("h3");
  #patches = h("div.in-patches");
  #line = new Line("background", (ticket) => lookAt(ticket, this.#line));
  #next = onward("picks", "Choose how many");
  /** The candidate whose reasons are told; the chosen one unless asked otherwise. */
  #asked = "";
  #chosen = "";

  build() {
    const own = ownColour(
      "a colour of your own",
      (colour) => workspace.write("POST", "colours", { colour, role: "background" }),
      (colour) => {
        this.#trial.style.background = colour;
      },
    );
    const add = chooser("Add a background", (files) => this.#line.take(tickets(files)));
    this.append(
      h("p.quiet", "What the blocks are set in. Add two or three to compare."),
      h(
        "div.candidates",
        this.#cards,
        h("div.trial", this.#trial, h("span.quiet", "Or a colour"), own),
      ),
      add,
      this.#line.element,
      this.errors,
      this.#heading,
      this.#sinking,
      this.#partly,
      this.#patches,
      this.#next,
    );
  }

  /** @param {PlanView} view */
  show(view) {
    const { brief, background } = view.plan;
    if (background !== this.#chosen) this.#asked = "";
    this.#chosen = background;
    keep(
      this.#cards,
      brief.backgrounds,
      ({ fabric }) => fabric.id,
      (swatch) => this.#card(swatch),
      (element, swatch) => this.#update(element, swatch, view),
    );
    const order = stands(view, background).map(({ fabric }) => fabric);
    const all = order.length ? order : brief.swatches.map(({ fabric }) => fabric.id);
    lay(this.#trial.children[0], [all, [], []]);
    this.#showSinking(view);
    this.#next.hidden = !brief.backgrounds.length;
    this.gist.replaceChildren(
      ...(background ? [nameOf(background), picture(background)] : ["none yet"]),
    );
  }

  /** @param {Swatch} swatch */
  #card({ fabric }) {
    const { id } = fabric;
    const show = () => tryOn(id);
    const hide = () => tryOn("");
    const radio = h("input", {
      type: "radio",
      name: "background",
      value: id,
      onchange: () => this.change({ background: id }),
      onfocus: show,
      onblur: hide,
    });
    const name = h("input.rename", {
      maxlength: 80,
      "aria-label": "Name",
      onchange: () =>
        this.attempt(() => workspace.write("PATCH", `fabrics/${id}`, { name: name.value })),
    });
    const ask = () => {
      this.#asked = id;
      this.refresh();
    };
    const remove = () => {
      hide();
      return this.attempt(() => workspace.write("DELETE", `fabrics/${id}`));
    };
    return h(
      "div.candidate",
      { onpointerenter: show, onpointerleave: hide },
      h("label.option", radio, h("span.laid", picture(id, "", 480), patches())),
      name,
      h("span.tally"),
      h(
        "span.acts",
        h("button.small", { onclick: ask }),
        h("button.small", { onclick: () => openPutRight(id) }, "Put right"),
        h("button.small", { onclick: remove }, "Remove"),
      ),
    );
  }

  /** @param {HTMLElement} element @param {Swatch} swatch @param {PlanView} view */
  #update(element, { fabric }, view) {
    const { id, name } = fabric;
    const [radio, field] = element.querySelectorAll("input");
    const [ask, right, remove] = element.querySelectorAll("button");
    set(/** @type {Element} */ (element.querySelector("img")), { src: source(id, 480) });
    const found = stands(view, id);
    const groups = GROUPS.map((verdicts) =>
      found.filter(({ verdict }) => verdicts.includes(verdict)).map((entry) => entry.fabric),
    );
    const [clear, soft, sunk] = groups.map(({ length }) => length);
    lay(/** @type {Element} */ (element.querySelector(".patches")), groups);
    radio.checked = id === view.plan.background;
    set(radio, { "aria-label": name });
    put(field, name);
    const softly = soft ? `, ${soft} softly` : "";
    const tally = found.length ? `${clear + soft} of ${found.length} show${softly}` : "";
    say(/** @type {Element} */ (element.querySelector(".tally")), tally);
    say(ask, sunk === 1 ? "1 sinks" : `${sunk} sink`);
    ask.hidden = !sunk;
    set(ask, { "aria-pressed": id === (this.#asked || view.plan.background) });
    set(right, { "aria-label": `Put right ${name}` });
    set(remove, { "aria-label": `Remove ${name}` });
  }

  /** What sinks into the candidate that is asked about, and why. @param {PlanView} view */
  #showSinking(view) {
    const { background, brief } = view.plan;
    const there = brief.backgrounds.some(({ fabric }) => fabric.id === this.#asked);
    const id = there ? this.#asked : background;
    const sunk = stands(view, id).filter(({ verdict }) => GROUPS[2].includes(verdict));
    this.#heading.hidden = !sunk.length;
    say(this.#heading, `What sinks into ${nameOf(id)}`);
    const words = view.words.stands[id] ?? {};
    keep(
      this.#sinking,
      sunk,
      ({ fabric }) => `${fabric} ${words[fabric]}`,
      ({ fabric }) => why(fabric, words[fabric] ?? ""),
    );
    const partly = stands(view, id).filter(({ fabric }) => view.patches[fabric]?.sink[id]);
    this.#partly.hidden = !partly.length;
    say(this.#partly, `What sinks into ${nameOf(id)} in patches`);
    keep(
      this.#patches,
      partly,
      ({ fabric }) => `${fabric} ${words[fabric]}`,
      ({ fabric }) => why(fabric, words[fabric] ?? ""),
    );
  }
}

customElements.define("background-step", BackgroundStep);
