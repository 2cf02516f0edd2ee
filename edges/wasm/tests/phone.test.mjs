// A phone alone: opened once from a host, then used without it.
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { ask, browser, clear, folder, host, open, shown, write } from "./phone.mjs";

const files = folder();
const profile = folder();
let context;
let served;
let requests;

before(() => write(files));
after(async () => {
  await context?.close();
  await served?.stop();
  clear(files);
  clear(profile);
});

const SLOW = 300_000;

const sent = (inside) =>
  inside.waitForFunction(() => Object.keys(localStorage).every((name) => !name.startsWith("boardwise.out.")), undefined, { timeout: SLOW });

/** The card, once it has thought about a ball at these pins. */
async function card(inside, ...pins) {
  const about = pins.length > 0 ? `${pins.join("-")} with` : "";
  await inside.waitForFunction((about) => {
    const [card, say, reason] = ["card", "say", "reason"].map((id) => document.getElementById(id));
    if (card.classList.contains("thinking") || say.textContent === "") return false;
    return about === "" ? !/^[-\d]+ with/.test(reason.textContent) : reason.textContent.startsWith(about);
  }, about, { timeout: SLOW });
  return inside.textContent("#say");
}

async function throws(inside, ...standing) {
  for (const pin of standing) await inside.click(`[data-pin='${pin}']`);
  if (standing.length === 0) await inside.click("#down");
  await inside.click("#done");
  await sent(inside);
}

const state = async (inside) => (await ask(inside, "/lanes/state")).said;

/** Opens a page as a link in it would, and gives its heading. */
async function visit(inside, path) {
  await inside.goto(new URL(path, served.url).href, { timeout: SLOW });
  await inside.waitForSelector("h1", { state: "attached", timeout: SLOW });
  return inside.textContent("h1");
}

const innocent = (errors) => errors.filter((one) => !/ERR_CONNECTION_REFUSED|ERR_INTERNET_DISCONNECTED/.test(one));

test("opened once, the app then leads somebody new to a first card without any host", { timeout: SLOW }, async () => {
  served = await host(files);
  context = await browser(profile);
  await open(context, served.url);
  await served.stop();
  await context.setOffline(true);
  requests = served.asked.length;

  const { page, inside, errors } = await open(context, served.url);
  for (const words of ["Right hand", "A steady curve", "House pattern", "11\u201312"]) await inside.getByText(words, { exact: words === "Right hand" }).click();
  await shown(page, "first");
  await inside.getByRole("button", { name: "To the lanes" }).click();
  await inside.waitForURL("**/lanes", { timeout: SLOW });
  assert.match(await card(inside), /\w/);
  await shown(page, "card");
  assert.deepEqual(innocent(errors), []);
});

test("24 shots with cards, spares, an undo and a corrected frame, without one request", { timeout: 4 * SLOW }, async () => {
  const { page, inside, errors } = await open(context, served.url);
  const cards = new Set();
  const full = async (...left) => {
    await throws(inside, ...left);
    cards.add(await card(inside));
  };
  const spare = async (name) => {
    await throws(inside, 10);
    cards.add(await card(inside, 10));
    if (name) await shown(page, name);
    await full();
  };
  // A game of ten spares, with its last ball at a full rack; then one more spare and a strike.
  for (let frame = 1; frame <= 10; frame++) await spare(frame === 1 && "spare");
  await full(10);
  await spare();
  await full();
  assert.ok(!cards.has(""), "a card said nothing");
  assert.equal((await state(inside)).sheet.deliveries.length, 24);
  await inside.click("#undo");
  await sent(inside);
  assert.equal((await state(inside)).sheet.deliveries.length, 23);

  await inside.click("#frames li[data-frame='1'] button");
  await inside.waitForFunction(() => document.getElementById("frame-title").textContent === "Game 2, frame 1");
  await inside.click("#frame-deck button:text-is('10')");
  await inside.click("#frame-deck button:text-is('7')");
  await inside.click("#right button[type=submit]");
  await sent(inside);
  await shown(page, "frame");
  assert.deepEqual((await state(inside)).sheet.deliveries[21].pins, [7]);
  assert.equal(served.asked.length, requests, "a request left");
  assert.deepEqual(innocent(errors), []);
});

test("what was logged is there when the browser is opened again, without the host", { timeout: SLOW }, async () => {
  await context.close();
  context = await browser(profile);
  await context.setOffline(true);
  const { inside } = await open(context, served.url);
  const { sheet } = await state(inside);
  assert.equal(sheet.deliveries.length, 23);
  assert.deepEqual(sheet.deliveries[21].pins, [7]);
});

test("all other pages open without the host", { timeout: 2 * SLOW }, async () => {
  const { page, inside, errors } = await open(context, served.url);
  for (const path of ["/before", "/lab", "/after", "/words", "/devices", "/look", "/first", "/before/kit/lane/short-32-flat"]) {
    const { status } = await ask(inside, path);
    assert.equal(status, 200, path);
  }
  assert.equal(await visit(inside, "/devices"), "This phone");
  await shown(page, "devices");
  assert.equal(served.asked.length, requests, "a request left");
  assert.deepEqual(innocent(errors), []);
});

