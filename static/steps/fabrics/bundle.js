/** A photo of several fabrics: what was found in it, put right by hand, taken in. */

import { field } from "../../parts/controls.js";
import { photoDialog, spotText } from "../../parts/dialogs.js";
import { box, button, h, keep, list, many, put, say, set, tick } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { Board } from "../../parts/photo-board.js";
import { meant, unit } from "../../plan/lengths.js";
import { ask } from "../../plan/server.js";
import { workspace } from "../../plan/workspace.js";

/** @typedef {import("../../types/api.d.ts").BundleOut} BundleOut */
/** @typedef {import("../../types/api.d.ts").PieceOut} PieceOut */
/** @typedef {Omit<PieceOut, "corners"> & {corners: Spot[]}} Piece a corner has two numbers */
/** @typedef {Omit<BundleOut, "pieces"> & {pieces: Piece[]}} Bundle */
/** @typedef {import("../../parts/photo-board.js").Spot} Spot */
/**
 * @typedef {object} Opening
 * @property {import("../../parts/photos.js").Role} role what the fabrics are
 * @property {string} [instead] the fabric that the photo was taken for, which goes as they come
 * @property {() => void} [added] called when they are in the plan
 */

const FOUND = {
  spread: "With gaps between them",
  grid: "Edge to edge, in rows",
  stack: "Folded, in a stack",
};

/** @param {string} label @param {number} value */
const number = (label, value) => {
  const input = h("input", { type: "number", min: 1, max: 150, value, inputmode: "numeric" });
  return { input, field: field(label, input) };
};

/** @param {Spot} from @param {Spot} to @returns {Spot} */
const middle = (from, to) => [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];

/** Whether a convex outline, clockwise, holds a point. @param {Spot[]} corners @param {Spot} at */
const isWithin = (corners, [x, y]) =>
  corners.every(([left, top], corner) => {
    const [right, bottom] = corners[(corner + 1) % corners.length];
    return (right - left) * (y - top) >= (bottom - top) * (x - left);
  });

