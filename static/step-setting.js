/** Step: the setting. On point or straight, how many blocks, which block, how large. */

import { desk } from "./desk.js";
import { h, put, s } from "./dom.js";
import { blockPath, inches } from "./quilt.js";
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

class SettingStep extends Step {
  #kind = choices(
    "Setting",
    "kind",
    [
      { value: "on point", label: "On point", picture: settingPicture(ON_POINT) },
      { value: "straight", label: "Straight", picture: settingPicture(STRAIGHT) },
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
    onchange: () => this.change({ borders: this.#borders() }, this.#sizes),
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

  /** The innermost border in the width that is written; the others stay. */
  #borders() {
    const [first, ...others] = desk.view?.plan.brief.borders ?? [];
    const width = this.#border.value;
    return inches(width) === 0 ? others : [{ width, fabric: first?.fabric ?? "" }, ...others];
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
    const { setting, block, borders } = view.plan.brief;
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
    put(this.#across, setting.across);
    put(this.#down, setting.down);
    put(this.#side, setting.block);
    put(this.#border, borders[0]?.width ?? "0");
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
