/** What went wrong, said beside its cause, with a way out. */

import { Problem, Stopped } from "../plan/server.js";
import { button, h } from "./dom.js";

/** A place for sentences on what went wrong. @returns {HTMLElement} */
export const errorPlace = () => h("div.errors", { role: "alert" });

/**
 * Do something; if it is refused, say so in that place.
 * @param {HTMLElement} place
 * @param {() => Promise<unknown>} action
 */
export async function attempt(place, action) {
  place.replaceChildren();
  try {
    await action();
  } catch (error) {
    if (error instanceof Stopped) return;
    if (!(error instanceof Problem)) throw error;
    // Whoever types on has read it.
    const read = () => place.replaceChildren();
    place.parentElement?.addEventListener("input", read, { once: true });
    place.append(h("p", error.message));
    const again = () => attempt(place, action);
    if (error.status === 0) place.append(button("Try again", again));
  }
}
