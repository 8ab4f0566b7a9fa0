/** The plan at work: what is shown, what is saved, and every change to it. */

import { patched } from "./patch.js";
import { ask, Problem, Stopped, watch } from "./server.js";

/** @typedef {import("../types/api.d.ts").PlanView} PlanView */
/** @typedef {import("../types/api.d.ts").BriefChange} BriefChange */
/** @typedef {import("../types/api.d.ts").PlanChange} PlanChange */
/** @typedef {import("../types/api.d.ts").BlockOut} Block */
/** @typedef {import("../types/api.d.ts").Uploaded} Upload */

const NEWEST =
  "This plan was changed in another window. You see its newest state now; make your change again.";

/** How long nothing is done before the program looks further, ms. */
const IDLE = 2000;

const TRYING = "Not saved: the program does not answer. Trying again";

/** Wait a while, or until the network is back. @param {number} pause milliseconds */
function patience(pause) {
  return new Promise((done) => {
    const timer = setTimeout(done, pause);
    addEventListener("online", () => done(clearTimeout(timer)), { once: true });
  });
}

/** Wait until nobody has touched a key or the screen for a while. @param {number} pause ms */
function idle(pause) {
  const signs = ["pointerdown", "keydown", "wheel"];
  return new Promise((done) => {
    let timer = 0;
    const end = () => {
      for (const sign of signs) removeEventListener(sign, wait, true);
      done(null);
    };
    const wait = () => {
      clearTimeout(timer);
      timer = setTimeout(end, pause);
    };
    for (const sign of signs) addEventListener(sign, wait, true);
    wait();
  });
}

/** @param {unknown} error @param {number} status */
const is = (error, status) => error instanceof Problem && error.status === status;

/**
 * Events: `plan` (what is shown changed), `swap` (two blocks changed places and that is being
 * saved: the quilt shows it at once, the steps follow with `plan`), `work` (progress), `status`
 * (saved or not).
 */
class Workspace extends EventTarget {
  /** @type {PlanView | null} What is shown: the saved plan, or one change ahead of it. */
  view = null;
  /** @type {Block[]} */
  blocks = [];
  /** @type {{share: number, words: string} | null} What the server is busy with. */
  work = null;
  status = "";

  /** @type {PlanView | null} */
  #saved = null;
  #waiting = 0;
  #line = Promise.resolve();
  /** @type {AbortController | null} */
  #stop = null;
  /** @type {AbortController | null} Ends the look in the background. */
  #quiet = null;
  /** What such a look found better, in a few words. */
  found = "";
  #isBrief = false;
  /** Whether the server is out of reach, and changes wait for it. */
  #away = false;
  /** @type {BriefChange} Changes of the brief that are not saved yet. */
  #unsaved = {};

  constructor() {
    super();
    addEventListener("beforeunload", (event) => this.#away && event.preventDefault());
  }

  /**
   * Call back now (if there is a plan) and at every event of that name.
   * @param {string} name
   * @param {() => void} callback
   */
  on(name, callback) {
    this.addEventListener(name, callback);
    if (this.view) callback();
  }

  /** Show a plan, once every change of the one before is saved. @param {string} id */
  async open(id) {
    await this.#line;
    await this.#load(id);
  }

  /** @param {string} id @returns {Promise<PlanView>} */
  #get(id) {
    return ask("GET", `/api/plans/${encodeURIComponent(id)}`);
  }

