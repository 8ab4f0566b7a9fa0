/** A fabric put right by hand, on its photo: its corners, what is paper, a colour of its own. */

import { field } from "../../parts/controls.js";
import { photoDialog, spotText } from "../../parts/dialogs.js";
import { button, h, list, offer, say, set } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { ownColour } from "../../parts/own-colour.js";
import { Board } from "../../parts/photo-board.js";
import { ask } from "../../plan/server.js";
import { workspace } from "../../plan/workspace.js";
import { openBundle } from "./bundle.js";

/** @typedef {import("../../parts/photo-board.js").Spot} Spot */
/** @typedef {import("../../types/api.d.ts").Swatch} Swatch */
/** @typedef {import("../../types/api.d.ts").ReadOut} ReadOut */
/** @typedef {import("../../types/api.d.ts").PaperKind} PaperKind */
/**
 * @typedef {object} Told what is told by hand, as the server takes it
 * @property {Spot[] | null} corners
 * @property {boolean} whole
 * @property {string} white
 * @property {PaperKind} paper
 * @property {boolean} even
 * @property {string | null} colour
 */

/** @type {Told} */
const NOTHING = {
  corners: null,
  whole: false,
  white: "auto",
  paper: "office",
  even: true,
  colour: null,
};

/** @type {[PaperKind, string][]} */
const PAPERS = [
  ["office", "Office paper"],
  ["drawing", "Drawing paper"],
  ["cream", "Cream paper"],
  ["grey-card", "Mid-grey card"],
];

/** @type {Spot[]} */
const FRAME = [
  [0, 0],
  [1, 0],
  [1, 1],
  [0, 1],
];

/** What was told of a fabric before. @param {Swatch} swatch @returns {Told} */
function toldOf({ taken }) {
  // A picture that stands for its photo is corrected already.
  if (!taken) return { ...NOTHING, white: "none" };
  const { corners, whole, white, paper, even, colour } = taken;
  const spots = /** @type {Spot[] | undefined} */ (corners?.corners);
  return { corners: spots ?? null, whole, white, paper, even, colour: colour || null };
}

