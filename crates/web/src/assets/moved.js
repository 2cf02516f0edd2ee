// The machine that serves has another address. To a browser that is another place with a store of its own, so what was not sent is
// carried over in the part of the address that no server sees, and logged there once its owner says so.

import { the } from "./ask.js";

/** @typedef {import("./outbox.js").Entry} Entry */
/** @typedef {import("./outbox.js").Outbox} Outbox */
/** @typedef {{ from: string, entries: Entry[] }} Load */

const CARRIED = "#unsent=";
const PATHS = ["/lanes/shot", "/lanes/undo", "/lanes/move", "/lanes/fix"];

/** The page there, with what is carried; null for what is no address. @param {string} typed @param {Load} load */
function pageAt(typed, load) {
  try {
    const place = new URL(typed.includes("://") ? typed : `http://${typed.trim()}`);
    const to = new URL("/lanes", place);
    // Some browsers take words for a host.
    if (!/^[\w.:[\]-]+$/.test(to.host)) return null;
    if (to.port === "") to.port = location.port;
    to.hash = CARRIED + encodeURIComponent(JSON.stringify(load));
    return to.href;
  } catch {
    return null;
  }
}

/** What this page was opened with. @returns {Load | null} */
function carried() {
  if (!location.hash.startsWith(CARRIED)) return null;
  try {
    const { from, entries } = JSON.parse(decodeURIComponent(location.hash.slice(CARRIED.length)));
    const good = (/** @type {any} */ one) => PATHS.includes(one?.path) && typeof one.body?.key === "string" && Number.isFinite(one.seq);
    return Array.isArray(entries) && entries.every(good) ? { from: String(from), entries } : null;
  } catch {
    return null;
  }
}

/** @param {string} words @param {() => void} act */
function button(words, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}

/** Asks whether what was carried here is to be logged. @param {Outbox} outbox @param {() => void} paint */
function bring(outbox, paint) {
  const load = carried();
  const place = the("carried");
  if (!load) return;
  const close = () => {
    history.replaceState(null, "", location.pathname);
    place.hidden = true;
    paint();
  };
  const many = load.entries.length === 1 ? "1 entry" : `${load.entries.length} entries`;
  const words = document.createElement("p");
  words.textContent = `${many} from ${load.from} not sent yet. Log here?`;
  const log = button("Log them", () => {
    outbox.adopt(load.entries);
    close();
  });
  place.replaceChildren(words, log, " ", button("Leave them", close));
  place.hidden = load.entries.length === 0;
  if (place.hidden) close();
}

/** Lets what waits move to another address, and takes in what came from one. @param {Outbox} outbox @param {() => void} paint */
export function moving(outbox, paint) {
  the("moved").addEventListener("submit", (event) => {
    event.preventDefault();
    const { value } = /** @type {HTMLInputElement} */ (the("there"));
    const to = pageAt(value, { from: location.host, entries: outbox.entries() });
    if (to) location.assign(to);
    else the("unmoved").textContent = "That is no address. It looks like 192.168.1.5:8080.";
  });
  bring(outbox, paint);
  // The page stays when only the part changes that no server sees.
  addEventListener("hashchange", () => bring(outbox, paint));
}
