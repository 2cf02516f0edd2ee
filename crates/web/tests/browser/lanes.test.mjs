// The screen at the lanes, by a thumb, by keys, without a server, and by two devices at once.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { test } from "node:test";
import { ask, begin, close, open, PHONE, PROGRAM, serve, served, SMALL_PHONE } from "./app.mjs";

const app = await served();

const signs = (page, frame) => page.locator(`#frames li[data-frame="${frame}"] .signs`);
const sent = (page) => page.waitForFunction(() => Object.keys(localStorage).every((name) => !name.startsWith("boardwise.out.")));

async function block(more = {}) {
  await begin(app.url);
  const opened = await open(`${app.url}/lanes`, more);
  await opened.page.waitForSelector("#bowl:not([hidden])");
  return opened;
}

async function strike(page) {
  await page.click("#down");
  await page.click("#done");
}

test("a first-timer begins a block from the page", async () => {
  const fresh = await serve();
  const { page, errors } = await open(`${fresh.url}/lanes`);
  await page.click("#start button");
  await page.waitForSelector("#bowl:not([hidden])", { timeout: 60_000 });
  await page.waitForFunction(() => document.querySelector("#say").textContent !== "", undefined, { timeout: 60_000 });
  assert.deepEqual(errors, []);
  await fresh.clear();
});

test("a strike takes two taps, and the card then speaks", async () => {
  const { page, errors } = await block();
  await strike(page);
  await assertText(signs(page, 1), "X");
  await sent(page);
  await page.waitForSelector("#card:not(.thinking)", { timeout: 60_000 });
  assert.notEqual(await page.textContent("#say"), "");
  assert.ok((await page.textContent("#say")).split(/\s+/).length <= 8);
  assert.ok((await page.textContent("#reason")).split(/\s+/).length <= 20);
  await page.waitForSelector("#lane svg");
  assert.deepEqual(errors, []);
});

test("what stands is tapped, then made; only what stands can be tapped", async () => {
  const { page } = await block();
  await page.click("[data-pin='10']");
  await page.click("#done");
  await assertText(signs(page, 1), "9");
  assert.equal(await page.locator("#deck button:enabled").count(), 1);
  await sent(page);
  await page.waitForFunction(() => document.querySelector("#reason").textContent.startsWith("10 with"), undefined, { timeout: 60_000 });
  await page.click("#down");
  await page.click("#done");
  await assertText(signs(page, 1), "9/");
  assert.equal(await page.locator("#deck button:enabled").count(), 10);
});

test("undo takes the last ball back, sent or not", async () => {
  const { page, context } = await block();
  await strike(page);
  await sent(page);
  await page.click("#undo");
  await sent(page);
  await assertText(signs(page, 1), "");
  await context.setOffline(true);
  await strike(page);
  await assertText(signs(page, 1), "X");
  await page.click("#undo");
  await assertText(signs(page, 1), "");
  await context.setOffline(false);
  await sent(page);
  const { said } = await ask(app.url, "/lanes/state");
  assert.equal(said.sheet.deliveries.length, 0);
});

test("details are one tap further", async () => {
  const { page } = await block();
  await page.click("#more");
  await page.click("label:has([value='light'])");
  await page.click("label:has([value='fast'])");
  await page.fill("#arrows", "9.5");
  await page.click("[data-pin='2']");
  await page.click("#done");
  await sent(page);
  const { said } = await ask(app.url, "/lanes/state");
  const [shot] = said.sheet.deliveries;
  assert.deepEqual([shot.hit, shot.felt, shot.arrows_board, shot.pins], ["light", "fast", 9.5, [2]]);
});

test("thirty balls without a network arrive once each, in order, with the times at which they were thrown", async () => {
  const { page, context } = await block();
  await context.setOffline(true);
  const thrown = [];
  const done = async () => {
    await page.click("#done");
    thrown.push(Date.now());
  };
  for (let k = 0; k < 15; k++) {
    await page.click("[data-pin='10']");
    await done();
    await page.click("#down");
    await done();
  }
  await new Promise((later) => setTimeout(later, 3000));
  assert.match(await page.textContent("#unsent"), /^30 unsent$/);
  const { said: none } = await ask(app.url, "/lanes/state");
  assert.equal(none.sheet.deliveries.length, 0);
  await context.setOffline(false);
  await sent(page);
  const { said } = await ask(app.url, "/lanes/state");
  assert.equal(said.sheet.deliveries.length, 30);
  assert.deepEqual(said.sheet.deliveries.map((shot) => shot.pins.join("-")), Array(15).fill(["10", ""]).flat());
  assertTimes(said, thrown);
  await page.waitForSelector("#unsent", { state: "hidden" });
});