  /**
   * What a change leads to: from the state it starts from, or, if that is another than the
   * one here, as the server has it.
   * @param {PlanChange | null} change
   */
  async #after(change) {
    const saved = this.#saved;
    if (!change || !saved) return null;
    const { id, base, revision, can_undo, can_redo, patch } = change;
    if (id !== saved.id || base !== saved.revision) return this.#get(id);
    return { ...patched(saved, patch), revision, can_undo, can_redo };
  }

  /** @param {string} id */
  async #load(id) {
    if (!this.blocks.length) this.blocks = await ask("GET", "/api/blocks");
    this.#take(await this.#get(id));
    this.#say("Saved");
  }

  /**
   * Make a new plan and show it.
   * @param {{title?: string, sample?: boolean, pattern_of?: string, copy_of?: string}} request
   */
  async start(request) {
    const made = await ask("POST", "/api/plans", request);
    await this.open(made.id);
    return made.id;
  }

  /**
   * Change the brief. A change that is still being worked on is stopped and goes along.
   * @param {BriefChange} fields
   */
  change(fields) {
    const setting = { ...this.#unsaved.setting, ...fields.setting };
    const sewing = { ...this.#unsaved.sewing, ...fields.sewing };
    this.#unsaved = {
      ...this.#unsaved,
      ...fields,
      ...(fields.setting && { setting }),
      ...(fields.sewing && { sewing }),
    };
    if (this.#isBrief) this.#stop?.abort();
    return this.#queue(() => this.#saveBrief());
  }

  async #saveBrief() {
    const fields = this.#unsaved;
    if (!Object.keys(fields).length) return null;
    this.#isBrief = true;
    try {
      const view = await this.#sendBrief(fields);
      if (this.#unsaved === fields) this.#unsaved = {};
      return view;
    } catch (error) {
      if (error instanceof Stopped && this.#unsaved !== fields) return null;
      // What did not arrive goes out again.
      if (!is(error, 0)) this.#unsaved = {};
      throw error;
    } finally {
      this.#isBrief = false;
    }
  }

  /**
   * Save changes of the brief. They say what should be, so any revision will do; if a change that was
   * stopped too late comes in between, it is simply said again.
   * @param {BriefChange} fields
   */
  async #sendBrief(fields) {
    try {
      return await this.#watch("PATCH", "brief", fields, {});
    } catch (error) {
      if (!is(error, 412)) throw error;
      return await this.#watch("PATCH", "brief", fields, {});
    }
  }

  /** Arrange the blocks anew; then, while nothing else is asked, look further in the background. */
  async arrange() {
    await this.run("layout", {});
    this.#lookFurther();
  }

  /** Look once for a better layout when all is idle: any change goes first and ends it. */
  async #lookFurther() {
    const before = this.view;
    await idle(IDLE);
    if (this.view !== before) return;
    const { layout, quality, by_hand } = before?.plan ?? {};
    if (!before || !layout || !quality || by_hand || this.#waiting || this.#quiet) return;
    if (quality.proved && !quality.broken.length) return;
    const stop = new AbortController();
    this.#quiet = stop;
    const turn = this.#line.then(() => this.#found(stop.signal));
    this.#line = turn.then(() => {});
    const view = await turn;
    this.#quiet = null;
    if (!view) return;
    this.#take(view);
    const after = view.plan.quality;
    const rose = Math.max(0, (after?.closest ?? 0) - quality.closest);
    const kept = quality.broken.length - (after?.broken.length ?? 0);
    const reach = after && after.reach > quality.reach + 0.05 ? after.reach.toFixed(1) : "";
    this.found =
      rose > 0.05 || kept > 0
        ? `a better layout, ${view.words.gist}`
        : reach && `that neighbours can be ${reach} apart`;
    this.#tell("found");
  }

  /** What a further look leads to; null if it was stopped before. @param {AbortSignal} signal */
  async #found(signal) {
    const saved = this.#saved;
    try {
      if (signal.aborted || !saved) return null;
      const [path, headers] = ["layout/further", this.#once()()];
      return await this.#after(await watch("POST", this.path(path), {}, headers, () => {}, signal));
    } catch {
      // What was stopped may have been saved in that very moment.
      const now = saved && (await this.#get(saved.id).catch(() => null));
      if (now) this.#saved = now;
      return now && now.revision !== saved?.revision ? now : null;
    }
  }

  /**
   * Exchange two blocks: shown at once, saved after.
   * @param {number} first
   * @param {number} second
   */
  swap(first, second) {
    const view = this.view;
    if (view?.plan.layout) {
      const fabrics = [...view.plan.layout.fabrics];
      [fabrics[first], fabrics[second]] = [fabrics[second], fabrics[first]];
      const layout = { ...view.plan.layout, fabrics };
      this.view = { ...view, plan: { ...view.plan, layout } };
      this.#tell("swap");
    }
    return this.write("POST", "layout/swap", { first, second });
  }

  /**
   * Write something quick below the plan and show the plan that comes back.
   * @param {string} method
   * @param {string} path
   * @param {unknown} [body]
   */
  write(method, path, body) {
    const once = this.#once();
    return this.#queue(() => ask(method, this.path(path), body, once()));
  }

  /**
   * Add photos; resolves with what became of each.
   * @param {FormData} form
   * @param {Record<string, string>} query what they show, and how they were lit
   * @returns {Promise<Upload["results"]>}
   */
  async add(form, query) {
    /** @type {Upload["results"]} */
    let results = [];
    const post = async () => {
      const path = `fabrics?${new URLSearchParams(query)}`;
      /** @type {Upload} */
      const answer = await ask("POST", this.path(path), form);
      results = answer.results;
      // The whole plan is answered to those alone who prefer it.
      return /** @type {PlanChange} */ (answer.plan);
    };
    await this.#queue(post, false);
    return results;
  }

  /**
   * Do something slow with the plan that can be stopped.
   * @param {string} path
   * @param {unknown} body
   */
  run(path, body) {
    const once = this.#once();
    return this.#queue(() => this.#watch("POST", path, body, once()));
  }

  /** Read something below the plan. @param {string} path */
  read(path) {
    return ask("GET", this.path(path));
  }

  /** End the look in the background, so that nothing moves while a block is in hand. */
  endLook() {
    this.#quiet?.abort();
  }

  /** Stop what the server is busy with. */
  stop() {
    this.#stop?.abort();
  }

  /** Where something below the plan is. @param {string} path */
  path(path) {
    return `/api/plans/${this.view?.id}/${path}`;
  }

  /** What a change is sent with: it is for the newest revision, and made once however often sent. */
  #once() {
    const key = `"${Date.now()} ${Math.random()}"`;
    return () => ({ "If-Match": `"${this.#saved?.revision}"`, "Idempotency-Key": key });
  }

  /**
   * @param {string} method
   * @param {string} path
   * @param {unknown} body
   * @param {import("./server.js").Headers} headers
   */
  async #watch(method, path, body, headers) {
    this.#stop = new AbortController();
    try {
      const progress = (/** @type {number} */ share, /** @type {string} */ words) => {
        this.work = { share, words };
        this.#tell("work");
      };
      return await watch(method, this.path(path), body, headers, progress, this.#stop.signal);
    } finally {
      this.#stop = null;
      this.work = null;
      this.#tell("work");
    }
  }

  /**
   * Do one write after the other, so that each knows the newest revision.
   * @param {() => Promise<PlanChange | null>} task
   * @param {boolean} insist whether it goes out again when the server can't be reached; photos
   * have a line of their own
   */
  async #queue(task, insist = true) {
    this.#quiet?.abort();
    this.#waiting += 1;
    if (!this.#away) this.#say("Saving");
    const turn = this.#line.then(async () => {
      const change = await (insist ? this.#insist(task) : task());
      return this.#insist(() => this.#after(change));
    });
    this.#line = turn.then(
      () => {},
      () => {},
    );
    try {
      const view = await turn;
      this.#waiting -= 1;
      if (view) this.#take(view);
      if (!this.#waiting) this.#say("Saved");
    } catch (error) {
      this.#waiting -= 1;
      throw await this.#undone(error);
    }
  }

  /**
   * Do something until the server has answered it. Nothing that waits is given up.
   * @template T
   * @param {() => Promise<T>} task
   */
  async #insist(task) {
    try {
      for (let pause = 500; ; pause = Math.min(2 * pause, 8000)) {
        try {
          return await task();
        } catch (error) {
          if (!is(error, 0)) throw error;
        }
        this.#away = true;
        this.#say(TRYING);
        await patience(pause);
      }
    } finally {
      if (this.#away) this.#say("Saving");
      this.#away = false;
    }
  }

  /**
   * Show the saved state again; returns what to tell the user.
   * @param {unknown} error
   */
  async #undone(error) {
    const stopped = error instanceof Stopped;
    const behind = is(error, 412);
    // What was stopped may have been saved in that very moment: ask.
    if ((stopped || behind) && this.view) await this.#load(this.view.id);
    this.#say(stopped ? "Stopped" : behind ? "Saved" : "Not saved");
    if (behind) return new Problem(412, NEWEST);
    if (this.#saved) this.#take(this.#saved);
    return error;
  }

  /** @param {PlanView} view */
  #take(view) {
    this.#saved = view;
    if (this.#waiting) return;
    this.view = view;
    this.#tell("plan");
  }

  /** @param {string} status */
  #say(status) {
    this.status = status;
    this.#tell("status");
  }

  /** @param {string} name */
  #tell(name) {
    this.dispatchEvent(new Event(name));
  }
}

export const workspace = new Workspace();
