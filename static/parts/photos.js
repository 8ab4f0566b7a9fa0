/** Photos on their way to the server: a few at a time, so that each shows as soon as it is read. */

import { ask, Problem } from "../plan/server.js";
import { workspace } from "../plan/workspace.js";
import { button, h, keep, many, say } from "./dom.js";

/** Bytes: photos larger than this are made smaller before they are sent. */
const LARGE = 4e6;
/** Pixels they are made of then: few enough that the server reads each of them. */
const PIXELS = 3.9e6;
/** Photos sent at once: the server reads them side by side and keeps their order. */
const AT_ONCE = 2;
/** Milliseconds between looks whether the program is there again. */
const PATIENCE = 2000;

/** @typedef {"waiting" | "reading" | "failed" | "several"} State */
/** @typedef {import("../types/api.d.ts").BundleOut} BundleOut */
/** @typedef {import("../types/api.d.ts").PhotoResult} Result */
/** @typedef {"fabric" | "background" | "thread"} Role what photos show */
/**
 * How photos were lit, and whether no block is to be made of them, as the server takes it.
 * @typedef {{white?: string, light?: string, spare?: "true", one?: "true"}} Lit
 */

/**
 * @typedef {object} Ticket One photo that is not in the plan yet.
 * @property {string} key
 * @property {File} file
 * @property {string} url of its picture in this page
 * @property {State} state
 * @property {Lit} lit
 * @property {string} problem what is wrong with it; empty unless it failed
 * @property {BundleOut | null} bundle several fabrics that it shows, to be looked at
 */

let counter = 0;

/** @param {readonly File[]} files @param {Lit} [lit] @returns {Ticket[]} */
export function tickets(files, lit = {}) {
  return files.map((file) => {
    counter += 1;
    const url = URL.createObjectURL(file);
    return { key: `photo-${counter}`, file, url, state: "waiting", lit, problem: "", bundle: null };
  });
}

/** Photos that wait for their turn; what fails stays until it is tried again or dropped. */
export class Line {
  /** @type {Ticket[]} */
  tickets = [];
  #broken = h("ul.broken", { "aria-live": "polite" });
  #words = h("p.count", { role: "status" });
  /** What is on its way, and what could not be read. */
  element = h("div.arrivals.group", this.#broken, this.#words);
  /** Whether the program does not answer, so that everything waits. */
  #cut = false;
  #busy = false;
  #changed;
  #look;

  /**
   * @param {Role} role
   * @param {(ticket: Ticket) => void} look has the fabrics in a photo of several looked at
   * @param {() => void} [changed] called whenever a ticket is in another state
   */
  constructor(role, look, changed = () => {}) {
    this.role = role;
    this.#look = look;
    this.#changed = () => {
      this.#show();
      changed();
    };
    addEventListener("beforeunload", (event) => {
      if (this.waiting.length) event.preventDefault();
    });
  }

  /** Those that are not read and not refused. */
  get waiting() {
    return this.tickets.filter(({ state }) => state === "waiting" || state === "reading");
  }

  /** Those of several fabrics, which are to be looked at. */
  get several() {
    return this.tickets.filter(({ state }) => state === "several");
  }

  #show() {
    const count = this.waiting.length;
    const photos = many(count, "photo");
    const words = this.#cut
      ? `No connection. ${photos} ${count === 1 ? "waits" : "wait"} and will go on when it is back.`
      : `Reading ${photos}.`;
    say(this.#words, count ? words : "");
    keep(
      this.#broken,
      this.tickets.filter(({ state }) => state === "failed" || state === "several"),
      ({ key, state }) => key + state,
      (ticket) => (ticket.bundle ? this.#told(ticket, ticket.bundle) : this.#sorry(ticket)),
    );
  }

  /** A photo of several fabrics. @param {Ticket} ticket @param {BundleOut} bundle */
  #told(ticket, { pieces }) {
    return h(
      "li.stacked",
      h("p", h("b", ticket.file.name), h("br"), `${many(pieces.length, "fabric")} found in it.`),
      h(
        "span.row",
        button("Look at them", () => this.#look(ticket)),
        button("It is one fabric", () =>
          this.again({ ...ticket, lit: { ...ticket.lit, one: "true" } }),
        ),
        button("Dismiss", () => this.drop(ticket)),
      ),
    );
  }

  /** A photo that could not be read, why, and what can be done. @param {Ticket} ticket */
  #sorry(ticket) {
    return h(
      "li",
      h("p", h("b", ticket.file.name), h("br"), ticket.problem),
      h(
        "span.row",
        button("Try again", () => this.again(ticket)),
        button("Dismiss", () => this.drop(ticket)),
      ),
    );
  }

