/** Talking to the server: one error shape, progress by server-sent events. */

/** A refusal with a sentence for people. */
export class Problem extends Error {
  /**
   * @param {number} status
   * @param {string} detail
   */
  constructor(status, detail) {
    super(detail);
    this.status = status;
  }
}

/** The user stopped it; nothing to report. */
export class Stopped extends Error {}

const UNREACHABLE = "The program does not answer. Check that it is still running, then try again.";

/**
 * @param {any} body
 * @param {number} status
 */
function problemOf(body, status) {
  const detail = body?.results?.[0]?.problem ?? body?.detail ?? body?.title;
  return new Problem(
    status,
    detail ?? `The program answered with an error (${status}). Try again.`,
  );
}

/**
 * Send a request and read its answer, which may break off at any byte.
 * @template T
 * @param {string} path
 * @param {RequestInit} options
 * @param {(response: Response) => Promise<T>} read
 */
async function answer(path, options, read) {
  try {
    const response = await fetch(path, options);
    if (response.ok) return await read(response);
    throw problemOf(await response.json().catch(() => null), response.status);
  } catch (error) {
    if (error instanceof Problem) throw error;
    if (options.signal?.aborted) throw new Stopped();
    throw new Problem(0, UNREACHABLE);
  }
}

/** @typedef {Record<string, string>} Headers */

/**
 * @param {unknown} body
 * @param {Headers} [headers]
 */
function sent(body, headers) {
  if (body === undefined || body instanceof FormData) return { headers, body };
  return {
    headers: { ...headers, "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
}

/**
 * Ask for JSON.
 * @param {string} method
 * @param {string} path
 * @param {unknown} [body] a form, or anything JSON can say
 * @param {Headers} [headers]
 * @returns {Promise<any>}
 */
export async function ask(method, path, body, headers) {
  const options = /** @type {RequestInit} */ ({ method, ...sent(body, headers) });
  return answer(path, options, async (response) =>
    response.status === 204 ? null : response.json(),
  );
}

/**
 * Ask for something that takes a while; resolves with what came of it.
 * @param {string} method
 * @param {string} path
 * @param {unknown} body
 * @param {Headers} headers
 * @param {(share: number, words: string) => void} progress
 * @param {AbortSignal} signal aborting stops the work on the server
 * @returns {Promise<any>}
 */
export async function watch(method, path, body, headers, progress, signal) {
  const request = sent(body, { ...headers, Accept: "text/event-stream" });
  const options = /** @type {RequestInit} */ ({ method, signal, ...request });
  return answer(path, options, async (response) => {
    const streams = response.headers.get("Content-Type")?.startsWith("text/event-stream");
    if (!streams) return response.json();
    for await (const { event, data } of events(response)) {
      if (event === "progress") progress(data.share, data.words);
      if (event === "plan") return data;
      if (event === "problem") throw problemOf(data, data.status);
    }
    throw new Problem(0, UNREACHABLE);
  });
}

/**
 * @param {Response} response
 * @returns {AsyncGenerator<{event: string, data: any}>}
 */
async function* events(response) {
  const reader = /** @type {ReadableStream<Uint8Array>} */ (response.body).getReader();
  const decoder = new TextDecoder();
  let text = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    text += decoder.decode(value, { stream: true });
    const parts = text.split("\n\n");
    text = parts.pop() ?? "";
    for (const part of parts) yield parseEvent(part);
  }
}

/** @param {string} part one event of the stream */
function parseEvent(part) {
  const field = (/** @type {string} */ name) =>
    part
      .split("\n")
      .filter((line) => line.startsWith(`${name}:`))
      .map((line) => line.slice(name.length + 1).trim())
      .join("\n");
  return { event: field("event"), data: JSON.parse(field("data") || "null") };
}