test("the server killed during use loses nothing and doubles nothing", async () => {
  const first = await serve();
  await begin(first.url);
  const { page } = await open(`${first.url}/lanes`);
  await page.waitForSelector("#bowl:not([hidden])");
  await strike(page);
  await sent(page);
  await first.stop("SIGKILL");
  await strike(page);
  await strike(page);
  assert.match(await page.textContent("#unsent"), /^2 unsent$/);
  const second = await serve({ folder: first.folder, port: first.port });
  await sent(page);
  const { said } = await ask(second.url, "/lanes/state");
  assert.equal(said.sheet.deliveries.length, 3);
  await second.clear();
});

test("a tab closed before the server was reached sends when it is opened again", async () => {
  const { page, context } = await block();
  await page.waitForSelector("#lane svg", { timeout: 60_000 });
  await context.setOffline(true);
  await strike(page);
  await page.close();
  await context.setOffline(false);
  const again = await context.newPage();
  await again.goto(`${app.url}/lanes`);
  await sent(again);
  const { said } = await ask(app.url, "/lanes/state");
  assert.equal(said.sheet.deliveries.length, 1);
});

test("a tablet follows the phone; two who log the same ball are told", async () => {
  const phone = await block();
  const tablet = await open(`${app.url}/lanes`, { viewport: { width: 820, height: 1100 } });
  await tablet.page.waitForSelector("#bowl:not([hidden])");
  await strike(phone.page);
  await assertText(signs(tablet.page, 1), "X");
  await tablet.context.setOffline(true);
  await tablet.page.click("[data-pin='7']");
  await tablet.page.click("#done");
  await strike(phone.page);
  await sent(phone.page);
  await tablet.context.setOffline(false);
  await tablet.page.waitForSelector("#refused:not([hidden])");
  const { said } = await ask(app.url, "/lanes/state");
  assert.deepEqual(said.sheet.deliveries.map((shot) => shot.pins), [[], []], "the second ball of frame 2 is nobody's but the phone's");
  await tablet.page.click("#refused button:has-text('Let it go')");
  await tablet.page.waitForSelector("#refused", { state: "hidden" });
  await assertText(signs(tablet.page, 2), "X");
});

test("keys alone log a ball", async () => {
  const { page } = await block();
  await page.focus("[data-pin='10']");
  await page.keyboard.press("Space");
  await page.focus("#down");
  for (let k = 0; k < 3; k++) {
    if (await page.evaluate(() => document.activeElement.id === "done")) break;
    await page.keyboard.press("Tab");
  }
  assert.equal(await page.evaluate(() => document.activeElement.id), "done");
  await page.keyboard.press("Enter");
  await assertText(signs(page, 1), "9");
});

for (const viewport of [PHONE, SMALL_PHONE]) {
  test(`nothing moves under the thumb at ${viewport.width} by ${viewport.height}`, async () => {
    const { page } = await block({ viewport });
    await page.waitForSelector("#card:not(.thinking)", { timeout: 60_000 });
    await page.waitForSelector("#lane svg", { timeout: 60_000 });
    const where = () => page.evaluate(() => ["deck", "down", "done", "undo", "card"].map((id) => {
      const box = document.getElementById(id).getBoundingClientRect();
      return [id, Math.round(box.top), Math.round(box.left)];
    }));
    const before = await where();
    await page.click("[data-pin='10']");
    await page.click("#done");
    await sent(page);
    await page.waitForFunction(() => document.querySelector("#reason").textContent.startsWith("10 with"), undefined, { timeout: 60_000 });
    assert.deepEqual(await where(), before);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= viewport.width, `the page is ${wide} wide`);
    for (const id of ["down", "done", "undo", "more"]) {
      const box = await page.locator(`#${id}`).boundingBox();
      assert.ok(box.height >= 44 && box.y + box.height <= viewport.height, `${id} can be reached`);
    }
  });
}

test("a phone whose clock is slow, and one put days ahead while a ball waits", async () => {
  const { page, context } = await open();
  await page.addInitScript(() => {
    const Real = Date;
    // @ts-ignore
    globalThis.slow = 20 * 60_000;
    // @ts-ignore
    globalThis.Date = class extends Real {
      // @ts-ignore
      constructor(...from) { from.length ? super(...from) : super(Real.now() - globalThis.slow); }
      // @ts-ignore
      static now() { return Real.now() - globalThis.slow; }
    };
  });
  await begin(app.url);
  await page.goto(`${app.url}/lanes`);
  await page.waitForSelector("#bowl:not([hidden])");
  const thrown = [];
  await context.setOffline(true);
  for (let k = 0; k < 2; k++) {
    await strike(page);
    thrown.push(Date.now());
    await new Promise((later) => setTimeout(later, 1500));
  }
  await context.setOffline(false);
  await sent(page);
  assertTimes((await ask(app.url, "/lanes/state")).said, thrown);
  await context.setOffline(true);
  await strike(page);
  await page.evaluate("globalThis.slow = -3 * 24 * 3_600_000");
  await context.setOffline(false);
  thrown.push(Date.now());
  await sent(page);
  assertTimes((await ask(app.url, "/lanes/state")).said, thrown, 2000);
});