  /** @param {readonly Ticket[]} more */
  async take(more) {
    this.tickets.push(...more);
    this.#changed();
    if (this.#busy) return;
    this.#busy = true;
    for (let next = this.#next(); next.length; next = this.#next()) await this.#send(next);
    this.#busy = false;
    const [first] = this.several;
    if (first && !document.querySelector("dialog[open]")) this.#look(first);
  }

  /** @param {Ticket} ticket */
  drop(ticket) {
    URL.revokeObjectURL(ticket.url);
    this.tickets = this.tickets.filter(({ key }) => key !== ticket.key);
    this.#changed();
  }

  /** @param {Ticket} ticket */
  again(ticket) {
    this.tickets = this.tickets.filter(({ key }) => key !== ticket.key);
    return this.take([{ ...ticket, state: "waiting", problem: "", bundle: null }]);
  }

  /** The next ones that can go together: they were lit alike. */
  #next() {
    const [first, ...rest] = this.waiting;
    if (!first) return [];
    const alike = rest.findIndex(({ lit }) => lit !== first.lit);
    return [first, ...rest.slice(0, alike < 0 ? undefined : alike)].slice(0, AT_ONCE);
  }

  /** @param {Ticket[]} batch @returns {Promise<void>} */
  async #send(batch) {
    for (const ticket of batch) ticket.state = "reading";
    this.#changed();
    const before = this.#count();
    try {
      const results = await post(batch, this.role);
      batch.forEach((ticket, index) => {
        this.#settle(ticket, results[index]);
      });
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      if (error.status === 0) await this.#wait(batch, before);
      else if (batch.length > 1) for (const ticket of batch) await this.#send([ticket]);
      else this.#fail(batch[0], error.message);
    }
  }

  /** @param {Ticket} ticket @param {Result | undefined} result */
  #settle(ticket, result) {
    if (result?.problem) return this.#fail(ticket, result.problem);
    if (!result?.bundle) return this.drop(ticket);
    ticket.state = "several";
    ticket.bundle = result.bundle;
    this.#changed();
  }

  /** @param {Ticket} ticket @param {string} problem */
  #fail(ticket, problem) {
    ticket.state = "failed";
    ticket.problem = problem;
    this.#changed();
  }

  #count() {
    const brief = workspace.view?.plan.brief;
    return (brief?.swatches.length ?? 0) + (brief?.backgrounds.length ?? 0);
  }

  /**
   * Wait until the program is there again; what it has read after all is not sent twice.
   * @param {Ticket[]} batch
   * @param {number} before fabrics in the plan before
   */
  async #wait(batch, before) {
    this.#cut = true;
    for (const ticket of batch) ticket.state = "waiting";
    this.#changed();
    while (!(await isThere())) await new Promise((done) => setTimeout(done, PATIENCE));
    this.#cut = false;
    if (workspace.view) await workspace.open(workspace.view.id);
    if (this.#count() > before) for (const ticket of batch) this.drop(ticket);
  }
}

/** Send photos that were lit alike. @param {readonly Pick<Ticket, "file" | "lit">[]} batch @param {Role} role */
async function post(batch, role) {
  const form = new FormData();
  for (const { file } of batch) form.append("photos", await smaller(file), file.name);
  return workspace.add(form, { role, ...batch[0].lit });
}

/**
 * Add the photo of one cloth; resolves with the id it got.
 * @param {File} file
 * @param {Role} role
 * @param {Lit} [lit]
 */
export async function add(file, role, lit = {}) {
  const results = await post([{ file, lit: { ...lit, one: "true" } }], role);
  return results[0].fabric ?? "";
}

const isThere = () =>
  ask("GET", "/api/health").then(
    () => true,
    () => false,
  );

/**
 * What can't be made smaller is sent as it is; the server has the last word. The picture keeps
 * all of its colour, as small pieces of a bundle need.
 * @param {File} file
 */
export async function smaller(file) {
  if (file.size < LARGE) return file;
  try {
    const image = await createImageBitmap(file);
    const scale = Math.min(1, Math.sqrt(PIXELS / (image.width * image.height)));
    const canvas = new OffscreenCanvas(image.width * scale, image.height * scale);
    // Phones see colours that sRGB has no numbers for.
    const flat = canvas.getContext("2d", { colorSpace: "display-p3" });
    flat?.drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    return await canvas.convertToBlob({ type: "image/jpeg", quality: 1 });
  } catch {
    return file;
  }
}

/**
 * A button to choose files.
 * @param {string} kind classes of its label
 * @param {string} words
 * @param {import("./dom.js").Props} props
 * @param {(files: readonly File[]) => void} given
 */
export function fileButton(kind, words, props, given) {
  const onchange = () => {
    const files = [...(input.files ?? [])];
    input.value = "";
    if (files.length) given(files);
  };
  const input = h("input.hidden", { type: "file", onchange, ...props });
  return h("label", { class: kind }, words, input);
}

/**
 * Buttons to choose photos, and on a phone to take them.
 * @param {string} words
 * @param {(files: readonly File[]) => void} given
 * @param {boolean} [multiple]
 */
export function chooser(words, given, multiple = true) {
  const accept = "image/*";
  const capture = "environment";
  return h(
    "p.chooser",
    fileButton("button", words, { accept, multiple }, given),
    fileButton("button camera", "Take a photo", { accept, capture }, given),
  );
}
