/** Step: the bundle. Photos in, colours and reasons out. */

import { desk } from "./desk.js";
import { h, keep, many, say } from "./dom.js";
import { chooser, send, tickets } from "./photos.js";
import { field, onward, Step } from "./step.js";
import { bar, pictures, reasons, Tile } from "./swatch.js";
import { troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").Swatch} Swatch */
/** @typedef {import("./photos.js").Ticket} Ticket */

class FabricsStep extends Step {
  #drop = h("div", { class: "drop" });
  #count = h("p", { class: "count", role: "status" });
  #grid = h("div", { class: "tiles" });
  #broken = h("ul", { class: "broken", "aria-live": "polite" });
  /** @type {Ticket[]} */
  #waiting = [];
  /** @type {Map<string, Tile>} */
  #tiles = new Map();
  #open = "";
  #busy = false;
  #next = onward("background", "Choose a background");

  build() {
    const words = h(
      "p",
      { class: "quiet" },
      "One photo a fabric, flat, in even light, filling the frame.",
    );
    this.#drop.append(
      chooser("Choose photos", (files) => this.take(files)),
      words,
    );
    this.append(this.#drop, this.#broken, this.#count, this.#grid, this.trouble, this.#next);
    this.#catchDrops();
  }

  /** Photos may be dropped anywhere on the page. */
  #catchDrops() {
    addEventListener("dragover", (event) => {
      if (!event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault();
      this.#drop.classList.add("over");
    });
    addEventListener("dragleave", (event) => {
      if (!event.relatedTarget) this.#drop.classList.remove("over");
    });
    addEventListener("drop", (event) => {
      const files = [...(event.dataTransfer?.files ?? [])];
      this.#drop.classList.remove("over");
      if (!files.length) return;
      event.preventDefault();
      this.take(files);
    });
  }

  /** @param {readonly File[]} files */
  async take(files) {
    this.#waiting.push(...tickets(files));
    this.#refresh();
    if (this.#busy) return;
    this.#busy = true;
    let ticket = this.#waiting.find(({ problem }) => !problem);
    while (ticket) {
      if (await send(ticket, "fabric")) this.#forget(ticket);
      this.#refresh();
      ticket = this.#waiting.find(({ problem }) => !problem);
    }
    this.#busy = false;
  }

  /** @param {Ticket} ticket */
  #forget(ticket) {
    URL.revokeObjectURL(ticket.url);
    this.#waiting = this.#waiting.filter((other) => other !== ticket);
  }

  #refresh() {
    if (desk.view) this.show(desk.view);
  }

  /** @param {PlanView} view */
  show(view) {
    const { swatches } = view.plan.brief;
    const waiting = this.#waiting.filter(({ problem }) => !problem);
    /** @type {(Swatch | Ticket | string)[]} */
    const items = [...swatches, ...waiting];
    const place = swatches.findIndex(({ fabric }) => fabric.id === this.#open);
    if (place >= 0) items.splice(place + 1, 0, "card");
    keep(
      this.#grid,
      items,
      (item) => this.#key(item),
      (item) => this.#make(item),
      (element, item) => {
        if (typeof item !== "string" && "fabric" in item) this.#update(element, item);
      },
    );
    keep(
      this.#broken,
      this.#waiting.filter(({ problem }) => problem),
      ({ key }) => key,
      (t) => this.#sorry(t),
    );
    say(this.#count, waiting.length ? `Reading ${many(waiting.length, "photo")}.` : "");
    this.#next.hidden = !swatches.length;
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
    if (typeof item === "string") return this.#card();
    if (!("fabric" in item)) {
      const image = h("img", { src: item.url, alt: "", class: "cloth" });
      image.addEventListener("error", () => image.remove());
      return h("div", { class: "tile reading" }, h("span", { class: "picture" }, image), "reading");
    }
    const id = item.fabric.id;
    const tile = new Tile(item, () => this.#toggle(id));
    this.#tiles.set(id, tile);
    return tile.element;
  }

  /** @param {HTMLElement} element @param {Swatch} swatch */
  #update(element, swatch) {
    this.#tiles.get(swatch.fabric.id)?.show(swatch);
    element.setAttribute("aria-expanded", String(swatch.fabric.id === this.#open));
  }

  /** @param {string} id */
  #toggle(id) {
    this.#open = this.#open === id ? "" : id;
    this.#refresh();
  }

  /** A photo that could not be read, and why. @param {Ticket} ticket */
  #sorry(ticket) {
    const remove = () => {
      this.#forget(ticket);
      this.#refresh();
    };
    const words = h("p", {}, h("b", {}, ticket.file.name), h("br"), ticket.problem);
    return h("li", {}, words, h("button", { type: "button", onclick: remove }, "Dismiss"));
  }

  /** Everything about one fabric. */
  #card() {
    const view = /** @type {PlanView} */ (desk.view);
    const swatch = /** @type {Swatch} */ (
      view.plan.brief.swatches.find(({ fabric }) => fabric.id === this.#open)
    );
    const { fabric } = swatch;
    const trouble = troublePlace();
    /** @param {Record<string, unknown>} fields */
    const change = (fields) =>
      this.attempt(() => desk.write("PATCH", `fabrics/${fabric.id}`, fields), trouble);
    const name = h("input", { value: fabric.name, maxlength: 80 });
    name.addEventListener("change", () => change({ name: name.value }));
    const shows = h("input", { value: swatch.shows, size: 6 });
    shows.addEventListener("change", () => change({ shows: shows.value }));
    /** @param {"must_use" | "leave_out" | "directional"} key @param {string} words */
    const tick = (key, words) => {
      const box = h("input", { type: "checkbox" });
      box.checked = swatch[key];
      box.addEventListener("change", () => change({ [key]: box.checked }));
      return h("label", { class: "tick" }, box, words);
    };
    const remove = () => this.attempt(() => desk.write("DELETE", `fabrics/${fabric.id}`), trouble);
    return h(
      "section",
      { class: "card", "aria-label": fabric.name },
      bar(swatch),
      ...reasons(fabric.id).map((text) => h("p", {}, text)),
      ...fabric.warnings.map((text) => h("p", { class: "warning" }, text)),
      field("Name", name),
      field("Cloth across the photo, inches", shows),
      h(
        "div",
        { class: "ticks" },
        tick("must_use", "Must be used"),
        tick("leave_out", "Leave out"),
        tick("directional", "Has an up and a down"),
      ),
      trouble,
      h("button", { type: "button", onclick: remove }, "Take out of the bundle"),
    );
  }
}

customElements.define("fabrics-step", FabricsStep);
