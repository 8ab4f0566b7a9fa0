/** Photos on their way to the server: one by one, so that each shows the moment it is read. */

import { desk } from "./desk.js";
import { h } from "./dom.js";
import { Problem } from "./server.js";

/** Photos larger than this are made smaller before they are sent. */
const LARGE = 4e6;
const LONG_SIDE = 2400;

/**
 * @typedef {object} Ticket One photo that is not in the plan yet.
 * @property {string} key
 * @property {File} file
 * @property {string} url of its picture in this page
 * @property {string} problem what is wrong with it; empty while it waits
 */

let counter = 0;

/** @param {FileList | readonly File[]} files @returns {Ticket[]} */
export function tickets(files) {
  return [...files].map((file) => {
    counter += 1;
    return { key: `photo-${counter}`, file, url: URL.createObjectURL(file), problem: "" };
  });
}

/**
 * Send one photo; its problem is empty afterwards if it was read.
 * @param {Ticket} ticket
 * @param {"fabric" | "background"} role
 * @returns {Promise<boolean>} whether it was read
 */
export async function send(ticket, role) {
  const form = new FormData();
  form.append("photos", await smaller(ticket.file), ticket.file.name);
  try {
    ticket.problem = (await desk.add(form, role)) ?? "";
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    ticket.problem = error.message;
  }
  return !ticket.problem;
}

/** What can't be made smaller is sent as it is; the server has the last word. @param {File} file */
async function smaller(file) {
  if (file.size < LARGE) return file;
  try {
    const image = await createImageBitmap(file);
    const scale = Math.min(1, LONG_SIDE / Math.max(image.width, image.height));
    const canvas = new OffscreenCanvas(image.width * scale, image.height * scale);
    canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
    image.close();
    return await canvas.convertToBlob({ type: "image/jpeg", quality: 0.93 });
  } catch {
    return file;
  }
}

/**
 * Buttons to choose photos, and on a phone to take them.
 * @param {string} words
 * @param {(files: readonly File[]) => void} given
 */
export function chooser(words, given) {
  /** @param {string} label @param {Record<string, string | boolean>} more */
  const button = (label, more) => {
    const input = h("input", { type: "file", accept: "image/*", class: "hidden", ...more });
    input.addEventListener("change", () => {
      const files = [...(input.files ?? [])];
      input.value = "";
      given(files);
    });
    return h("label", { class: `button ${more.capture ? "camera" : ""}` }, label, input);
  };
  return h(
    "p",
    { class: "chooser" },
    button(words, { multiple: true }),
    button("Take a photo", { capture: "environment" }),
  );
}
