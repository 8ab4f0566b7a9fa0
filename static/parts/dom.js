/** Small helpers for making elements and keeping lists of them in step with data. */

/** @typedef {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} Props */
/** @typedef {Node | string | Props} Part a child, or attributes and listeners */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {Element} element
 * @param {Props} props attributes; `onclick` and the like are listeners; true is an empty
 * attribute and false is none, but ARIA has words for both
 */
export function set(element, props) {
  for (const [name, value] of Object.entries(props)) {
    const aria = name.startsWith("aria-");
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value == null || (value === false && !aria)) element.removeAttribute(name);
    else {
      const text = value === true && !aria ? "" : String(value);
      if (element.getAttribute(name) !== text) element.setAttribute(name, text);
    }
  }
}

/**
 * @param {Element} element
 * @param {string[]} classes
 * @param {Part[]} parts
 */
function furnish(element, classes, parts) {
  element.classList.add(...classes);
  for (const part of parts) {
    if (typeof part === "string" || part instanceof Node) element.append(part);
    else set(element, part);
  }
}

/**
 * Make an HTML element; a button is one that only does what it is told.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T | `${T}.${string}`} tag with its classes: "p.quiet"
 * @param {...Part} parts
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, ...parts) {
  const [name, ...classes] = tag.split(".");
  const element = document.createElement(/** @type {T} */ (name));
  if (name === "button") element.setAttribute("type", name);
  furnish(element, classes, parts);
  return element;
}

/**
 * Make an SVG element.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T | `${T}.${string}`} tag with its classes
 * @param {...Part} parts
 * @returns {SVGElementTagNameMap[T]}
 */
export function s(tag, ...parts) {
  const [name, ...classes] = tag.split(".");
  const element = document.createElementNS(SVG, /** @type {T} */ (name));
  furnish(element, classes, parts);
  return element;
}

/** A button. @param {string} words @param {() => void} onclick */
export const button = (words, onclick) => h("button", { onclick }, words);

/** A box to tick, with its words. @param {HTMLInputElement} input @param {string} words */
export const tick = (input, words) => h("label.tick", input, words);

/** A box to tick. @param {(on: boolean) => void} [changed] */
export function box(changed = () => {}) {
  const input = h("input", { type: "checkbox", onchange: () => changed(input.checked) });
  return input;
}

/**
 * More, folded away.
 * @param {string} title
 * @param {...Part} parts
 */
export const fold = (title, ...parts) => h("details.fold", h("summary", title), ...parts);

/**
 * A part of a step.
 * @param {string} title
 * @param {...Part} parts
 */
export const section = (title, ...parts) => h("section", h("h3", title), ...parts);

/**
 * Write text only when it differs, so that a screen reader does not read it twice.
 * @param {Element} element
 * @param {string} text
 */
export function say(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** Controls that are being typed in or dragged. @type {WeakSet<EventTarget>} */
const busy = new WeakSet();
addEventListener("input", ({ target }) => target && busy.add(target), true);
for (const end of ["change", "focusout"]) {
  addEventListener(end, ({ target }) => target && busy.delete(target), true);
}

/**
 * Show a value in a control, unless someone is just changing it.
 * @param {HTMLInputElement | HTMLTextAreaElement} input
 * @param {string | number} value
 */
export function put(input, value) {
  if (!busy.has(input)) input.value = String(value);
}

/**
 * Make a parent's children match a list, keeping (and so not disturbing) those that stay.
 * @template T
 * @template {HTMLElement | SVGElement} E
 * @param {Element} parent
 * @param {readonly T[]} items
 * @param {(item: T) => string} key
 * @param {(item: T) => E} create
 * @param {(element: E, item: T) => void} [update]
 */
export function keep(parent, items, key, create, update = () => {}) {
  /** @type {Map<string | undefined, E>} */
  const old = new Map();
  for (const child of parent.children) {
    const element = /** @type {E} */ (child);
    old.set(element.dataset.key, element);
  }
  /** @type {ChildNode | null} */
  let place = parent.firstChild;
  for (const item of items) {
    const name = key(item);
    const element = old.get(name) ?? create(item);
    old.delete(name);
    element.dataset.key = name;
    update(element, item);
    if (element === place) place = place.nextSibling;
    else parent.insertBefore(element, place);
  }
  for (const element of old.values()) element.remove();
}

/**
 * Keep a list of sentences in step.
 * @param {Element} parent
 * @param {readonly string[]} lines
 * @param {(line: string) => HTMLElement} [create]
 */
export const list = (parent, lines, create = (line) => h("li", line)) =>
  keep(parent, lines, (line) => line, create);

/**
 * Offer a choice in a list.
 * @param {HTMLSelectElement} select
 * @param {readonly (readonly [value: string, words: string])[]} options
 * @param {string} chosen
 */
export function offer(select, options, chosen) {
  select.replaceChildren(...options.map(([value, words]) => h("option", { value }, words)));
  select.value = chosen;
}

/** @param {string} text */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/**
 * @param {number} count
 * @param {string} noun
 */
export const many = (count, noun) => `${count} ${noun}${count === 1 ? "" : "s"}`;
