// @ts-check
// The page around the pages: it keeps the workers, and lets the service worker pass on what the pages ask.
import { Long } from "./long.js";

/** @typedef {{ worker: Worker, waiting: Map<number, {done: (said: any) => void, failed: (why: any) => void}>, begun?: Promise<any>, hears?: (share: number) => void }} Side */

const here = new URL(".", import.meta.url);
const frame = /** @type {HTMLIFrameElement} */ (document.querySelector("iframe"));
const words = /** @type {HTMLElement} */ (document.querySelector("#words"));

/** What a worker of its own answers: searches and accounts, which would keep a card waiting. */
const SOON = /^\/(lab\/lines|lanes\/practice|after\/(account|picture|handout))/;
/** That worker ends once nobody has asked it for so long, ms: its memory comes back no other way. */
const IDLE_MS = 30_000;
/** What rests on the belief, or computes. */
const THOUGHT = /^\/(lanes\/(next|picture)|lab\/(throw|lanes|file)|before\/look)/;

/** @type {WebAssembly.Module} */
let module;
/** @type {Map<string, {path: string, bytes: Uint8Array | null}>} */
const files = new Map();
/** @type {Record<string, Side>} */
const sides = {};
let last = 0;

/** @param {string} name */
function side(name) {
  const known = sides[name];
  if (known) return known;
  const worker = new Worker(new URL("worker.js", here), { type: "module", name });
  /** @type {Side} */
  const one = { worker, waiting: new Map() };
  worker.addEventListener("message", ({ data }) => {
    if (data.share !== undefined) {
      one.hears?.(data.share);
      return;
    }
    const waits = one.waiting.get(data.id);
    one.waiting.delete(data.id);
    if (data.news?.length > 0) spread(data.news);
    if (data.failed === undefined) waits?.done(data);
    else waits?.failed(new Error(data.failed));
  });
  worker.addEventListener("error", (event) => {
    for (const waits of one.waiting.values()) waits.failed(new Error(event.message || "the module failed"));
    one.waiting.clear();
  });
  sides[name] = one;
  one.begun = tell(one, { kind: "begin", module, keeper: name === "keeper", ahead: name === "adviser" });
  one.begun.catch(() => {});
  if (name !== "keeper" && files.size > 0) tell(one, { kind: "follow", news: [...files.values()] }).catch(() => {});
  return one;
}

/** @param {Side} one @param {any} message @param {Transferable[]} [transfer] @returns {Promise<any>} */
function tell(one, message, transfer = []) {
  const id = ++last;
  return new Promise((done, failed) => {
    one.waiting.set(id, { done, failed });
    one.worker.postMessage({ id, ...message }, transfer);
  });
}

/** The keeper's files as they are now, to everybody who follows them. @param {{path: string, bytes: Uint8Array | null}[]} news */
function spread(news) {
  for (const one of news) {
    if (one.bytes) files.set(one.path, one);
    else files.delete(one.path);
  }
  for (const [name, one] of Object.entries(sides)) if (name !== "keeper") tell(one, { kind: "follow", news }).catch(() => {});
  if (news.some(({ path }) => path.startsWith("/kit/"))) long.forget();
}

/** @param {string} name @param {{method: string, address: string, body?: ArrayBuffer}} asked */
const ask = (name, { method, address, body }) => tell(side(name), { kind: "ask", method, address, body }, body ? [body] : []);

const long = new Long({
  ask,
  async work(name, hears) {
    rest();
    const one = side(name);
    one.hears = hears;
    await tell(one, { kind: "catch-up" });
  },
  end,
}, (asked) => ask("keeper", asked));

/** Ends the worker for searches, if nobody waits for it. */
function rest() {
  if (sides.soon?.waiting.size === 0) end("soon");
}

/** @type {number | undefined} */
let idle;

/** @param {{method: string, address: string, body?: ArrayBuffer}} asked */
async function answer(asked) {
  const path = asked.address.split("?")[0] ?? "/";
  if (Long.takes(path)) return long.answer(asked);
  if (!SOON.test(path)) return ask(THOUGHT.test(path) ? "adviser" : "keeper", asked);
  clearTimeout(idle);
  try {
    return await ask("soon", asked);
  } finally {
    idle = setTimeout(rest, IDLE_MS);
  }
}

