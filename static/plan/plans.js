/** Plans as a whole: which one is on the desk, copies of it, taking one away. */

import { h } from "../parts/dom.js";
import { goTo } from "../steps/step.js";
import { ask } from "./server.js";
import { desk } from "./workspace.js";

/** Show another plan. @param {string} id */
export function show(id) {
  location.hash = `plan=${id}`;
}

/** Keep a copy of the plan as it is now, beside it. @returns {Promise<string>} its title */
export async function keepCopy() {
  const made = await ask("POST", "/api/plans", { copy_of: desk.view?.id });
  return made.plan.brief.title;
}

/**
 * Go on with a copy: on another background, or with the pattern alone for another bundle.
 * @param {string} [background] id of one of the plan's backgrounds
 */
export async function otherColours(background) {
  const id = desk.view?.id;
  show(await desk.start(background ? { copy_of: id } : { pattern_of: id }));
  if (!background) goTo("fabrics");
  else await desk.change({ background });
}

/**
 * Forget a plan for good; if it is the one shown, show another.
 * @param {string} id
 * @param {string} [next] id of the plan to show then
 */
export async function forget(id, next) {
  await ask("DELETE", `/api/plans/${id}`);
  if (id !== desk.view?.id) return;
  localStorage.removeItem("plan");
  location.hash = next ? `plan=${next}` : "";
}

/** Whether a file may be a plan. @param {File} file */
export const isPlan = ({ name }) => /\.(zip|json)$/i.test(name);

/** Open a plan from its file. @param {File} file */
export async function openFile(file) {
  const form = new FormData();
  form.append("file", file);
  const made = await ask("POST", "/api/plans/open", form);
  show(made.id);
}

/** Name a plan. @param {string} id @param {string} title */
export const rename = (id, title) =>
  id === desk.view?.id ? desk.change({ title }) : ask("PATCH", `/api/plans/${id}/brief`, { title });

/**
 * A button that asks once more before it acts.
 * @param {string} words
 * @param {string} name of what it acts on
 * @param {() => void} act
 */
export function sure(words, name, act) {
  const place = h("span.sure", { onkeydown: ({ key }) => key === "Escape" && back() });
  const small = (/** @type {string} */ text, /** @type {() => void} */ onclick, label = text) =>
    h("button.small", { onclick, "aria-label": label }, text);
  const ask = () => {
    place.replaceChildren(h("span", "For good?"), small(words, act, named), no);
    no.focus();
  };
  const back = () => {
    place.replaceChildren(first);
    first.focus();
  };
  const named = `${words} ${name}`;
  const first = small(words, ask, named);
  const no = small("Keep", back);
  place.append(first);
  return place;
}
