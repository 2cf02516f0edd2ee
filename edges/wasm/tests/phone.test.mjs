// A phone alone: opened once from a host, then used without it.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { ask, browser, clear, folder, host, open, write } from "./phone.mjs";

const files = folder();
const profile = folder();
let context;
let served;

before(() => write(files));
after(async () => {
  await context?.close();
  await served?.stop();
  clear(files);
  clear(profile);
});

const sent = (inside) =>
  inside.waitForFunction(() => Object.keys(localStorage).every((name) => !name.startsWith("boardwise.out.")), undefined, { timeout: 60_000 });

const said = (inside) => inside.waitForFunction(
  () => document.querySelector("#say").textContent !== "" && !document.querySelector("#card").classList.contains("thinking"),
  undefined, { timeout: 120_000 },
);

async function throws(inside, ...standing) {
  for (const pin of standing) await inside.click(`[data-pin='${pin}']`);
  if (standing.length === 0) await inside.click("#down");
  await inside.click("#done");
}

test("opened once, the app then begins a block, takes 24 shots, undoes and corrects without any host", { timeout: 600_000 }, async () => {
  served = await host(files);
  context = await browser(profile);
  const { page, inside, errors } = await open(context, served.url);
  await inside.waitForSelector("#start");
  await served.stop();
  const asked = served.asked.length;

  await page.reload();
  await page.waitForSelector("iframe:not([hidden])");
  const again = await (await page.$("iframe")).contentFrame();
  await again.selectOption("#counting", "traditional");
  await again.click("#start button[type=submit]");
  await again.waitForSelector("#bowl:not([hidden])", { timeout: 120_000 });
  await said(again);

  // Practice first, where the event has it; then a game with spares and an open frame.
  const { said: begun } = await ask(again, "/lanes/state");
  assert.equal(begun.sheet.deliveries.length, 0);
  const cards = new Set();
  for (let k = 0; k < 12; k++) {
    await throws(again, 10);
    await sent(again);
    await said(again);
    cards.add(await again.textContent("#detail"));
    await throws(again);
    await sent(again);
  }
  const { said: whole } = await ask(again, "/lanes/state");
  assert.equal(whole.sheet.deliveries.length, 24);
  assert.ok(cards.size > 0 && !cards.has(""), "a card said nothing");
  await again.click("#undo");
  await sent(again);
  assert.equal((await ask(again, "/lanes/state")).said.sheet.deliveries.length, 23);
  const fixed = await ask(again, "/lanes/fix", { key: "fixed-1", block: whole.block, number: 1, pins: "7" });
  assert.equal(fixed.status, 200, JSON.stringify(fixed.said));
  assert.deepEqual((await ask(again, "/lanes/state")).said.sheet.deliveries[0].pins, [7]);
  assert.equal(served.asked.length, asked, "a request left");
  assert.deepEqual(errors.filter((one) => !one.includes("ERR_CONNECTION_REFUSED")), []);
});

test("what was logged is there when the browser is opened again, without the host", { timeout: 120_000 }, async () => {
  await context.close();
  context = await browser(profile);
  const { inside } = await open(context, served.url);
  const { said: state } = await ask(inside, "/lanes/state");
  assert.equal(state.sheet.deliveries.length, 23);
  assert.deepEqual(state.sheet.deliveries[0].pins, [7]);
});

test("all other pages open without the host", { timeout: 300_000 }, async () => {
  const { inside } = await open(context, served.url);
  for (const path of ["/before", "/lab", "/after", "/words", "/devices", "/before/kit/lane/short-32-flat"]) {
    const { status } = await ask(inside, path);
    assert.equal(status, 200, path);
  }
  await inside.goto(new URL("/devices", served.url).href);
  await inside.waitForSelector("h1");
  assert.equal(await inside.textContent("h1"), "This phone");
});

test("the record goes out as a file and comes in again", { timeout: 120_000 }, async () => {
  const { page, inside } = await open(context, served.url);
  await inside.goto(new URL("/devices", served.url).href);
  const [download] = await Promise.all([page.waitForEvent("download"), inside.click("[data-phone=take-out]")]);
  const out = join(profile, "out.record");
  await download.saveAs(out);
  assert.equal(readFileSync(out).subarray(0, 15).toString(), "SQLite format 3");
  const before = (await ask(inside, "/lanes/state")).said.sheet.deliveries.length;
  await ask(inside, "/lanes/shot", { key: "one-more", pins: "none" });
  await inside.setInputFiles("[data-phone=bring-in]", out);
  await inside.waitForFunction(() => document.querySelector("#said").textContent.includes("entries"), undefined, { timeout: 30_000 });
  assert.equal((await ask(inside, "/lanes/state")).said.sheet.deliveries.length, before, "the file takes the place of what was here");

  writeFileSync(join(profile, "broken.record"), readFileSync(out).subarray(0, 5000));
  await inside.setInputFiles("[data-phone=bring-in]", join(profile, "broken.record"));
  await inside.waitForFunction(() => !/entries|moment/.test(document.querySelector("#said").textContent), undefined, { timeout: 30_000 });
  assert.equal((await ask(inside, "/lanes/state")).said.sheet.deliveries.length, before, "a broken file changes nothing");
});
