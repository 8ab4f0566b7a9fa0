/** Step: the setting. On point or straight, how many blocks, which block, how large. */

import { desk } from "./desk.js";
import { h, s } from "./dom.js";
import { blockPath } from "./quilt.js";
import { check, choices, field, onward, Step } from "./step.js";
import { troublePlace } from "./trouble.js";

/** @typedef {import("./types.d.ts").PlanView} PlanView */
/** @typedef {import("./types.d.ts").Setting} Setting */
/** @typedef {import("./types.d.ts").Block} Block */

/** A setting drawn small. @param {boolean} onPoint */
function settingPicture(onPoint) {
  const tile = (/** @type {number} */ x, /** @type {number} */ y) =>
    s("rect", {
      x: x - 5,
      y: y - 5,
      width: 10,
      height: 10,
      transform: onPoint ? `rotate(45 ${x} ${y}) scale(1)` : null,
    });
  const straight = [6, 18, 30].flatMap((y) => [6, 18, 30].map((x) => tile(x, y)));
  const half = 8.5;
  const pointed = [1, 2, 3].flatMap((row) =>
    [1, 2, 3]
      .filter((column) => (row + column) % 2 === 0)
      .map((column) => tile(column * half + 1, row * half + 1)),
  );
  return s(
    "svg",
    { viewBox: "0 0 36 36", class: "small-drawing", "aria-hidden": "true" },
    ...(onPoint ? pointed : straight),
  );
}

/** @param {Block} block */
export const blockPicture = (block) =>
  s(
    "svg",
    { viewBox: "-18 -18 36 36", class: "small-drawing", "aria-hidden": "true" },
    s("path", { d: "M-17-17h34v34h-34z", class: "plain" }),
    s("path", { d: blockPath(block, "FS", 34) }),
  );

class SettingStep extends Step {
  #kind = choices(
    "Setting",
    "kind",
    [
      { value: "on point", label: "On point", picture: settingPicture(true) },
      { value: "straight", label: "Straight", picture: settingPicture(false) },
    ],
    (value) => this.#set({ kind: /** @type {Setting["kind"]} */ (value) }),
  );
  #block = h("div", { class: "blocks" });
  #counts = troublePlace();
  #sizes = troublePlace();
  #across = this.#count("across");
  #down = this.#count("down");
  #side = h("input", {
    size: 6,
    onchange: () => this.#set({ block: this.#side.value }, this.#sizes),
  });
  #border = h("input", {
    size: 6,
    onchange: () => this.change({ border: this.#border.value }, this.#sizes),
  });
  #alternate = h("input", {
    type: "checkbox",
    onchange: () => this.#set({ alternate: this.#alternate.checked }),
  });
  #size = h("p", { class: "sentence" });

  build() {
    this.append(
      this.#size,
      this.#kind,
      h(
        "div",
        { class: "fields" },
        field("Blocks across", this.#across),
        field("Blocks down", this.#down),
      ),
      this.#counts,
      h("label", { class: "tick" }, this.#alternate, "Plain blocks in between"),
      this.#block,
      h(
        "div",
        { class: "fields" },
        field("Finished block, inches", this.#side),
        field("Border, inches", this.#border),
      ),
      this.#sizes,
      this.trouble,
      onward("layout", "Lay it out"),
    );
  }

  /** @param {"across" | "down"} name */
  #count(name) {
    const input = h("input", { type: "number", min: 1, max: 40, inputmode: "numeric" });
    input.addEventListener("change", () =>
      this.#set({ [name]: input.valueAsNumber || 0 }, this.#counts),
    );
    return input;
  }

  /** @param {Partial<Setting>} fields @param {HTMLElement} [place] */
  #set(fields, place) {
    this.change({ setting: fields }, place);
  }

  /** @param {PlanView} view */
  show(view) {
    const { setting, block, border } = view.plan.brief;
    if (!this.#block.firstChild) {
      const options = desk.blocks.map((b) => ({
        value: b.name,
        label: b.title,
        picture: blockPicture(b),
      }));
      this.#block.append(
        choices("Block", "block", options, (value) => this.change({ block: value })),
      );
    }
    check(this.#kind, setting.kind);
    check(this.#block, block);
    this.#across.value = String(setting.across);
    this.#down.value = String(setting.down);
    this.#side.value = setting.block;
    this.#border.value = border;
    this.#alternate.checked = setting.alternate;
    this.#size.textContent = `${view.size.words} finished`;
    const chosen = desk.blocks.find(({ name }) => name === block);
    this.gist.className = "gist named";
    this.gist.replaceChildren(
      `${setting.across} × ${setting.down} ${setting.kind}`,
      ...(chosen ? [blockPicture(chosen)] : []),
    );
  }
}

customElements.define("setting-step", SettingStep);
