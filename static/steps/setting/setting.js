/** Step: the setting. On point or straight, how many blocks, which block, how large, sashing. */

import { ClothField } from "../../parts/cloth-field.js";
import { check, choices, field, smallDrawing } from "../../parts/controls.js";
import { box, h, offer, put, s, say, tick } from "../../parts/dom.js";
import { errorPlace } from "../../parts/errors.js";
import { lengthField } from "../../parts/length-field.js";
import { allSwatches } from "../../plan/fabrics.js";
import { workspace } from "../../plan/workspace.js";
import { blockPath } from "../../wall/quilt.js";
import { onward, Step } from "../step.js";
import { ownBlock } from "./own-block.js";

/** @typedef {import("../../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../../types/api.d.ts").BriefChange["block"]} BlockName */
/** @typedef {import("../../types/api.d.ts").Setting} Setting */
/** @typedef {import("../../types/api.d.ts").BlockOut} Block */

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
const blockPicture = (block) =>
  smallDrawing(
    "-18 -18 36 36",
    s("path.plain", { d: "M-17-17h34v34h-34z" }),
    s("path", { d: blockPath(block, "FS", 34) }),
  );

/** A setting drawn small. @param {string} d path of its blocks */
const settingPicture = (d) => smallDrawing("0 0 36 36", s("path", { d }));

class SettingStep extends Step {
  #kind = choices(
    "Blocks set",
    "kind",
    [
      ["on point", "On point", settingPicture(ON_POINT)],
      ["straight", "Straight", settingPicture(STRAIGHT)],
    ],
    (value) => this.#set({ kind: /** @type {Setting["kind"]} */ (value) }),
  );
  #units = choices(
    "Lengths in",
    "units",
    [
      ["inches", "Inches"],
      ["metric", "Centimetres"],
    ],
    (value) => this.change({ units: value === "metric" ? value : "inches" }),
  );
  #block = h("div");
  #own = ownBlock((own_block, place) => this.change({ own_block }, place));
  #counts = errorPlace();
  #sizes = errorPlace();
  #strips = errorPlace();
  #across = this.#count("across");
  #down = this.#count("down");
  #side = lengthField("Finished block", (block_size) => this.#set({ block_size }, this.#sizes));
  #sashing = lengthField("Sashing, finished width", (sashing) =>
    this.#set({ sashing }, this.#strips),
  );
  #alternate = box((alternate) => this.#set({ alternate }));
  #cornerstones = box((cornerstones) => this.#set({ cornerstones }));
  #sashingFabric = this.#cloth("sashing_fabric");
  #cornerFabric = this.#cloth("cornerstone_fabric");
  #second = new ClothField("Second feature", "The block's own fabric", (id) =>
    workspace.change({ second_fabric: id }),
  );
  #sashes = h("div.group");
  #size = h("p.sentence", { role: "status" });

  build() {
    this.#sashes.append(
      h("div.fields", this.#sashing.element, field("Sashing cut from", this.#sashingFabric)),
      h(
        "div.fields",
        tick(this.#cornerstones, "Cornerstones"),
        field("Cornerstones cut from", this.#cornerFabric),
      ),
      this.#strips,
    );
    this.append(
      this.#size,
      this.#units,
      this.#block,
      this.#own.element,
      this.#second.element,
      this.#kind,
      h(
        "div.fields",
        field("Blocks across", this.#across),
        field("Blocks down", this.#down),
        this.#side.element,
      ),
      this.#counts,
      this.#sizes,
      tick(this.#alternate, "Plain blocks in between"),
      this.#sashes,
      this.errors,
      onward("layout", "Lay it out"),
    );
  }

  /** @param {"across" | "down"} name */
  #count(name) {
    const onchange = () => this.#set({ [name]: input.valueAsNumber || 0 }, this.#counts);
    const input = h("input", { type: "number", min: 1, max: 50, inputmode: "numeric", onchange });
    return input;
  }

  /** @param {"sashing_fabric" | "cornerstone_fabric"} name */
  #cloth(name) {
    const onchange = () => this.change({ [name]: select.value }, this.#strips);
    const select = h("select", { onchange });
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
    this.#side.show(setting.block_size);
    this.#alternate.checked = setting.alternate;
    this.#showSashing(view);
    this.#second.element.hidden = !view.block.patches.some(({ role }) => role === "S");
    this.#second.show(view, view.plan.brief.second_fabric, "", "Second feature cut from");
    say(this.#size, `${view.size.words} finished`);
    this.gist.replaceChildren(
      `${setting.across} × ${setting.down} ${setting.kind}`,
      blockPicture(view.block),
    );
  }

  /** @param {PlanView} view */
  #showBlocks(view) {
    if (!this.#block.firstChild) {
      /** @type {import("../../parts/controls.js").Option[]} */
      const options = workspace.blocks.map((block) => [
        block.name,
        block.title,
        blockPicture(block),
      ]);
      this.#block.append(
        choices("Block", "block", options, (value) =>
          this.change({ block: /** @type {BlockName} */ (value) }),
        ),
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
    this.#sashing.show(sashing ?? "0");
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
  /** @type {[string, string][]} */
  const all = allSwatches(view).map(({ fabric }) => [fabric.id, fabric.name]);
  offer(select, [["", usual], ...all], chosen);
}

customElements.define("setting-step", SettingStep);
