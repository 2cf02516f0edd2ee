// Two phones and a computer log one block apart and exchange: all end with the same record. Each phone is a browser of its own.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { PROGRAM, ask, browser, clear, folder, host, open, shown, write } from "./phone.mjs";

const files = folder();
const desk = folder();
const profiles = [folder(), folder()];
const RECORD = join(desk, "mine.record");
const SLOW = 300_000;
let served;
let computer;
let url;
let phones;

before(async () => {
  write(files);
  served = await host(files);
  computer = spawn(PROGRAM, ["serve", "--port", "0", "--record", RECORD, "--kit", join(desk, "kit")]);
  url = await new Promise((done, failed) => {
    let said = "";
    computer.stdout.on("data", (more) => {
      said += more;
      const found = said.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (found) done(found[0]);
    });
    computer.on("exit", () => failed(new Error(said)));
  });
  phones = [];
  for (const profile of profiles) {
    const context = await browser(profile);
    phones.push({ context, ...(await open(context, served.url)) });
  }
  await served.stop();
});
after(async () => {
  for (const { context } of phones ?? []) await context.close();
  computer?.kill();
  for (const one of [files, desk, ...profiles]) clear(one);
});

/** What the phone says after it exchanged with the computer. */
async function exchange({ context, page, inside }) {
  await inside.goto(new URL("/devices", served.url).href);
  await inside.fill("#computer", url);
  const [other] = await Promise.all([context.waitForEvent("page"), inside.click("#exchange [type=submit]")]);
  await other.click("#go", { timeout: SLOW });
  await other.waitForFunction(() => document.getElementById("said").textContent !== "One moment...", undefined, { timeout: SLOW });
  await shown(other, "exchange");
  assert.equal(await other.textContent("#said"), "Done. Close this window.");
  assert.equal(await other.textContent("#from"), new URL(served.url).origin);
  await inside.waitForFunction(() => /entries|not/.test(document.getElementById("said").textContent), undefined, { timeout: SLOW });
  await other.close();
  await shown(page, "exchanged");
  return inside.textContent("#said");
}

const log = async (inside, key, pins) => {
  const { status, said } = await ask(inside, "/lanes/shot", { key, pins });
  assert.equal(status, 200, JSON.stringify(said));
};

const keys = (state) => state.sheet.deliveries.map((shot) => shot.key);

/** Everything that a phone holds, as an export says it. */
async function exported({ inside }, name) {
  const bytes = await inside.evaluate(async () => Array.from(new Uint8Array(await (await parent.boardwise.takeOut()).arrayBuffer())));
  const file = join(desk, `${name}.record`);
  writeFileSync(file, Uint8Array.from(bytes));
  return written(file);
}

/** What an export of a record holds. */
function written(record) {
  const out = `${record}.json`;
  execFileSync(PROGRAM, ["export", "--record", record, out]);
  return readFileSync(out, "utf8");
}

test("law_two_phones_and_a_computer_that_log_one_block_apart_end_with_one_record", { timeout: 4 * SLOW }, async () => {
  const [one, two] = phones;
  const begun = await ask(one.inside, "/lanes/start", { event: "short-32-squad", counting: "nothing" });
  assert.equal(begun.status, 200, JSON.stringify(begun.said));
  for (const [k, pins] of ["none", "10", "7-10"].entries()) await log(one.inside, `one-${k}`, pins);
  assert.match(await exchange(one), /^0 entries are new here, 0 are not yet there/);
  // The second has no record yet.
  assert.match(await exchange(two), /^\d+ entries are new here, 0 are not yet there/);
  assert.deepEqual(keys((await ask(two.inside, "/lanes/state")).said), ["one-0", "one-1", "one-2"]);

  // Apart, in turns.
  for (let k = 0; k < 3; k++) {
    await log(two.inside, `two-${k}`, "none");
    await log(one.inside, `one-more-${k}`, "10");
    const answer = await fetch(`${url}/lanes/shot`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ key: `desk-${k}`, pins: "7" }) });
    assert.equal(answer.status, 200, await answer.text());
  }
  await exchange(one);
  await exchange(two);
  assert.match(await exchange(one), /^3 entries are new here/);
  assert.match(await exchange(two), /^0 entries are new here, 0 are not yet there/);
  const all = keys((await ask(one.inside, "/lanes/state")).said);
  const turns = [0, 1, 2].flatMap((k) => [`two-${k}`, `one-more-${k}`, `desk-${k}`]);
  assert.deepEqual(all, ["one-0", "one-1", "one-2", ...turns]);
  assert.deepEqual(keys((await ask(two.inside, "/lanes/state")).said), all);
  assert.deepEqual(keys(await (await fetch(`${url}/lanes/state`)).json()), all);
  const there = await exported(one, "one");
  assert.equal(await exported(two, "two"), there);
  assert.equal(written(RECORD), there);
});