test("a page that works something out stands before its answer, a card asked for meanwhile comes first, and its worker ends", { timeout: 4 * SLOW }, async () => {
  const { page, inside, errors } = await open(context, served.url);
  const state = () => inside.getAttribute("#answer", "data-state");
  const asked = async () => (await ask(inside, "/before/brief/state")).said.state;
  await visit(inside, "/before/brief");
  assert.equal(await state(), "running");
  await inside.waitForFunction(() => /** @type {HTMLProgressElement} */ (document.getElementById("progress")).value > 0, undefined, { timeout: SLOW });
  await shown(page, "brief-under-way");
  await visit(inside, "/lanes");
  await throws(inside);
  assert.match(await card(inside), /\w/);
  assert.equal(await asked(), "running", "the card waited for the brief");
  await visit(inside, "/before/brief");
  await inside.waitForSelector(".verdict", { timeout: SLOW });
  assert.equal(page.workers().length, 2, "a worker holds its memory after its answer");
  // Its pictures are kept, the worker that drew them is gone.
  const drawn = () => inside.evaluate(async () => {
    const all = [...document.querySelectorAll("#answer img")];
    await Promise.all(all.map((one) => { one.loading = "eager"; return one.decode(); }));
    return all.length;
  });
  assert.equal(await drawn(), 4);

  await visit(inside, "/before/practice");
  await inside.fill("[name=shots]", "4");
  await inside.click("#question button[type=submit]");
  await inside.click("#stop", { timeout: SLOW });
  await inside.waitForSelector("#answer[data-state=stopped]", { timeout: SLOW });
  // The page says so at once; the browser takes a moment to end the worker.
  for (let k = 0; page.workers().length > 2 && k < 50; k++) await page.waitForTimeout(100);
  assert.equal(page.workers().length, 2, "a stopped question keeps its worker");
  assert.equal(served.asked.length, requests, "a request left");
  assert.deepEqual(innocent(errors), []);
});

test("the brief, lines, the account and the handout are answered without the host", { timeout: 4 * SLOW }, async () => {
  const { page, inside, errors } = await open(context, served.url);
  await visit(inside, "/before/brief");
  await inside.waitForSelector(".verdict", { timeout: SLOW });
  assert.match(await inside.textContent(".verdict"), /\w/);
  await shown(page, "brief");

  await visit(inside, "/lab");
  const { status, said } = await ask(inside, `/lab/lines${await inside.evaluate(() => location.search)}`);
  assert.equal(status, 200, JSON.stringify(said).slice(0, 300));

  await visit(inside, "/after");
  await inside.waitForSelector("#account:not(:has([role=status]))", { timeout: SLOW });
  await inside.waitForSelector("#account :is(table, ul, ol, dl)", { timeout: SLOW });
  await shown(page, "account");
  // On a phone the handout is this page on paper.
  const paper = await inside.evaluate(async () => {
    let printed = false;
    print = () => { printed = true; };
    document.getElementById("print").click();
    dispatchEvent(new Event("beforeprint"));
    const pictures = [...document.querySelectorAll("#after img.by-day")];
    await Promise.all(pictures.map((picture) => picture.decode()));
    const text = document.getElementById("after").textContent;
    return { printed, pictures: pictures.length, shut: document.querySelectorAll("#after section details:not([open])").length, text };
  });
  assert.ok(paper.printed && paper.pictures >= 2 && paper.shut === 0, JSON.stringify({ ...paper, text: "" }));
  for (const words of ["In figures", "Score sheets", "Where pins were won and lost", "Shots on the lane"]) assert.ok(paper.text.includes(words), words);
  assert.equal(served.asked.length, requests, "a request left");
  assert.deepEqual(innocent(errors), []);
});

test("the record goes out as a file, comes in again, and takes another's entries", { timeout: SLOW }, async () => {
  const { page, inside } = await open(context, served.url);
  await visit(inside, "/devices");
  const [download] = await Promise.all([page.waitForEvent("download"), inside.click("[data-phone=take-out]")]);
  const out = join(profile, "out.record");
  await download.saveAs(out);
  assert.equal(readFileSync(out).subarray(0, 15).toString(), "SQLite format 3");
  const before = (await state(inside)).sheet.deliveries.length;
  const says = (words) => inside.waitForFunction((words) => document.querySelector("#said").textContent.includes(words), words, { timeout: SLOW });

  await ask(inside, "/lanes/shot", { key: "one-more", pins: "none" });
  await inside.setInputFiles("[data-phone=join-in]", out);
  await says("entries are new here");
  assert.equal((await state(inside)).sheet.deliveries.length, before + 1, "what was here stays");

  await inside.setInputFiles("[data-phone=bring-in]", out);
  await says("entries are here now");
  assert.equal((await state(inside)).sheet.deliveries.length, before, "the file takes the place of what was here");

  writeFileSync(join(profile, "broken.record"), readFileSync(out).subarray(0, 5000));
  for (const how of ["bring-in", "join-in"]) {
    await inside.setInputFiles(`[data-phone=${how}]`, join(profile, "broken.record"));
    await inside.waitForFunction(() => !/entries|moment/.test(document.querySelector("#said").textContent), undefined, { timeout: SLOW });
    assert.equal((await state(inside)).sheet.deliveries.length, before, "a broken file changes nothing");
  }
  await throws(await (async () => {
    await visit(inside, "/lanes");
    return inside;
  })());
  assert.equal((await state(inside)).sheet.deliveries.length, before + 1, "the next shot goes on from there");
});
