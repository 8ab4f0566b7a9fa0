/** Photos on their way to the server: a few at a time, so that each shows as soon as it is read. */

import { ask, Problem } from "../plan/server.js";
import { workspace } from "../plan/workspace.js";
import { button, h, keep, many, say } from "./dom.js";

/** Photos larger than this are made smaller before they are sent. */
const LARGE = 4e6;
const LONG_SIDE = 2400;
/** Photos sent at once: the server reads them side by side and keeps their order. */
const AT_ONCE = 2;
/** Milliseconds between looks whether the program is there again. */
const PATIENCE = 2000;

/** @typedef {"waiting" | "reading" | "failed"} State */
/** @typedef {"fabric" | "background" | "thread"} Role what photos show */
/**
 * How photos were lit, and whether no block is to be made of them, as the server takes it.
 * @typedef {{white?: string, light?: string, spare?: "true"}} Lit
 */

/**
 * @typedef {object} Ticket One photo that is not in the plan yet.
 * @property {string} key
 * @property {File} file
 * @property {string} url of its picture in this page
 * @property {State} state
 * @property {Lit} lit
 * @property {string} problem what is wrong with it; empty unless it failed
 */

let counter = 0;

/** @param {readonly File[]} files @param {Lit} [lit] @returns {Ticket[]} */
export function tickets(files, lit = {}) {
  return files.map((file) => {
    counter += 1;
    const url = URL.createObjectURL(file);
    return { key: `photo-${counter}`, file, url, state: "waiting", lit, problem: "" };
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
  #role;
  #changed;

  /**
   * @param {Role} role
   * @param {() => void} [changed] called whenever a ticket is in another state
   */
  constructor(role, changed = () => {}) {
    this.#role = role;
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
    return this.tickets.filter(({ state }) => state !== "failed");
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
      this.tickets.filter(({ state }) => state === "failed"),
      ({ key }) => key,
      (ticket) => this.#sorry(ticket),
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
  }

  /** @param {Ticket} ticket */
  drop(ticket) {
    URL.revokeObjectURL(ticket.url);
    this.tickets = this.tickets.filter((other) => other !== ticket);
    this.#changed();
  }

  /** @param {Ticket} ticket */
  again(ticket) {
    this.tickets = this.tickets.filter((other) => other !== ticket);
    return this.take([{ ...ticket, state: "waiting", problem: "" }]);
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
      const results = await post(batch, this.#role);
      batch.forEach((ticket, index) => {
        this.#settle(ticket, results[index]?.problem ?? "");
      });
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      if (error.status === 0) await this.#wait(batch, before);
      else if (batch.length > 1) for (const ticket of batch) await this.#send([ticket]);
      else this.#settle(batch[0], error.message);
    }
  }

  /** @param {Ticket} ticket @param {string} problem */
  #settle(ticket, problem) {
    if (!problem) return this.drop(ticket);
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
 * Add one photo; resolves with the id it got.
 * @param {File} file
 * @param {Role} role
 * @param {Lit} [lit]
 */
export async function add(file, role, lit = {}) {
  const results = await post([{ file, lit }], role);
  return results[0].fabric ?? "";
}

const isThere = () =>
  ask("GET", "/api/health").then(
    () => true,
    () => false,
  );

/**
 * What can't be made smaller is sent as it is; the server has the last word.
 * @param {File} file
 * @param {number} [quality] at 1 the picture keeps all of its colour, as small pieces need
 */
export async function smaller(file, quality = 0.93) {
  if (file.size < LARGE) return file;
  try {
    const image = await createImageBitmap(file);
    const scale = Math.min(1, LONG_SIDE / Math.max(image.width, image.height));
    const canvas = new OffscreenCanvas(image.width * scale, image.height * scale);
    // Phones see colours that sRGB has no numbers for.
    const flat = canvas.getContext("2d", { colorSpace: "display-p3" });
    flat?.drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    return await canvas.convertToBlob({ type: "image/jpeg", quality });
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
