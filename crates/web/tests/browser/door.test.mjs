// Who may ask what, asked of the real program on this machine. What devices of the network may is tested in the program's own tests.

import assert from "node:assert/strict";
import { request } from "node:http";
import { after, before, test } from "node:test";
import { ask, begin, serve } from "./app.mjs";

let app;
before(async () => {
  app = await serve();
  await begin(app.url);
});
after(() => app.clear());

/** A request as no browser lets a page make it. */
function raw({ path = "/lanes/state", method = "GET", headers = {}, body }) {
  return new Promise((done, failed) => {
    const asked = request({ host: "127.0.0.1", port: app.port, path, method, headers }, (answer) => {
      let text = "";
      answer.on("data", (bytes) => { text += bytes; });
      answer.on("end", () => done({ status: answer.statusCode, headers: answer.headers, text }));
    });
    asked.on("error", failed);
    if (body) asked.write(body);
    asked.end();
  });
}

test("a name made to lead here is turned away", async () => {
  for (const host of ["evil.example", `evil.example:${app.port}`, "127.0.0.1", "127.0.0.1:1"]) {
    assert.equal((await raw({ headers: { host } })).status, 421, host);
  }
  assert.equal((await raw({ headers: { host: `localhost:${app.port}` } })).status, 200);
});

test("pages elsewhere change nothing", async () => {
  const body = JSON.stringify({ key: "x", pins: "none" });
  const json = { "content-type": "application/json", "content-length": body.length };
  for (const more of [{ origin: "http://evil.example" }, { origin: "null" }, { "sec-fetch-site": "cross-site" }, { "sec-fetch-site": "same-site" }]) {
    const answer = await raw({ path: "/lanes/shot", method: "POST", headers: { ...json, ...more }, body });
    assert.equal(answer.status, 403, JSON.stringify(more));
  }
  const form = await raw({ path: "/lanes/shot", method: "POST", headers: { "content-type": "text/plain", "content-length": body.length }, body });
  assert.equal(form.status, 415, "a form without a preflight cannot send JSON");
  assert.equal((await ask(app.url, "/lanes/state")).said.sheet.deliveries.length, 0);
});

test("paths lead nowhere but to pages", async () => {
  for (const path of ["/../../etc/passwd", "/assets/x/..%2f..%2fetc%2fpasswd", "/assets/%2e%2e/%2e%2e/Cargo.toml", "/%00", "/lanes/../../x"]) {
    const { status, text } = await raw({ path });
    assert.equal(status, 404, path);
    assert.ok(!text.includes("root:"));
  }
});

test("too much is not read, and nonsense is refused with its reason", async () => {
  const body = JSON.stringify({ key: "big", pins: "none", note: "x".repeat(2_000_000) });
  const big = await ask(app.url, "/lanes/shot", { key: "big", pins: "none", note: "x".repeat(2_000_000) }).catch(() => ({ status: 413 }));
  assert.equal(big.status, 413, `${body.length} bytes`);
  for (const pins of ["11", "3-3", "", "strike!", "1-2-3-4-5-6-7-8-9-10-11", "<script>alert(1)</script>"]) {
    const { status, said } = await ask(app.url, "/lanes/shot", { key: `bad-${pins.length}`, pins });
    assert.equal(status, 422, pins);
    assert.match(said.error, /pin|stands|set/i);
  }
  assert.equal((await ask(app.url, "/lanes/state")).said.sheet.deliveries.length, 0);
});

test("every answer carries what protects it", async () => {
  for (const path of ["/lanes", "/lanes/state", "/nowhere", "/pair"]) {
    const { headers } = await ask(app.url, path);
    assert.match(headers.get("content-security-policy"), /default-src 'none'.*frame-ancestors 'none'/, path);
    assert.doesNotMatch(headers.get("content-security-policy"), /unsafe/);
    assert.equal(headers.get("x-content-type-options"), "nosniff", path);
    assert.equal(headers.get("referrer-policy"), "no-referrer", path);
  }
});

test("the same key twice is one shot; another shot under it is refused", async () => {
  const shot = { key: "once", pins: "10", turn: { game: 1, frame: 1, ball: 1 } };
  assert.equal((await ask(app.url, "/lanes/shot", shot)).status, 200);
  const again = await ask(app.url, "/lanes/shot", shot);
  assert.deepEqual([again.status, again.said.did, again.said.sheet.deliveries.length], [200, "logged before", 1]);
  assert.equal((await ask(app.url, "/lanes/shot", { ...shot, pins: "7" })).status, 422);
  assert.equal((await ask(app.url, "/lanes/shot", { ...shot, key: "late" })).status, 409, "its turn is over");
});

test("hostile words are text", async () => {
  const note = "<img src=x onerror=alert(1)>\u202e\"'&";
  const { said } = await ask(app.url, "/lanes/shot", { key: "hostile", pins: "none", note, turn: { game: 1, frame: 1, ball: 2 } });
  assert.equal(said.did, "logged");
  const bad = await ask(app.url, "/lanes/shot", { key: "<b>bold</b>/x", pins: "none" });
  assert.equal(bad.status, 422);
});

test("it ends when told, with its streams open", async () => {
  const other = await serve();
  const stream = await fetch(`${other.url}/live`);
  const started = performance.now();
  await other.stop("SIGTERM");
  assert.ok(performance.now() - started < 4000, "it waited for a stream that never ends");
  await stream.body.cancel().catch(() => {});
  await other.clear();
});
