/** One photo of the whole bundle: found, put right by hand, taken in. */

import { field } from "../../parts/controls.js";
import { photoDialog, spotText } from "../../parts/dialogs.js";
import { box, button, h, keep, list, many, put, say, set, tick } from "../../parts/dom.js";
import { attempt, errorPlace } from "../../parts/errors.js";
import { Board } from "../../parts/photo-board.js";
import { chooser, smaller } from "../../parts/photos.js";
import { meant, unit } from "../../plan/lengths.js";
import { ask, watch } from "../../plan/server.js";
import { workspace } from "../../plan/workspace.js";

/** @typedef {import("../../types/api.d.ts").BundleOut} BundleOut */
/** @typedef {import("../../types/api.d.ts").PieceOut} PieceOut */
/** @typedef {Omit<PieceOut, "corners"> & {corners: Spot[]}} Piece a corner has two numbers */
/** @typedef {Omit<BundleOut, "pieces"> & {pieces: Piece[]}} Bundle */
/** @typedef {import("../../parts/photo-board.js").Spot} Spot */

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
  /** @type {File | null} */
  #file = null;
  #chosen = -1;
  #joining = false;
  #busy = false;
  #white = "";
  #kind = "spread";
  /** @type {AbortController | null} */
  #stop = null;
  #asking = true;
  #rows = number("Rows", 4);
  #columns = number("Columns", 5);
  #count = number("Fabrics in the stack", 12);
  #edge = h("input", { placeholder: "not known" });
  #upper = field("", this.#edge);
  #card = box();
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
    button("Stop", () => this.#halt()),
  );
  #again = button("Look again", () => this.#find());
  #counts = h("div.fields", this.#rows.field, this.#columns.field, this.#count.field);
  #other = button("Another photo or another way", () => {
    this.#asking = true;
    this.#show();
  });
  #tools = h("div.row");
  #warnings = h("div.notes");
  #pieces = h("ol.pieces");
  #accept = h("button.main", { onclick: () => this.#take() });
  #question = h("div.asked");
  element = photoDialog(
    "One photo of the bundle",
    [this.#board.element, this.#hint, this.#tools],
    [
      this.#asked(),
      this.#other,
      this.#working,
      this.#errors,
      this.#warnings,
      this.#pieces,
      this.#accept,
    ],
  );

  open() {
    this.#show();
    this.element.showModal();
  }

  /** How they lie, and the photo. */
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
      tick(this.#card, "A white card lies beside them"),
      this.#upper,
      chooser("Choose the photo", ([file]) => this.#chose(file), false),
      this.#again,
      h("a", { href: "guide.html", target: "_blank" }, "Taking the photo"),
    );
    return this.#question;
  }

  /** @param {File} file */
  #chose(file) {
    this.#file = file;
    return this.#find();
  }

  /** Send the photo and see what is found in it. */
  #find() {
    const file = this.#file;
    if (!file) return;
    return this.#work("Looking for the fabrics.", async (signal) => {
      const form = new FormData();
      form.append("photo", await smaller(file, 1), file.name);
      const query = new URLSearchParams({ ...this.#lie(), card: String(this.#card.checked) });
      const path = workspace.path(`bundle?${query}`);
      /** @type {unknown} */
      const found = await watch("POST", path, form, {}, () => {}, signal);
      this.#found = /** @type {Bundle} */ (found);
      this.#past = [];
      this.#chosen = -1;
      this.#white = "";
      this.#asking = !this.#found.pieces.length;
    });
  }

  /** @returns {Record<string, string>} */
  #lie() {
    const kind = this.#kind;
    if (kind === "stack") return { kind, count: this.#count.input.value };
    if (kind !== "grid") return { kind };
    return { kind, rows: this.#rows.input.value, columns: this.#columns.input.value };
  }

  /**
   * Do something that takes a while and can be stopped.
   * @param {string} words
   * @param {(signal: AbortSignal) => Promise<void>} task
   */
  async #work(words, task) {
    if (this.#busy) return;
    this.#busy = true;
    const stop = new AbortController();
    this.#stop = stop;
    this.#progress.removeAttribute("value");
    this.#working.hidden = false;
    say(this.#hint, words);
    await attempt(this.#errors, () => task(stop.signal));
    this.#busy = false;
    this.#working.hidden = true;
    this.#show();
  }

  #halt() {
    this.#stop?.abort();
    workspace.stop();
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
    const { kind, ...counts } = this.#lie();
    const lie = Object.entries(counts).map(([name, count]) => [name, Number(count)]);
    return this.#correct({ do: "divide", outline, lie: { kind, ...Object.fromEntries(lie) } });
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
    say(this.#hint, "Tap the white card, or drag a box over it; keys: arrows, then Enter.");
    this.#board.aim("Where the white card lies", (from, to) => {
      this.#white = spotText(from, to);
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
    const white = this.#white || (this.#card.checked ? "auto" : null);
    const request = { bundle: this.#sent(found), edge: meant(this.#edge.value) || null, white };
    await this.#work(`Reading ${many(found.pieces.length, "fabric")}.`, async () => {
      await workspace.run("bundle/accept", request);
      this.#found = null;
      this.#file = null;
      this.#white = "";
      this.#asking = true;
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
    this.#again.hidden = !this.#file;
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
    if (!this.#found) return "Say how they lie, then choose the photo.";
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
      button("Show the white card", () => this.#markWhite()),
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

/** Take one photo of a whole bundle apart. */
export function openBundle() {
  bundleDialog ??= new BundleDialog();
  return bundleDialog.open();
}
