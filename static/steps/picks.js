/** Step: how many fabrics. Which are used, which are not and why, and one in place of another. */

import { field } from "../parts/controls.js";
import { box, button, h, keep, many, offer, put, say, set, tick } from "../parts/dom.js";
import { picture, why } from "../parts/swatch.js";
import { fromLight, nameOf, swatchOf } from "../plan/fabrics.js";
import { workspace } from "../plan/workspace.js";
import { onward, Step } from "./step.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").LeftOut} LeftOut */
/** @typedef {import("../types/api.d.ts").TryOut} Try */
/** @typedef {PlanView["plan"]["brief"]["pick_by"]} PickBy */

/** What a pick can be made for. @type {[PickBy, string][]} */
const AIMS = [
  ["apart", "As far apart as can be"],
  ["values", "Light, medium and dark alike in number"],
  ["prints", "Prints and solids as in the bundle"],
  ["hues", "Hues as in the bundle"],
  ["mood", "In the mood of one"],
];

/** In the list of moods: a colour of one's own. */
const COLOUR = "#";

/** @param {string} id @param {Record<string, boolean>} marks */
const mark = (id, marks) => workspace.write("PATCH", `fabrics/${id}`, marks);

class PicksStep extends Step {
  #slider = h("input", {
    type: "range",
    min: 1,
    max: 1,
    "aria-label": "How many fabrics",
    oninput: () => say(this.#number, this.#slider.value),
    onchange: () => this.change({ count: this.#slider.valueAsNumber }),
  });
  #number = h("output.big");
  #all = button("Use all that stand out", () => this.change({ count: null }));
  #aim = h("select", {
    onchange: () => this.#aimAt(/** @type {PickBy} */ (this.#aim.value)),
  });
  #mood = h("select", {
    onchange: () => {
      const own = this.#mood.value === COLOUR;
      const mood_colour = own ? this.#colour.value : null;
      this.change({ mood: own ? "" : this.#mood.value, mood_colour });
    },
  });
  #colour = h("input", {
    type: "color",
    value: "#7d8a6a",
    "aria-label": "Colour of the mood",
    onchange: () => this.change({ mood: "", mood_colour: this.#colour.value }),
  });
  #moodField = h("div.row", field("The mood of", this.#mood), this.#colour);
  #kept = h("div.mosaic");
  #closest = h("p.beside");
  #relax = h("div.relax.group");
  #out = h("div.outs");
  #heading = h("h3", "Left out");
  #outcome = h("p", { role: "status" });
  /** The chosen fabric that is looked at. */
  #open = "";
  #tries = h("div.outs", { role: "status" });
  /** What the tries were asked for: fabric and revision. */
  #asked = "";

  build() {
    this.append(
      h("div.howmany", this.#number, this.#slider, this.#all),
      field("Pick them", this.#aim),
      this.#moodField,
      this.errors,
      this.#relax,
      h("p.quiet", "Choose a fabric to see what could take its place."),
      this.#outcome,
      this.#kept,
      this.#closest,
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
    this.#showAim(view);
    if (!kept.includes(this.#open)) this.#open = "";
    this.#showKept(view, kept);
    this.#showClosest(view);
    this.#showRelax(view);
    this.#heading.hidden = !choice?.left_out.length;
    keep(
      this.#out,
      choice?.left_out ?? [],
      ({ fabric }) => `${fabric} ${view.words.left_out[fabric]}`,
      ({ fabric }) => this.#outside(fabric, view.words.left_out[fabric] ?? ""),
    );
    this.gist.textContent = choice ? `${kept.length} of ${brief.swatches.length}` : "";
  }

  /**
   * The chosen ones from light to dark; the one looked at has a card below it.
   * @param {PlanView} view
   * @param {readonly string[]} kept
   */
  #showKept(view, kept) {
    const order = fromLight(view, kept);
    if (this.#open) order.splice(order.indexOf(this.#open) + 1, 0, "");
    keep(
      this.#kept,
      order,
      (id) => (id ? `${id} ${view.pictures[id]}` : `card ${this.#open}`),
      (id) => (id ? this.#tile(id) : this.#card(this.#open)),
      (element, id) => {
        if (!id) return this.#update(element, view);
        set(element, { "aria-label": nameOf(id), "aria-expanded": id === this.#open });
      },
    );
    this.#askTries(view);
  }

  /** @param {string} id @returns {HTMLElement} */
  #tile(id) {
    const open = () => {
      this.#open = this.#open === id ? "" : id;
      say(this.#outcome, "");
      this.refresh();
    };
    return h("button.tile", { onclick: open }, picture(id));
  }

  /** What can be done with a chosen fabric. @param {string} id @returns {HTMLElement} */
  #card(id) {
    const leave = () => this.attempt(() => mark(id, { leave_out: true }));
    const must = box((must_use) => this.attempt(() => mark(id, { must_use })));
    this.#tries.replaceChildren();
    return h(
      "section.card",
      h("h3"),
      h("p.row", tick(must, "Must be used"), button("Leave it out", leave)),
      h("h4", "In its place"),
      this.#tries,
    );
  }

  /** @param {HTMLElement} card @param {PlanView} view */
  #update(card, view) {
    const name = nameOf(this.#open);
    set(card, { "aria-label": name });
    say(/** @type {Element} */ (card.querySelector("h3")), name);
    const must = /** @type {HTMLInputElement} */ (card.querySelector("input"));
    must.checked = swatchOf(view, this.#open)?.must_use ?? false;
  }

  /** Ask once for each fabric and revision what could take its place. @param {PlanView} view */
  async #askTries(view) {
    const out = this.#open;
    const wanted = `${out} ${view.id} ${view.revision}`;
    if (wanted === this.#asked) return;
    this.#asked = wanted;
    if (!out) return;
    await this.attempt(async () => {
      /** @type {Try[]} */
      const tries = await workspace.read(`picks/tries?out=${encodeURIComponent(out)}`);
      if (wanted !== this.#asked) return;
      const none = h("p.quiet", "No fabric is left that could.");
      this.#tries.replaceChildren(
        ...(tries.length ? tries.map((each) => this.#try(out, each)) : [none]),
      );
    });
  }

  /** @param {string} out @param {Try} each */
  #try(out, { fabric, sentence }) {
    const swap = () => this.attempt(() => this.#swap(out, fabric));
    const words = h("span", nameOf(fabric), h("small", sentence));
    return h("button.beside.swap", { onclick: swap }, picture(fabric), words);
  }

  /**
   * Use one in place of another, and tell what else that changed.
   * @param {string} out
   * @param {string} into
   * @param {boolean} [keep] whether all others must stay
   */
  async #swap(out, into, keep = false) {
    const before = workspace.view?.plan.choice?.kept ?? [];
    await workspace.write("POST", "picks/swap", { out, in: into, keep });
    const now = workspace.view?.plan.choice?.kept ?? [];
    const more = now.filter((id) => id !== into && !before.includes(id)).map(nameOf);
    const words = `${nameOf(into)} is used in place of ${nameOf(out)}.`;
    this.#outcome.replaceChildren(words);
    if (!more.length) return;
    const again = () =>
      this.attempt(async () => {
        await workspace.write("POST", "undo");
        await this.#swap(out, into, true);
      });
    this.#outcome.append(
      ` So that all stay far apart, ${more.join(" and ")} came in too. `,
      button("Change nothing else", again),
    );
  }

  /** A fabric that is left out, and why. @param {string} fabric @param {string} sentence */
  #outside(fabric, sentence) {
    const use = () => this.attempt(() => mark(fabric, { must_use: true }));
    const element = why(fabric, sentence);
    const label = `Use ${nameOf(fabric)}`;
    element.append(h("button.small", { "aria-label": label, onclick: use }, "Use"));
    return element;
  }

  /**
   * Pick for something else; a mood starts with a fabric that must be used, or the one looked at.
   * @param {PickBy} pick_by
   */
  #aimAt(pick_by) {
    const { brief, choice } = workspace.view?.plan ?? {};
    if (pick_by !== "mood" || brief?.mood || brief?.mood_colour) return this.change({ pick_by });
    const must = brief?.swatches.find(({ must_use }) => must_use)?.fabric.id;
    return this.change({ pick_by, mood: must ?? (this.#open || choice?.kept[0] || "") });
  }

  /** What the pick is made for. @param {PlanView} view */
  #showAim(view) {
    const { brief, background } = view.plan;
    offer(this.#aim, AIMS, brief.pick_by);
    this.#moodField.hidden = brief.pick_by !== "mood";
    const named = [...brief.swatches, ...brief.backgrounds].map(({ fabric }) => fabric);
    const moods = named.map(({ id, name }) => /** @type {[string, string]} */ ([id, name]));
    const own = brief.mood_colour && !brief.mood ? COLOUR : brief.mood || background;
    offer(this.#mood, [...moods, [COLOUR, "A colour of its own"]], own);
    this.#colour.hidden = own !== COLOUR;
    if (brief.mood_colour) put(this.#colour, brief.mood_colour);
  }

  /** The two most alike. @param {PlanView} view */
  #showClosest(view) {
    const choice = view.plan.choice;
    const pair = choice?.closest_pair;
    this.#closest.hidden = !pair;
    if (!pair) return;
    this.#closest.replaceChildren(
      picture(pair[0], nameOf(pair[0])),
      picture(pair[1], nameOf(pair[1])),
      h("span", view.words.closest),
    );
  }

  /** What would bring more back. @param {PlanView} view */
  #showRelax(view) {
    const { choice, brief } = view.plan;
    const problems = view.words.picks.map((text) => h("p", text));
    const ways = (choice?.relax ?? []).map(({ limit, value, brings_back }, at) => {
      const loosen = () => this.change({ limits: { ...brief.limits, [limit]: value } });
      const words = `Bring back ${many(brings_back.length, "fabric")}`;
      return h("p", view.words.relax[at] ?? "", " ", button(words, loosen));
    });
    this.#relax.replaceChildren(...problems, ...ways);
  }
}

customElements.define("picks-step", PicksStep);
