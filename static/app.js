/** Starts the page: opens the remembered plan or the sample, and minds the tools of the wall. */

import "./wall/wall.js";
import "./wall/print.js";
import "./steps/fabrics/fabrics.js";
import "./steps/background.js";
import "./steps/picks.js";
import "./steps/setting/setting.js";
import "./steps/layout.js";
import "./steps/finish/finish.js";
import "./steps/cutting/cutting.js";
import "./steps/variants.js";
import "./steps/keep.js";
import { put, say } from "./parts/dom.js";
import { attempt } from "./parts/errors.js";
import { isPlan, openFile } from "./plan/plans.js";
import { Problem } from "./plan/server.js";
import { workspace } from "./plan/workspace.js";
import { goTo } from "./steps/step.js";
import { offerEyes } from "./wall/eyes.js";

/** For whoever works the page from outside. */
export { workspace };

/**
 * @template {Element} T
 * @param {string} selector
 */
const get = (selector) => /** @type {T} */ (document.querySelector(selector));

const wall = /** @type {import("./wall/wall.js").QuiltWall} */ (get("quilt-wall"));
const title = /** @type {HTMLInputElement} */ (get("#title"));
const errors = /** @type {HTMLElement} */ (get("#errors"));
const wallLight = /** @type {HTMLInputElement} */ (get("#wall-light"));

/** @param {string} id */
function remember(id) {
  localStorage.setItem("plan", id);
  history.replaceState(null, "", `#plan=${id}`);
}

/** The plan named in the address, else the one last worked on. */
function remembered() {
  const named = new URLSearchParams(location.hash.slice(1)).get("plan");
  return named ?? localStorage.getItem("plan");
}

async function openSample() {
  const id = await workspace.start({ sample: true });
  localStorage.setItem("sample", id);
  remember(id);
  showPlan();
}

/** The plan whose pattern is to be tried with other fabrics, as its booklet's page asks. */
const tried = () => new URLSearchParams(location.hash.slice(1)).get("pattern");

async function openWanted() {
  const pattern = tried();
  if (pattern) {
    remember(await workspace.start({ pattern_of: pattern }));
    return goTo("fabrics");
  }
  const id = remembered();
  if (!id) return openSample();
  try {
    await workspace.open(id);
    remember(id);
  } catch (error) {
    if (!(error instanceof Problem) || error.status !== 404) throw error;
    await openSample();
  }
}

async function begin() {
  remember(await workspace.start({ title: "My quilt" }));
  goTo("fabrics");
}

function showPlan() {
  const view = workspace.view;
  if (!view) return;
  const sample = view.id === localStorage.getItem("sample");
  document.body.classList.toggle("sample", sample);
  say(get("#begin"), sample ? "Start with my fabrics" : "New plan");
  put(title, view.plan.brief.title);
  document.title = `${view.plan.brief.title} – Spreadwell`;
  say(get("#size"), view.size.words);
  /** @type {HTMLButtonElement} */ (get("#undo")).disabled = !view.can_undo;
  /** @type {HTMLButtonElement} */ (get("#redo")).disabled = !view.can_redo;
}

/** @param {"undo" | "redo"} way */
const turnBack = (way) => attempt(errors, () => workspace.write("POST", way));

/** Lighten or darken the wall; text on it is black or white, whichever reads better. */
function lightWall() {
  const light = wallLight.valueAsNumber;
  document.documentElement.style.setProperty("--wall", `lab(${light}% 0 0)`);
  document.documentElement.style.setProperty("--on-wall", light < 49.5 ? "#fff" : "#000");
}

/** @param {KeyboardEvent} event */
function shortcut(event) {
  const typing = event.target instanceof HTMLInputElement && /text|number/.test(event.target.type);
  if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  event.preventDefault();
  turnBack(event.shiftKey ? "redo" : "undo");
}

/** A plan's file may be dropped anywhere; whatever else is dropped never leaves the page. */
function catchPlans() {
  addEventListener("dragover", (event) => {
    if (event.dataTransfer?.types.includes("Files")) event.preventDefault();
  });
  const drop = (/** @type {DragEvent} */ event) => {
    const file = [...(event.dataTransfer?.files ?? [])].find(isPlan);
    if (!event.dataTransfer?.files.length) return;
    event.preventDefault();
    if (!file) return;
    event.stopImmediatePropagation();
    attempt(errors, () => openFile(file));
  };
  addEventListener("drop", drop, true);
}

/** Make room for the welcome or for a plan before either is there, so that nothing jumps. */
function foresee() {
  const sample = localStorage.getItem("sample");
  document.body.classList.toggle("sample", !tried() && (remembered() ?? sample) === sample);
  document.body.classList.remove("opening");
}

function listen() {
  get("#begin").addEventListener("click", () => attempt(errors, begin));
  get("#undo").addEventListener("click", () => turnBack("undo"));
  get("#redo").addEventListener("click", () => turnBack("redo"));
  title.addEventListener("change", () =>
    attempt(errors, () => workspace.change({ title: title.value })),
  );
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (
    document.querySelectorAll("input[name=look]")
  )) {
    const look = /** @type {import("./wall/quilt.js").ViewName} */ (input.value);
    input.addEventListener("change", () => {
      wall.look = look;
    });
  }
  get("#closer").addEventListener("change", (event) => {
    wall.close = /** @type {HTMLInputElement} */ (event.target).checked;
  });
  wallLight.addEventListener("input", () => {
    lightWall();
    localStorage.setItem("wall", wallLight.value);
  });
  addEventListener("keydown", shortcut);
  addEventListener("hashchange", () => {
    const id = remembered();
    if (tried() || id !== workspace.view?.id) attempt(errors, openWanted);
    else if (id) remember(id);
  });
  catchPlans();
}

foresee();
offerEyes(get("#eyes"), get("#eyes-note"));
wallLight.value =
  localStorage.getItem("wall") ??
  (matchMedia("(prefers-color-scheme: dark)").matches ? "20" : "80");
lightWall();
listen();
workspace.on("plan", showPlan);
workspace.on("status", () => say(get("#status"), workspace.status));
attempt(errors, openWanted);