navigator.serviceWorker.addEventListener("message", async ({ data, ports }) => {
  const [port] = ports;
  if (!port) return;
  try {
    await begun;
    const { status, headers, body } = await answer(data);
    port.postMessage({ status, headers, body }, body ? [body] : []);
  } catch (why) {
    port.postMessage({ failed: String(why) });
  }
});

/** @param {string} text */
function say(text) {
  words.textContent = text;
  words.hidden = text === "";
}

/** @param {"bring-in" | "join-in"} kind @param {ArrayBuffer} body */
async function takeIn(kind, body) {
  const { ok, body: said } = await tell(side("keeper"), { kind, body }, [body]);
  if (!ok) throw new Error(new TextDecoder().decode(said));
  // It is another file now, and they have the old one open.
  for (const name of ["adviser", "soon"]) end(name);
  side("adviser");
  return new TextDecoder().decode(said);
}

/** Ends a worker. @param {string} name */
function end(name) {
  const one = sides[name];
  if (!one) return;
  one.worker.terminate();
  for (const waits of one.waiting.values()) waits.failed(new Error("stopped"));
  delete sides[name];
}

/** What the page of this phone asks for. */
Object.assign(window, {
  boardwise: {
    async takeOut() {
      const { ok, body } = await tell(side("keeper"), { kind: "take-out" });
      if (!ok) throw new Error(new TextDecoder().decode(body));
      return new Blob([body], { type: "application/octet-stream" });
    },
    /** @param {ArrayBuffer} body */
    bringIn: (body) => takeIn("bring-in", body),
    /** @param {ArrayBuffer} body */
    joinIn: (body) => takeIn("join-in", body),
    /** The version that the host offers, where that is another; null where it is this one. */
    async newer() {
      const offered = await (await fetch("/version.json", { cache: "no-store" })).json();
      return offered.version === here.pathname.split("/").at(-2) ? null : offered;
    },
    /** @param {{version: string, files: string[]}} offered */
    async update(offered) {
      const cache = await caches.open(`boardwise ${offered.version}`);
      await cache.addAll(offered.files.map((file) => new Request(file, { cache: "reload" })));
      await (await caches.open("boardwise chosen")).put("/chosen", new Response(offered.version));
      location.reload();
    },
  },
});

/** @param {URL} url */
async function compiled(url) {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`The app did not come in whole (${response.status}). Open this page once more while there is a network.`);
  // Not every host knows what kind of file it is.
  const known = response.headers.get("content-type")?.startsWith("application/wasm");
  return known ? WebAssembly.compileStreaming(response) : WebAssembly.compile(await response.arrayBuffer());
}

async function begin() {
  await navigator.serviceWorker.register("/sw.js");
  const { active } = await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    const passesOn = new Promise((go) => navigator.serviceWorker.addEventListener("controllerchange", go, { once: true }));
    // A page that was loaded anew past all caches has to be taken up again.
    active?.postMessage("claim");
    await passesOn;
  }
  // What is logged here is nowhere else: the browser is asked not to clear it when space runs out.
  await navigator.storage.persist?.();
  // Only now: it comes from what the service worker has fetched already.
  module = await compiled(new URL("boardwise.wasm", here));
  await side("keeper").begun;
  side("adviser");
}

const alone = new Promise((alone) => {
  const hold = () => new Promise(() => alone(undefined));
  navigator.locks.request("boardwise", { ifAvailable: true }, (lock) => {
    if (lock) return hold();
    say("boardwise is open in another window. This one goes on once that is closed.");
    navigator.locks.request("boardwise", hold);
    return undefined;
  });
});

const begun = (async () => {
  if (!("serviceWorker" in navigator) || !navigator.storage?.getDirectory) {
    throw new Error("This browser cannot run boardwise alone. It needs a recent version, a page that came over https, and no private window.");
  }
  await alone;
  say("Starting...");
  await begin();
})();

begun.then(
  () => {
    say("");
    frame.src = location.pathname + location.search + location.hash;
    frame.hidden = false;
    frame.addEventListener("load", () => {
      document.title = frame.contentDocument?.title || "boardwise";
      frame.focus();
    });
  },
  (why) => say(why.message),
);
