// @ts-check
// Answers whatever the pages ask, without a network. The app itself comes from the cache of the version that was chosen. All else
// goes to the page that keeps the record.

const CHOSEN = "boardwise chosen";
const self_ = /** @type {any} */ (self);

async function chosen() {
  const said = await (await caches.open(CHOSEN)).match("/chosen");
  return said ? said.text() : null;
}

/** The first version is the one that the host has now. */
async function install() {
  if ((await chosen()) === null) {
    const { version, files } = await (await fetch("/version.json", { cache: "no-store" })).json();
    const cache = await caches.open(`boardwise ${version}`);
    await cache.addAll(files.map((/** @type {string} */ file) => new Request(file, { cache: "reload" })));
    await (await caches.open(CHOSEN)).put("/chosen", new Response(version));
  }
  await self_.skipWaiting();
}

/** Versions that nobody chose any more go. */
async function tidy() {
  const version = await chosen();
  const keep = [CHOSEN, `boardwise ${version}`];
  for (const name of await caches.keys()) if (name.startsWith("boardwise") && !keep.includes(name)) await caches.delete(name);
  await self_.clients.claim();
}

/** @param {string} path */
async function ofApp(path) {
  const cache = await caches.open(`boardwise ${await chosen()}`);
  return cache.match(path);
}

/** @param {Request} request @param {URL} url */
async function ask(request, url) {
  const keeper = (await self_.clients.matchAll({ type: "window" })).find((/** @type {any} */ one) => one.frameType === "top-level");
  if (!keeper) return new Response("The page that keeps the record is closed.", { status: 503 });
  const body = request.method === "GET" ? undefined : await request.arrayBuffer();
  const channel = new MessageChannel();
  /** @type {any} */
  const said = await new Promise((done) => {
    channel.port1.onmessage = ({ data }) => done(data);
    keeper.postMessage({ method: request.method, address: url.pathname + url.search, body }, [channel.port2, ...(body ? [body] : [])]);
  });
  if (said.failed !== undefined) {
    return new Response(JSON.stringify({ schema: 1, error: said.failed }), { status: 500, headers: { "content-type": "application/json" } });
  }
  const headers = new Headers(said.headers);
  const to = headers.get("location");
  if (to && said.status >= 300 && said.status < 400) return Response.redirect(new URL(to, url), said.status);
  return new Response([204, 304].includes(said.status) ? null : said.body, { status: said.status, headers });
}

/** @param {Request} request */
async function answer(request) {
  const url = new URL(request.url);
  if (request.mode === "navigate" && request.destination === "document") return (await ofApp("/")) ?? fetch(request);
  if (url.pathname === "/version.json") return fetch(request);
  if (url.pathname.startsWith("/app/") || url.pathname === "/manifest.webmanifest") return (await ofApp(url.pathname)) ?? fetch(request);
  return ask(request, url);
}

self.addEventListener("install", (event) => /** @type {any} */ (event).waitUntil(install()));
self.addEventListener("activate", (event) => /** @type {any} */ (event).waitUntil(tidy()));
self.addEventListener("message", (event) => /** @type {any} */ (event).waitUntil(self_.clients.claim()));
self.addEventListener("fetch", (event) => {
  const { request } = /** @type {any} */ (event);
  if (new URL(request.url).origin === location.origin) /** @type {any} */ (event).respondWith(answer(request));
});
