/** Plans as a whole: which one is at work, copies of it, taking one away. */

import { ask } from "./server.js";
import { workspace } from "./workspace.js";

/** Show another plan. @param {string} id */
export function show(id) {
  location.hash = `plan=${id}`;
}

/** Keep a copy of the plan as it is now, beside it. @returns {Promise<string>} its title */
export async function keepCopy() {
  const made = await ask("POST", "/api/plans", { copy_of: workspace.view?.id });
  return made.plan.brief.title;
}

/**
 * Go on with a copy: on another background, or with the pattern alone for another bundle.
 * @param {string} [background] id of one of the plan's backgrounds
 */
export async function otherColours(background) {
  const id = workspace.view?.id;
  show(await workspace.start(background ? { copy_of: id } : { pattern_of: id }));
  if (background) await workspace.change({ background });
}

/**
 * Forget a plan for good; if it is the one shown, show another.
 * @param {string} id
 * @param {string} [next] id of the plan to show then
 */
export async function forget(id, next) {
  await ask("DELETE", `/api/plans/${id}`);
  if (id !== workspace.view?.id) return;
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
  id === workspace.view?.id
    ? workspace.change({ title })
    : ask("PATCH", `/api/plans/${id}/brief`, { title });
