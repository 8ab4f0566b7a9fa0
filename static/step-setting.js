/** Step: the setting. On point or straight, how many blocks, which block, how large, sashing. */

import { desk } from "./desk.js";
import { h, keep, put, s, say } from "./dom.js";
import { meant, shown, unit } from "./lengths.js";
import { OwnBlock } from "./own-block.js";
import { allSwatches, blockPath } from "./quilt.js";
import { check, choices, field, onward, Step } from "./step.js";
import { troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").Setting} Setting */
/** @typedef {import("./types.d.ts").Block} Block */

/** A setting drawn small. @param {string} tiles path of its blocks */
const settingPicture = (tiles) =>
  s(
    "svg",
    { viewBox: "0 0 36 36", class: "small-drawing", "aria-hidden": "true" },
    s("path", { d: tiles }),
  );

const ON_POINT = [
  [9, 9],
  [27, 9],
  [18, 18],
  [9, 27],
  [27, 27],
]
  .map(([x, y]) => `M${x} ${y - 8}l8 8-8 8-8-8z`)
  .join("");
const STRAIGHT = [1, 13, 25]
  .flatMap((y) => [1, 13, 25].map((x) => `M${x} ${y}h10v10h-10z`))
  .join("");

/** @param {Block} block */
export const blockPicture = (block) =>
  s(
    "svg",
    { viewBox: "-18 -18 36 36", class: "small-drawing", "aria-hidden": "true" },
    s("path", { d: "M-17-17h34v34h-34z", class: "plain" }),
    s("path", { d: blockPath(block, "FS", 34) }),
  );

/** A tick with words. @param {HTMLInputElement} input @param {string} words */
const labelled = (input, words) => h("label", { class: "tick" }, input, words);

class SettingStep extends Step {
  #kind = choices(
    "Blocks set",
    "kind",
    [
      { value: "on point", label: "On point", picture: settingPicture(ON_POINT) },
      { value: "straight", label: "Straight", picture: settingPicture(STRAIGHT) },
    ],
    (value) => this.#set({ kind: /** @type {Setting["kind"]} */ (value) }),
  );
  #units = choices(
    "Lengths in",
    "units",
    [
      { value: "inches", label: "Inches" },
      { value: "metric", label: "Centimetres" },
    ],
    (value) => this.change({ units: value === "metric" ? value : "inches" }),
  );
  #block = h("div");
  #own = new OwnBlock((own_block, place) => this.change({ own_block }, place));
  #counts = troublePlace();
  #sizes = troublePlace();
  #strips = troublePlace();
  #across = this.#count("across");
  #down = this.#count("down");
  #side = this.#length("block", this.#sizes);
  #sashing = this.#length("sashing", this.#strips);
  #alternate = this.#tick("alternate");
  #cornerstones = this.#tick("cornerstones");
  #sashingFabric = this.#cloth("sashing_fabric");
  #cornerFabric = this.#cloth("cornerstone_fabric");
  #second = this.#cloth("second_fabric");
  #sashes = h("div", { class: "group" });
  #size = h("p", { class: "sentence", role: "status" });

  build() {
    const side = field("Finished block", this.#side);
    const sashing = field("Sashing, finished width", this.#sashing);
    this.#units.classList.add("words");
    this.#sashes.append(
      h("div", { class: "fields" }, sashing, field("Sashing cut from", this.#sashingFabric)),
      h(
        "div",
        { class: "fields" },
        labelled(this.#cornerstones, "Cornerstones"),
        field("Cornerstones cut from", this.#cornerFabric),
      ),
      this.#strips,
    );
    this.append(
      this.#size,
      this.#units,
      this.#block,
      this.#own.element,
      field("Second feature cut from", this.#second),
      this.#kind,
      h(
        "div",
        { class: "fields" },
        field("Blocks across", this.#across),
        field("Blocks down", this.#down),
        side,
      ),
      this.#counts,
      this.#sizes,
      labelled(this.#alternate, "Plain blocks in between"),
      this.#sashes,
      this.trouble,
      onward("layout", "Lay it out"),
    );
  }

  /** @param {"across" | "down"} name */
  #count(name) {
    const input = h("input", { type: "number", min: 1, max: 50, inputmode: "numeric" });
    input.addEventListener("change", () =>
      this.#set({ [name]: input.valueAsNumber || 0 }, this.#counts),
    );
    return input;
  }

  /** @param {"block" | "sashing"} name @param {HTMLElement} place */
  #length(name, place) {
    const input = h("input", { size: 6, autocomplete: "off" });
    input.addEventListener("change", () => this.#set({ [name]: meant(input.value) }, place));
    return input;
  }

  /** @param {"alternate" | "cornerstones"} name */
  #tick(name) {
    const input = h("input", { type: "checkbox" });
    input.addEventListener("change", () => this.#set({ [name]: input.checked }));
    return input;
  }

  /** @param {"sashing_fabric" | "cornerstone_fabric" | "second_fabric"} name */
  #cloth(name) {
    const select = h("select");
    select.addEventListener("change", () => this.change({ [name]: select.value }, this.#strips));
    return select;
  }

  /** @param {Partial<Setting>} fields @param {HTMLElement} [place] */
  #set(fields, place) {
    this.change({ setting: fields }, place);
  }

  /** @param {PlanView} view */
  show(view) {
    const { setting, units } = view.plan.brief;
    this.#showBlocks(view);
    check(this.#kind, setting.kind);
    check(this.#units, units);
    put(this.#across, setting.across);
    put(this.#down, setting.down);
    put(this.#side, shown(setting.block));
    for (const input of [this.#side, this.#sashing]) {
      const words = input.previousElementSibling;
      if (words) say(words, `${words.textContent?.replace(/, \w+$/, "")}, ${unit()}`);
    }
    this.#alternate.checked = setting.alternate;
    this.#showSashing(view);
    const { block, plan } = view;
    const label = this.#second.parentElement;
    if (label) label.hidden = !block.patches.some(({ role }) => role === "S");
    showCloths(view, this.#second, "The block's own fabric", plan.brief.second_fabric);
    say(this.#size, `${view.size.words} finished`);
    this.gist.className = "gist named";
    this.gist.replaceChildren(
      `${setting.across} × ${setting.down} ${setting.kind}`,
      blockPicture(view.block),
    );
  }

  /** @param {PlanView} view */
  #showBlocks(view) {
    if (!this.#block.firstChild) {
      const options = desk.blocks.map((block) => ({
        value: block.name,
        label: block.title,
        picture: blockPicture(block),
      }));
      this.#block.append(
        choices("Block", "block", options, (value) => this.change({ block: value })),
      );
    }
    check(this.#block, view.block.name);
    this.#own.show(view);
  }

  /** @param {PlanView} view */
  #showSashing(view) {
    const { setting, sashing_fabric, cornerstone_fabric } = view.plan.brief;
    const { sashing, cornerstones } = setting;
    this.#sashes.hidden = sashing === undefined;
    put(this.#sashing, shown(sashing ?? "0"));
    const none = !Number.parseFloat(sashing ?? "0");
    this.#cornerstones.checked = cornerstones ?? false;
    this.#cornerstones.disabled = this.#sashingFabric.disabled = none;
    this.#cornerFabric.disabled = none || !cornerstones;
    showCloths(view, this.#sashingFabric, "Background", sashing_fabric);
    showCloths(view, this.#cornerFabric, "As the sashing", cornerstone_fabric);
  }
}

/**
 * Offer every fabric of the plan in a list.
 * @param {PlanView} view
 * @param {HTMLSelectElement} select
 * @param {string} usual what is taken without a choice
 * @param {string} [chosen]
 */
function showCloths(view, select, usual, chosen = "") {
  const all = allSwatches(view).map(({ fabric: { id, name } }) => ({ id, name }));
  keep(
    select,
    [{ id: "", name: usual }, ...all],
    ({ id, name }) => `${id} ${name}`,
    ({ id, name }) => h("option", { value: id }, name),
  );
  select.value = chosen;
}

customElements.define("setting-step", SettingStep);