class BundleDialog {
  /** @type {Bundle | null} */
  #found = null;
  /** @type {Bundle[]} What it was before each correction. */
  #past = [];
  /** @type {Opening} */
  #opening = { role: "fabric" };
  #chosen = -1;
  #joining = false;
  #busy = false;
  #white = "";
  #kind = "spread";
  #asking = false;
  #rows = number("Rows", 4);
  #columns = number("Columns", 5);
  #count = number("Fabrics in the stack", 12);
  #edge = h("input", { placeholder: "not known" });
  #upper = field("", this.#edge);
  #card = box(() => {
    this.#white = "";
  });
  #board = new Board({
    pick: (piece) => this.#pick(piece),
    move: (corner, to) => this.#move(corner, to),
  });
  #hint = h("p.quiet", { role: "status" });
  #errors = errorPlace();
  #progress = h("progress", { "aria-label": "Working on the photo" });
  #working = h(
    "div.row.working",
    { hidden: true },
    this.#progress,
    button("Stop", () => workspace.stop()),
  );
  #counts = h("div.fields", this.#rows.field, this.#columns.field, this.#count.field);
  #other = button("They lie in another way", () => {
    this.#asking = true;
    this.#show();
  });
  #tools = h("div.row");
  #warnings = h("div.notes");
  #pieces = h("ol.pieces");
  #accept = h("button.main", { onclick: () => this.#take() });
  #question = h("div.asked");
  element = photoDialog(
    "Several fabrics in one photo",
    [this.#board.element, this.#hint, this.#tools],
    [
      this.#asked(),
      this.#other,
      this.#working,
      this.#errors,
      this.#warnings,
      tick(this.#card, "White paper in the photo corrects the colours"),
      this.#upper,
      this.#pieces,
      this.#accept,
    ],
  );

  /**
   * Have what was found looked at.
   * @param {BundleOut} found
   * @param {Opening} opening
   */
  open(found, opening) {
    this.#takeUp(/** @type {Bundle} */ (/** @type {unknown} */ (found)));
    this.#opening = opening;
    this.#asking = !found.pieces.length;
    document.querySelector(`${opening.role}s-step, ${opening.role}-step`)?.append(this.element);
    this.#show();
    this.element.showModal();
  }

  /** @param {Bundle} found */
  #takeUp(found) {
    this.#found = found;
    this.#past = [];
    this.#chosen = -1;
    this.#white = "";
    this.#card.checked = found.card;
  }

  /** How they lie. */
  #asked() {
    const ways = Object.entries(FOUND).map(([value, words]) => {
      const onchange = () => {
        this.#kind = value;
        this.#show();
      };
      const checked = value === this.#kind;
      return tick(h("input", { type: "radio", name: "lie", value, checked, onchange }), words);
    });
    this.#question.append(
      h("fieldset", h("legend", "How they lie"), ...ways),
      this.#counts,
      button("Look again", () => this.#find()),
    );
    return this.#question;
  }

  /** See what is found in the photo if the fabrics lie as is told. */
  #find() {
    const picture = this.#found?.picture;
    return this.#work("Looking for the fabrics.", async () => {
      const lie = this.#lie();
      /** @type {Bundle} */
      const found = await ask("POST", workspace.path("bundle/look"), { picture, lie });
      this.#takeUp(found);
      this.#asking = !found.pieces.length;
    });
  }

  #lie() {
    const kind = this.#kind;
    if (kind === "stack") return { kind, count: Number(this.#count.input.value) };
    if (kind !== "grid") return { kind };
    const [rows, columns] = [this.#rows, this.#columns].map(({ input }) => Number(input.value));
    return { kind, rows, columns };
  }

  /**
   * Do something that takes a while.
   * @param {string} words
   * @param {() => Promise<void>} task
   */
  async #work(words, task) {
    if (this.#busy) return;
    this.#busy = true;
    this.#progress.removeAttribute("value");
    this.#working.hidden = false;
    say(this.#hint, words);
    await attempt(this.#errors, task);
    this.#busy = false;
    this.#working.hidden = true;
    this.#show();
  }

  /** @param {Record<string, unknown>} change */
  #correct(change) {
    const before = this.#found;
    if (!before) return;
    return this.#work("", async () => {
      /** @type {Bundle} */
      const after = await ask("POST", workspace.path("bundle/correct"), {
        bundle: this.#sent(before),
        change,
      });
      if (change.do === "divide" && after.pieces.length === before.pieces.length) {
        after.pieces.forEach((piece, index) => {
          piece.name = before.pieces[index].name;
        });
      }
      this.#past.push(before);
      this.#found = after;
      if (change.do === "tap") this.#chosen = after.pieces.length - 1;
      else if (change.do !== "move") this.#chosen = -1;
    });
  }

  /** @param {Bundle} bundle */
  #sent({ picture, kind, width, height, pieces }) {
    const bare = pieces.map(({ name, corners }) => ({ name, corners }));
    return { picture, kind, width, height, pieces: bare };
  }

  /** @param {number} piece */
  #pick(piece) {
    if (this.#joining && piece >= 0 && piece !== this.#chosen) {
      this.#joining = false;
      this.#correct({ do: "join", first: this.#chosen, second: piece });
      return;
    }
    this.#joining = false;
    this.#chosen = piece;
    this.#show();
  }

  /** @param {number} corner @param {Spot} to */
  #move(corner, to) {
    if (this.#chosen >= 0) return this.#correct({ do: "move", number: this.#chosen, corner, to });
    const outline = this.#outline();
    outline[corner] = to;
    return this.#correct({ do: "divide", outline, lie: this.#lie() });
  }

  /** Corners of the whole grid or stack, as far as it is whole. @returns {Spot[]} */
  #outline() {
    const { kind, pieces } = this.#found ?? { kind: "", pieces: [] };
    const columns = kind === "stack" ? 1 : Number(this.#columns.input.value);
    const count =
      kind === "stack" ? Number(this.#count.input.value) : columns * Number(this.#rows.input.value);
    if (kind !== this.#kind || kind === "spread" || pieces.length !== count) return [];
    return [
      pieces[0].corners[0],
      pieces[columns - 1].corners[1],
      pieces[count - 1].corners[2],
      pieces[count - columns].corners[3],
    ];
  }

  #back() {
    this.#found = this.#past.pop() ?? this.#found;
    this.#chosen = -1;
    this.#show();
  }

  #add() {
    this.#chosen = -1;
    this.#show();
    say(this.#hint, "Tap the fabric in the photo; or move the cross by arrow keys, then Enter.");
    this.#board.aim("Where the fabric lies", (at) => this.#correct({ do: "tap", at }));
  }

  #markWhite() {
    say(this.#hint, "Tap the white paper, or drag a box over it; keys: arrows, then Enter.");
    this.#board.aim("Where the white paper lies", (from, to) => {
      this.#white = spotText(from, to);
      this.#card.checked = true;
      const card = this.#found?.pieces.findIndex(({ corners }) =>
        isWithin(corners, middle(from, to)),
      );
      if (card !== undefined && card >= 0) return this.#correct({ do: "remove", number: card });
      this.#show();
    });
  }

  #join() {
    this.#joining = true;
    say(this.#hint, "Tap the piece it belongs to, in the photo or in the list.");
  }

  /** Read the pieces as fabrics. */
  async #take() {
    const found = this.#found;
    if (!found) return;
    const white = this.#card.checked ? this.#white || "auto" : null;
    const { role, instead, added } = this.#opening;
    const edge = meant(this.#edge.value) || null;
    const request = { bundle: this.#sent(found), role, edge, white, instead: instead ?? null };
    await this.#work(`Reading ${many(found.pieces.length, "fabric")}.`, async () => {
      await workspace.run("bundle/accept", request);
      this.#found = null;
      added?.();
      this.element.close();
    });
  }

  #show() {
    const found = this.#found;
    const edge = `Upper edge of each piece, ${unit()}, if they are pre-cut`;
    say(/** @type {Element} */ (this.#upper.firstChild), edge);
    this.#question.hidden = !this.#asking;
    this.#other.hidden = this.#asking;
    this.#counts.hidden = this.#kind === "spread";
    this.#rows.field.hidden = this.#columns.field.hidden = this.#kind !== "grid";
    this.#count.field.hidden = this.#kind !== "stack";
    const pieces = found?.pieces ?? [];
    const chosen = pieces[this.#chosen];
    this.#board.element.hidden = !found;
    this.#board.photo(found?.address ?? "", "The bundle, with the outline of each fabric");
    this.#board.show(
      pieces.map(({ corners }) => corners),
      this.#chosen,
      chosen ? chosen.corners : this.#outline(),
      chosen?.name ?? "the bundle",
    );
    say(this.#hint, this.#words());
    this.#tools.replaceChildren(...(found ? this.#buttons() : []));
    list(this.#warnings, found?.warnings ?? [], (text) => h("p.warning", text));
    this.#showPieces();
    this.#accept.hidden = !pieces.length;
    say(this.#accept, `Add ${many(pieces.length, "fabric")}`);
  }

  #words() {
    if (!this.#found?.pieces.length) return "Say how they lie, or add them by a tap.";
    if (this.#chosen >= 0)
      return "Drag a corner, or tap it and then its place; arrow keys work too.";
    return `${many(this.#found.pieces.length, "fabric")} found. Tap one to put it right.`;
  }

  #buttons() {
    const number = this.#chosen;
    const split = (/** @type {boolean} */ across) => this.#correct({ do: "split", number, across });
    const one =
      number < 0
        ? []
        : [
            button("Split side by side", () => split(true)),
            button("Split one above the other", () => split(false)),
            button("Join with another", () => this.#join()),
            button("Take away", () => this.#correct({ do: "remove", number })),
          ];
    const all = [
      button("Add a fabric", () => this.#add()),
      button("This is paper", () => this.#markWhite()),
    ];
    const back = this.#past.length ? [button("Step back", () => this.#back())] : [];
    return [...one, ...all, ...back];
  }

  #showPieces() {
    const pieces = this.#found?.pieces ?? [];
    keep(
      this.#pieces,
      pieces.map((piece, index) => ({ piece, index })),
      ({ index }) => String(index),
      ({ index }) => {
        const name = h("input", {
          maxlength: 80,
          "aria-label": `Name of fabric ${index + 1}`,
          oninput: () => {
            const piece = this.#found?.pieces[index];
            if (piece) piece.name = name.value;
          },
        });
        const onclick = () => {
          this.#pick(index);
          this.#board.element.scrollIntoView({ block: "nearest" });
        };
        return h("li", h("button.crop", { onclick }, h("img.cloth", { alt: "" })), name);
      },
      (element, { piece, index }) => {
        const [pick, name] = /** @type {[HTMLElement, HTMLInputElement]} */ ([...element.children]);
        set(pick, {
          "aria-pressed": index === this.#chosen,
          "aria-label": `Fabric ${index + 1}, ${piece.name}`,
        });
        set(pick.children[0], { src: piece.crop });
        put(name, piece.name);
      },
    );
  }
}

/** @type {BundleDialog | undefined} Made when it is first wanted. */
let bundleDialog;

/** Have the fabrics that were found in a photo looked at. @param {BundleOut} found @param {Opening} opening */
export function openBundle(found, opening) {
  bundleDialog ??= new BundleDialog();
  bundleDialog.open(found, opening);
}

/**
 * Have those that were found in a photo on its way looked at.
 * @param {import("../../parts/photos.js").Ticket} ticket
 * @param {import("../../parts/photos.js").Line} line
 */
export function lookAt(ticket, line) {
  if (ticket.bundle) openBundle(ticket.bundle, { role: line.role, added: () => line.drop(ticket) });
}
