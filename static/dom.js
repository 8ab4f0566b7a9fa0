/** Small helpers for making elements and keeping lists of them in step with data. */

/** @typedef {Record<string, string | number | boolean | null | undefined | EventListener>} Props */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {Element} element
 * @param {Props} props attributes; `onclick` and the like are listeners, true is an empty attribute
 */
export function set(element, props) {
  for (const [name, value] of Object.entries(props)) {
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value === false || value == null) element.removeAttribute(name);
    else {
      const text = value === true ? "" : String(value);
      if (element.getAttribute(name) !== text) element.setAttribute(name, text);
    }
  }
}

/**
 * Make an HTML element; a button is one that only does what it is told.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Props} [props]
 * @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, props = {}, ...children) {
  const element = document.createElement(tag);
  if (tag === "button") element.setAttribute("type", "button");
  set(element, props);
  element.append(...children);
  return element;
}

/**
 * Make an SVG element.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} tag
 * @param {Props} [props]
 * @param {...Node} children
 * @returns {SVGElementTagNameMap[T]}
 */
export function s(tag, props = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  set(element, props);
  element.append(...children);
  return element;
}

/**
 * Write text only when it differs, so that a screen reader is not told twice.
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
 * @template {HTMLElement} E
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
 * @param {number} count
 * @param {string} noun
 */
export const many = (count, noun) => `${count} ${noun}${count === 1 ? "" : "s"}`;