test("a page that nobody let in gets nothing of the computer's record", { timeout: SLOW }, async () => {
  const answer = await fetch(`${url}/exchange`, { method: "POST", headers: { origin: "https://elsewhere.example", "sec-fetch-site": "cross-site" }, body: "" });
  assert.equal(answer.status, 403);
});

test("without a network a file goes to the computer, and what it makes of it comes back", { timeout: SLOW }, async () => {
  const [one] = phones;
  await log(one.inside, "by-file", "none");
  await one.inside.goto(new URL("/devices", served.url).href);
  const [saved] = await Promise.all([one.page.waitForEvent("download"), one.inside.click("[data-phone=take-out]")]);
  const file = join(desk, "phone.record");
  await saved.saveAs(file);
  const answer = await fetch(`${url}/lanes/shot`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ key: "desk-last", pins: "7" }) });
  assert.equal(answer.status, 200, await answer.text());

  const page = await one.context.newPage();
  await page.goto(`${url}/exchange`);
  await page.setInputFiles("#file", file);
  await page.waitForSelector("#made:not([hidden])", { timeout: SLOW });
  const [made] = await Promise.all([page.waitForEvent("download"), page.click("#back")]);
  await made.saveAs(file);
  // What is no record is refused in words, and changes nothing.
  writeFileSync(join(desk, "broken.record"), "no record");
  await page.setInputFiles("#file", join(desk, "broken.record"));
  await page.waitForFunction(() => !/moment|is here/.test(document.getElementById("said").textContent), undefined, { timeout: SLOW });
  await page.close();
  await one.inside.setInputFiles("[data-phone=join-in]", file);
  await one.inside.waitForFunction(() => /entries/.test(document.getElementById("said").textContent), undefined, { timeout: SLOW });
  const all = keys((await ask(one.inside, "/lanes/state")).said);
  assert.deepEqual(all.slice(-2), ["by-file", "desk-last"]);
  assert.deepEqual(keys(await (await fetch(`${url}/lanes/state`)).json()), all);
});

test("a phone whose browser reads pictures takes the computer's address and code through its camera", { timeout: SLOW }, async () => {
  const [one] = phones;
  await one.context.addInitScript((words) => {
    // What a phone's browser brings along; here the camera shows a page without end.
    Object.assign(globalThis, { BarcodeDetector: class {
      static getSupportedFormats = async () => ["qr_code"];
      detect = async (video) => (video.videoWidth > 0 ? ["https://elsewhere.example/#0123456789", words].map((rawValue) => ({ rawValue })) : []);
    } });
    navigator.mediaDevices.getUserMedia = async () => {
      const canvas = document.createElement("canvas");
      setInterval(() => canvas.getContext("2d").fillRect(0, 0, 9, 9), 50);
      return canvas.captureStream();
    };
  }, `${url}/exchange#0123456789`);
  const { inside, context } = one;
  await inside.goto(new URL("/devices", served.url).href);
  await inside.click("#read");
  await inside.waitForFunction(() => document.getElementById("said").textContent.startsWith("Read."), undefined, { timeout: SLOW });
  assert.equal(await inside.inputValue("#computer"), url);
  assert.ok(await inside.isHidden("#camera"));
  const [other] = await Promise.all([context.waitForEvent("page"), inside.click("#exchange [type=submit]")]);
  await other.waitForSelector("#go", { state: "attached", timeout: SLOW });
  assert.equal(other.url(), `${url}/exchange#0123456789`, "the code does not come along");
  await other.close();
});
