// Asking the server. Every answer is JSON; what it refuses says why.

/** What the server refused, in words, with its status. */
export class Refused extends Error {
  /** @param {number} status @param {any} body */
  constructor(status, body) {
    super(body?.error ?? `the server answered ${status}`);
    this.status = status;
    this.body = body;
  }
}

/**
 * @param {string} path
 * @param {object} [body] sent as JSON by POST; left out, it is a GET
 * @param {AbortSignal} [signal] ends the question
 * @returns {Promise<any>}
 */
export async function ask(path, body, signal) {
  const asked = await fetch(path, body === undefined ? { cache: "no-store", signal } : {
    signal,
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
  const text = await asked.text();
  let said;
  try {
    said = JSON.parse(text);
  } catch {
    said = { error: text || `the server answered ${asked.status}` };
  }
  if (!asked.ok) throw new Refused(asked.status, said);
  return said;
}

/**
 * A picture drawn by the server, ready to stand in the page.
 * @param {string} path
 * @param {AbortSignal} [signal] ends the question
 * @returns {Promise<Element>}
 */
export async function picture(path, signal) {
  const asked = await fetch(path, { cache: "no-store", signal });
  const text = await asked.text();
  if (!asked.ok) throw new Refused(asked.status, undefined);
  const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (svg.nodeName !== "svg") throw new Error("the picture is no picture");
  return /** @type {Element} */ (document.importNode(svg, true));
}

/** @returns {"light" | "dark"} */
export function theme() {
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

/**
 * An element of the page that must be there.
 * @template {HTMLElement} [T=HTMLElement]
 * @param {string} id
 * @returns {T}
 */
export function the(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return /** @type {T} */ (found);
}

/** A key nobody else makes. Pages of the local network are no secure context, so no randomUUID. */
export function freshKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