class PutRight {
  #id = "";
  #photo = "";
  #told = NOTHING;
  /** @type {Told[]} What was told before each step. */
  #past = [];
  /** @type {Spot[]} Where the cloth is found to lie. */
  #found = FRAME;
  /** Counts trials, so that one that is overtaken is not shown. */
  #trial = 0;
  #board = new Board({ move: (corner, to) => this.#move(corner, to) });
  #hint = h("p.quiet", { role: "status" });
  #picture = h("img.cloth", { alt: "The cloth as it will be kept" });
  #chip = h("span.chip");
  #notes = h("div.notes");
  #errors = errorPlace();
  #back = button("Step back", () => this.#stepBack());
  #paper = h("select", { onchange: () => this.#tell({ paper: this.#kind() }) });
  #use = h("button.main", { onclick: () => this.#save() }, "Use it");
  element = photoDialog(
    "Put right by hand",
    [
      this.#board.element,
      this.#hint,
      h(
        "div.row",
        button("The whole photo", () => this.#tell({ whole: true, corners: null })),
        button("This is paper", () => this.#markPaper()),
        button("Several fabrics lie in it", () => this.#several()),
        button("As it was found", () => this.#tell({ ...NOTHING, even: this.#told.even })),
        this.#back,
      ),
    ],
    [
      h("div.taken", this.#picture, h("span", h("span", "Reads as"), this.#chip), this.#notes),
      field("Kind of the paper", this.#paper),
      field(
        "A colour of its own, in place of the one in the photo",
        ownColour(
          "a colour of its own",
          async (colour) => this.#tell({ colour }),
          () => {},
          "Set it",
        ),
      ),
      button("The colour in the photo", () => this.#tell({ colour: null })),
      this.#errors,
      this.#use,
    ],
  );

  /** @param {string} id */
  open(id) {
    const brief = workspace.view?.plan.brief;
    const all = [...(brief?.swatches ?? []), ...(brief?.backgrounds ?? [])];
    const swatch = all.find(({ fabric }) => fabric.id === id);
    if (!swatch) return;
    const { taken } = swatch;
    this.#id = id;
    this.#photo = taken?.photo ?? swatch.picture;
    this.#told = toldOf(swatch);
    this.#past = [];
    this.#found = /** @type {Spot[]} */ (taken?.found?.corners ?? FRAME);
    const step = brief?.swatches.includes(swatch) ? "fabrics-step" : "background-step";
    document.querySelector(step)?.append(this.element);
    offer(this.#paper, PAPERS, this.#told.paper);
    this.#errors.replaceChildren();
    this.#board.photo(`/api/swatches/${this.#photo}.jpg`, `The photo of ${swatch.fabric.name}`);
    this.element.showModal();
    this.#show();
    this.#try();
  }

  #kind() {
    return /** @type {PaperKind} */ (this.#paper.value);
  }

  /** @param {Partial<Told>} told */
  #tell(told) {
    this.#past.push(this.#told);
    this.#told = { ...this.#told, ...told };
    this.#show();
    return this.#try();
  }

  #stepBack() {
    this.#told = this.#past.pop() ?? this.#told;
    this.#show();
    return this.#try();
  }

  #corners() {
    return this.#told.whole ? FRAME : (this.#told.corners ?? this.#found);
  }

  /** @param {number} corner @param {Spot} to */
  #move(corner, to) {
    return this.#tell({ corners: this.#corners().with(corner, to), whole: false });
  }

  #markPaper() {
    say(this.#hint, "Tap the paper, or drag a box over it; keys: arrows, then Enter.");
    this.#board.aim("Where the paper lies", (from, to) =>
      this.#tell({ white: spotText(from, to) }),
    );
  }

  /** See what comes of it; the plan stays. */
  #try() {
    this.#trial += 1;
    const trial = this.#trial;
    return attempt(this.#errors, async () => {
      const path = workspace.path(`fabrics/${this.#id}/reading/look`);
      /** @type {ReadOut} */
      const read = await ask("POST", path, this.#told);
      if (trial !== this.#trial) return;
      set(this.#picture, { src: read.picture });
      this.#chip.style.background = read.reads_as;
      list(this.#notes, read.notes, (text) => h("p", text));
      if (this.#told.corners || this.#told.whole) return;
      this.#found = /** @type {Spot[]} */ (read.corners ?? FRAME);
      this.#show();
    });
  }

  #save() {
    return attempt(this.#errors, async () => {
      await workspace.write("PUT", `fabrics/${this.#id}/reading`, this.#told);
      this.element.close();
    });
  }

  /** The photo shows several fabrics after all. */
  #several() {
    return attempt(this.#errors, async () => {
      const request = { picture: this.#photo, lie: { kind: "spread" } };
      const found = await ask("POST", workspace.path("bundle/look"), request);
      const { brief } = workspace.view?.plan ?? {};
      const isFabric = brief?.swatches.some(({ fabric }) => fabric.id === this.#id);
      this.element.close();
      openBundle(found, { role: isFabric ? "fabric" : "background", instead: this.#id });
    });
  }

  #show() {
    const corners = this.#corners();
    this.#board.show([corners], 0, corners, "the cloth");
    say(this.#hint, "Drag a corner, or tap it and then its place; arrow keys work too.");
    this.#back.disabled = !this.#past.length;
    this.#paper.value = this.#told.paper;
    const marked = this.#told.white !== "auto" && this.#told.white !== "none";
    /** @type {HTMLElement} */ (this.#paper.parentElement).hidden = !marked;
  }
}

/** @type {PutRight | undefined} Made when it is first wanted. */
let dialog;

/** Put a fabric right by hand. @param {string} id */
export function openPutRight(id) {
  dialog ??= new PutRight();
  dialog.open(id);
}