test("the page hears of what the command line logs", async () => {
  const { page } = await block();
  const { status } = spawnSync(PROGRAM, ["log", "X", "--record", app.record]);
  assert.equal(status, 0);
  await assertText(signs(page, 1), "X");
  const { said } = await ask(app.url, "/lanes/state");
  assert.equal(said.sheet.deliveries.length, 1);
});

/** The marks of the sheet of each open block, and of the present one. */
async function sheets() {
  const { said } = await ask(app.url, "/lanes/state");
  return [said.block, said.sheet.games.map((game) => game.frames.map((frame) => frame.signs).join(" ").trim()).join("; ")];
}

test("of two open blocks the earlier one is gone back to, it is plain which one is logged to, and both sheets are right", async () => {
  const { block: first } = await begin(app.url);
  const { page, errors } = await open(`${app.url}/lanes`);
  const named = (name) => assertText(page.locator("#name"), name);
  await named(first);
  await strike(page);
  await page.click("[data-pin='10']");
  await page.click("#done");
  await sent(page);
  await page.click("#other");
  await page.click("#start button");
  await page.waitForFunction((name) => document.querySelector("#name").textContent !== name, first, { timeout: 60_000 });
  const second = await page.textContent("#name");
  await assertText(signs(page, 1), "");
  // What was tapped for one block is not logged into another.
  await page.click("[data-pin='7']");
  await page.click("#other");
  await page.locator("#blocks li", { hasText: `${first}` }).filter({ hasText: "frame 2 next" }).getByRole("button").first().click();
  await named(first);
  await assertText(signs(page, 2), "9");
  assert.equal(await page.isDisabled("#done"), true);
  assert.equal(await page.textContent("#score"), "Game 1, lane 12: on a strike");
  await page.click("#down");
  await page.click("#done");
  await sent(page);
  assert.deepEqual(await sheets(), [first, "X 9/"]);
  // The other way round from the page After, where all blocks are listed.
  await page.goto(`${app.url}/after`);
  await page.click("details.blocks summary");
  await page.locator(`[data-back="${second}"]`).click();
  await page.waitForURL(/\/lanes$/);
  await named(second);
  await page.click("[data-pin='7']");
  await page.click("#done");
  await sent(page);
  assert.deepEqual(await sheets(), [second, "9"]);
  const earlier = await (await fetch(`${app.url}/after?block=${encodeURIComponent(first)}`)).text();
  assert.match(earlier, /20 so far, on a spare/);
  await page.click("#other");
  await page.click("#stay");
  await named(second);
  assert.deepEqual(errors, []);
});

test("shots that wait stay with the block they were logged to, and the phone follows once they are sent", async () => {
  const { page, context, errors } = await block();
  const { said: { block: first } } = await ask(app.url, "/lanes/state");
  await page.waitForSelector("#lane svg", { timeout: 60_000 });
  await context.setOffline(true);
  await strike(page);
  await strike(page);
  // Meanwhile a tablet begins another block and logs there; the tab of the phone is closed and opened again.
  const { block: second } = await begin(app.url);
  await ask(app.url, "/lanes/shot", { key: "of-the-tablet", pins: "7" });
  await strike(page);
  await assertText(signs(page, 3), "X");
  await assertText(page.locator("#name"), first);
  await page.close();
  await context.setOffline(false);
  // Shots cannot be sent yet, all else can be asked.
  await context.route("**/lanes/shot", (route) => route.abort());
  const again = await context.newPage();
  await again.goto(`${app.url}/lanes`);
  await assertText(again.locator("#name"), first);
  await assertText(signs(again, 3), "X");
  await again.click("#other");
  await again.locator("#blocks [data-back]").first().click();
  await again.waitForFunction(() => document.querySelector("#begun").textContent.startsWith("3 not sent yet"));
  await again.click("#stay");
  await context.unroute("**/lanes/shot");
  await sent(again);
  await assertText(again.locator("#name"), second);
  await assertText(signs(again, 1), "9");
  assert.deepEqual(await sheets(), [second, "9"]);
  await ask(app.url, "/lanes/back", { block: first });
  assert.deepEqual(await sheets(), [first, "X X X"]);
  await assertText(again.locator("#name"), first);
  assert.deepEqual(errors, []);
});

