/** A change of JSON as the server tells it: JSON Patch (RFC 6902), of which it uses three steps. */

/** @typedef {import("../types/api.d.ts").Operation} Operation */

/**
 * Return a document with changes made; what they do not touch is shared with it.
 * @template T
 * @param {T} document
 * @param {Operation[]} operations
 * @returns {T}
 */
export function patched(document, operations) {
  return operations.reduce((whole, step) => changed(whole, keys(step.path), step), document);
}

/** @param {string} path a JSON Pointer (RFC 6901) */
function keys(path) {
  const parts = path.split("/").slice(1);
  return parts.map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
}

/**
 * @param {any} part
 * @param {string[]} path
 * @param {Operation} step
 * @returns {any}
 */
function changed(part, [key, ...rest], { op, path, value }) {
  const copy = Array.isArray(part) ? [...part] : { ...part };
  if (rest.length) copy[key] = changed(part[key], rest, { op, path, value });
  else if (Array.isArray(copy))
    copy.splice(Number(key), Number(op !== "add"), ...(op === "remove" ? [] : [value]));
  else if (op === "remove") delete copy[key];
  else copy[key] = value;
  return copy;
}
