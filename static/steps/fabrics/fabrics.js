/** Step: the bundle. Photos in, colours and reasons out. */

import { h, keep, s, say, set } from "../../parts/dom.js";
import { chooser, Line, tickets } from "../../parts/photos.js";
import { pictures, Tile } from "../../parts/swatch.js";
import { nameOf } from "../../plan/fabrics.js";
import { workspace } from "../../plan/workspace.js";
import { onward, Step } from "../step.js";
import { lookAt } from "./bundle.js";
import { Daylight } from "./daylight.js";
import { FabricCard, WayBack } from "./fabric-card.js";
import { sorted } from "./sorting.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").Swatch} Swatch */
/** @typedef {import("../../parts/photos.js").Ticket} Ticket */

const ORDERS = { came: "As they came", hue: "By hue", lightness: "Light to dark", greys: "Greys" };

/** Cloth as its lightness: a filter in linear light, so that each grey is as light as its colour. */
const greyFilter = () =>
  s(
    "svg.hidden",
    { "aria-hidden": true },
    s(
      "filter",
      { id: "as-lightness", "color-interpolation-filters": "linearRGB" },
      s("feColorMatrix", { type: "saturate", values: "0" }),
    ),
  );

class FabricsStep extends Step {
  #drop = h("div.drop");
  #orders = this.#showAs();
  #grid = h("div.tiles");
  #line = new Line(
    "fabric",
    (ticket) => lookAt(ticket, this.#line),
    () => this.refresh(),
  );
  #back = new WayBack();
  #light = new Daylight();
  /** @type {Map<string, Tile>} */
  #tiles = new Map();
  /** @type {FabricCard | null} */
  #card = null;
  #open = "";
  #order = "came";
  #next = onward("background", "Choose a background");

  build() {
    const words = h(
      "p.quiet",
      "One fabric in a photo or all of them side by side, with gaps; flat, in even light. ",
      h("a", { href: "guide.html" }, "Taking the photo"),
    );
    const choose = chooser("Add photos", (files) => this.take(files));
    this.#drop.append(choose, words, this.#light.element);
    this.append(
      this.#drop,
      this.#line.element,
      this.#orders,
      this.#back.element,
      this.#grid,
      this.errors,
      this.#next,
      greyFilter(),
    );
    this.#catchDrops();
  }

  /** Photos may be dropped anywhere on the page, which lets no file be opened by the browser. */
  #catchDrops() {
    addEventListener("dragover", (event) => {
      this.#drop.classList.toggle("over", event.dataTransfer?.types.includes("Files") ?? false);
    });
    addEventListener("dragleave", (event) => {
      if (!event.relatedTarget) this.#drop.classList.remove("over");
    });
    addEventListener("drop", (event) => {
      const files = [...(event.dataTransfer?.files ?? [])];
      this.#drop.classList.remove("over");
      if (files.length) this.take(files);
    });
  }

  /** In which order and how the bundle is shown. */
  #showAs() {
    const options = Object.entries(ORDERS).map(([value, words]) => {
      const onchange = () => {
        this.#order = value;
        this.refresh();
      };
      const checked = value === "came";
      const input = h("input", { type: "radio", name: "show-as", value, checked, onchange });
      return h("label", input, h("span", words));
    });
    return h("fieldset.looks", h("legend", "Show as"), ...options);
  }

  /** @param {readonly File[]} files */
  async take(files) {
    const lit = await this.#light.of(files);
    return this.#line.take(lit.flatMap(([some, how]) => tickets(some, how)));
  }

  /** @param {PlanView} view */
  show(view) {
    const { swatches } = view.plan.brief;
    const shown = sorted(swatches, this.#order);
    /** @type {(Swatch | Ticket | string)[]} */
    const items = [...shown, ...this.#line.waiting];
    const place = shown.findIndex(({ fabric }) => fabric.id === this.#open);
    if (place >= 0) items.splice(place + 1, 0, "card");
    else this.#open = "";
    keep(
      this.#grid,
      items,
      (item) => this.#key(item),
      (item) => this.#make(item),
      (element, item) => this.#update(element, item),
    );
    this.#grid.classList.toggle("greys", this.#order === "greys");
    this.#orders.hidden = swatches.length < 2;
    this.#next.hidden = !swatches.length;
    this.#back.show();
    this.#light.show(view);
    this.#showGist(swatches);
  }

  /** @param {readonly Swatch[]} swatches */
  #showGist(swatches) {
    this.gist.className = "gist strip";
    pictures(
      this.gist,
      swatches.slice(0, 9).map(({ fabric }) => fabric.id),
    );
    if (swatches.length > 9) this.gist.dataset.more = `+${swatches.length - 9}`;
    else delete this.gist.dataset.more;
  }

  /** @param {Swatch | Ticket | string} item */
  #key(item) {
    if (typeof item === "string") return `card ${this.#open}`;
    return "fabric" in item ? `fabric ${item.fabric.id}` : item.key;
  }

  /** @param {Swatch | Ticket | string} item @returns {HTMLElement} */
  #make(item) {
    if (typeof item === "string") return this.#card?.element ?? h("section");
    if (!("fabric" in item)) {
      const onerror = () => image.remove();
      const image = h("img.cloth", { src: item.url, alt: "", onerror });
      const picture = h("span.picture", image);
      return h("div.tile.reading", picture, h("span.state"));
    }
    const id = item.fabric.id;
    const tile = new Tile(item, () => this.#toggle(id));
    this.#tiles.set(id, tile);
    return tile.element;
  }

  /** @param {HTMLElement} element @param {Swatch | Ticket | string} item */
  #update(element, item) {
    if (typeof item === "string") {
      const open = workspace.view?.plan.brief.swatches.find(
        ({ fabric }) => fabric.id === this.#open,
      );
      if (open) this.#card?.show(open);
    } else if ("fabric" in item) {
      this.#tiles.get(item.fabric.id)?.show(item);
      set(element, { "aria-expanded": item.fabric.id === this.#open });
    } else say(/** @type {Element} */ (element.lastElementChild), item.state);
  }

  /** @param {string} id */
  #toggle(id) {
    this.#open = this.#open === id ? "" : id;
    if (this.#open) this.#card = new FabricCard(id, this.#does());
    this.refresh();
  }

  /** What the card leaves to the step. */
  #does() {
    return {
      remove: (/** @type {() => Promise<unknown>} */ action) =>
        this.attempt(async () => {
          const name = nameOf(this.#open);
          await action();
          this.#back.offer(`${name} is out of the bundle.`);
        }),
      lit: async (/** @type {File} */ file) => (await this.#light.of([file]))[0]?.[1] ?? null,
    };
  }
}

customElements.define("fabrics-step", FabricsStep);