test("the card's choices are all in sight on a phone, and say what they are worth", async () => {
  const { page } = await open(undefined, { viewport: PHONE });
  // Longer ones than the demo kit has.
  const longer = [["Sand to 1000: slide 31.5, look at 10.5", "surface"], ["A little less side rotation: slide 29, look at 8", "hand"]];
  await page.route("**/lanes/next", async (route) => {
    const answer = await route.fetch();
    const said = await answer.json();
    const [first] = said.choices ?? [];
    if (first) said.choices = [{ ...first, on_card: 1 }, ...longer.map(([say, kind], k) => ({ ...first, say, kind, on_card: k + 2 }))];
    await route.fulfill({ json: said });
  });
  await begin(app.url);
  await page.goto(`${app.url}/lanes`);
  await page.waitForSelector("#choices button", { timeout: 60_000 });
  const card = await page.locator("#card").boundingBox();
  assert.equal(await page.locator("#choices button").count(), 2);
  for (const choice of await page.locator("#choices button").all()) {
    const box = await choice.boundingBox();
    assert.ok(box.x >= card.x && box.x + box.width <= card.x + card.width, "none runs past the edge");
    assert.ok(box.y + box.height <= card.y + card.height && box.height >= 44, "nor below it");
    assert.match(await choice.textContent(), /slide [\d.]+, look at [\d.]+ .*strikes \d+-\d+ in 100 $/);
  }
});

test("what is told between games is of the game before, and a complete block says so", async () => {
  const { page } = await block();
  for (let k = 0; k < 36; k++) {
    const { status } = await ask(app.url, "/lanes/shot", { key: `${Math.random()}`.slice(2), pins: "none" });
    assert.equal(status, 200);
    if (k === 10) await assertText(page.locator("#score"), "Game 1, lane 12: 270, on two strikes");
    if (k !== 23) continue;
    await assertText(page.locator("#score"), "Game 3, lane 11");
    await assertText(page.locator("#need"), "game 2: 300, total 600");
  }
  await assertText(page.locator("#score"), "Block complete");
  await assertText(page.locator("#need"), "300, 300, 300, total 900");
  await assertText(page.locator("#say"), "That was the block");
  assert.equal(await page.isDisabled("#done"), true);
  await page.click("#undo");
  await assertText(page.locator("#score"), "Game 3, lane 12: 270, on two strikes");
});

test("details open in sight on a phone, and the pins are in sight again once the ball is logged", async () => {
  const { page } = await block();
  const seen = async (path) => {
    const box = await page.locator(path).boundingBox();
    return box.y >= 0 && box.y + box.height <= PHONE.height;
  };
  await page.click("#more");
  for (const path of ["#done", "label:has([value='pocket'])", "#arrows", "#ball"]) assert.ok(await seen(path), path);
  await page.click("#down");
  await page.selectOption("#ball", "strong-solid");
  await page.click("#done");
  await assertText(signs(page, 1), "X");
  for (const path of ["#frames", "[data-pin='10']", "#done"]) assert.ok(await seen(path), path);
  await sent(page);
  await assertText(page.locator("#ball option").first(), "strong solid, in hand");
});

/** The shots have the times at which they were thrown, in order. @param {any} said @param {number[]} thrown */
function assertTimes(said, thrown, within = 1000) {
  const times = said.sheet.deliveries.map((/** @type {any} */ shot) => Date.parse(shot.at));
  assert.equal(times.length, thrown.length);
  times.forEach((/** @type {number} */ at, /** @type {number} */ k) => {
    assert.ok(Math.abs(at - thrown[k]) <= within, `ball ${k + 1}: ${at - thrown[k]} ms off`);
    assert.ok(k === 0 || at >= times[k - 1], `ball ${k + 1} is older than the one before`);
  });
}

async function assertText(place, words) {
  for (let k = 0; k < 200; k++) {
    if ((await place.textContent()) === words) return;
    await new Promise((done) => setTimeout(done, 50));
  }
  assert.equal(await place.textContent(), words);
}

test("the practice of the brief is at the lanes until the first ball counts", async () => {
  const app = await serve();
  await begin(app.url);
  const { page, context } = await open(`${app.url}/lanes`);
  await page.getByText("Practice throws").click();
  await page.locator("#plan-throws li").first().waitFor({ timeout: 60_000 });
  assert.match(await page.locator("#plan-throws li").first().textContent(), /^Lane \d+, .*: slide [\d.]+, look at [\d.]+\. It comes in at [\d.]+\. Higher: .+\. Lighter: .+\.$/);
  await ask(app.url, "/lanes/shot", { key: "one", pins: "10" });
  await page.locator("#plan").waitFor({ state: "hidden" });
  await context.close();
  await app.clear();
});
