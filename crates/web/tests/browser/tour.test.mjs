// The first walk through the app: taken whole, left at each step, taken up again.

import assert from "node:assert/strict";
import { test } from "node:test";
import { ask, DESK, open, PHONE, serve, served } from "./app.mjs";

const app = await served();

const PAGES = ["/before/kit/lane/short-32-flat", "/lab", "/lanes", "/lanes", "/after"];
const says = (page) => page.textContent("#tour-says");
const press = (page, words) => page.click(`#tour button:text-is("${words}")`);

/** Waits for a step, and looks that it stands as it should. */
async function step(page, number) {
  await page.waitForFunction((n) => document.querySelector("#tour-count")?.textContent === `Tour, ${n} of 5`, number);
  await page.waitForSelector(".pointed");
  assert.equal(new URL(page.url()).pathname, PAGES[number - 1]);
  assert.equal(await page.evaluate(() => document.activeElement.id), "tour-title", "what is new is read out");
}

/** What is pointed at is in sight, and the tour does not lie on it. */
async function inSight(page) {
  const [panel, what, height] = await page.evaluate(() => {
    const box = (path) => { const { top, bottom } = document.querySelector(path).getBoundingClientRect(); return { top, bottom }; };
    return [box("#tour"), box(".pointed"), innerHeight];
  });
  assert.ok(panel.top >= 0 && panel.bottom <= height + 1, `the tour stands at ${JSON.stringify(panel)}`);
  const free = Math.min(what.bottom, panel.top) - Math.max(what.top, 0);
  assert.ok(free >= Math.min(what.bottom - what.top, 60) - 1, `of ${JSON.stringify(what)} only ${free} px are free above ${panel.top}`);
}

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  test(`the whole tour on the ${size}: a pattern, a line, a shot in two taps, the card, the account`, async () => {
    const fresh = await serve();
    const { page, errors } = await open(`${fresh.url}/lanes`, { viewport });
    await page.click("#offer button:text-is('Show me round')");
    await step(page, 1);
    await page.waitForSelector("#look dl");
    await inSight(page);
    await press(page, "Next");
    await step(page, 2);
    await inSight(page);
    await page.click("#find button[type=submit]");
    await page.waitForFunction(() => /Best first/.test(document.querySelector("#tour-says").textContent), undefined, { timeout: 60_000 });
    await inSight(page);
    await page.click("#lines tbody button >> nth=0");
    await press(page, "Next");
    await step(page, 3);
    assert.match(await says(page), /Tap Begin/);
    await page.click("#start button");
    await page.waitForFunction(() => /two taps/.test(document.querySelector("#tour-says").textContent), undefined, { timeout: 60_000 });
    await inSight(page);
    await page.click("#down");
    await page.click("#done");
    await page.waitForFunction(() => /Logged/.test(document.querySelector("#tour-says").textContent));
    await press(page, "Next");
    await step(page, 4);
    await page.waitForFunction(() => document.querySelector("#say").textContent !== "", undefined, { timeout: 60_000 });
    await inSight(page);
    await press(page, "Next");
    await step(page, 5);
    await page.waitForFunction(() => /the line, your throws/.test(document.querySelector("#tour-says").textContent), undefined, { timeout: 120_000 });
    await inSight(page);
    await press(page, "Done");
    await page.waitForSelector("#tour", { state: "detached" });
    await page.goto(`${fresh.url}/lanes`);
    await page.waitForSelector("#bowl:not([hidden])");
    assert.equal(await page.locator("#tour").count(), 0, "it is over on other pages too");
    const { said } = await ask(fresh.url, "/lanes/state");
    assert.equal(said.sheet.deliveries.length, 1, "the one shot that was tapped is on record");
    assert.deepEqual(errors, []);
    await fresh.clear();
  });
}

for (const number of [1, 2, 3, 4, 5]) {
  for (const how of ["Escape", "Leave the tour"]) {
    test(`step ${number} can be left by ${how}, and the tour taken up again`, async () => {
      const { page, errors } = await open(`${app.url}/lanes`);
      await page.evaluate((at) => localStorage.setItem("boardwise.tour", JSON.stringify({ step: at, on: true })), number - 1);
      await page.goto(app.url + PAGES[number - 1]);
      await step(page, number);
      if (how === "Escape") await page.keyboard.press("Escape");
      else await press(page, how);
      await page.waitForSelector("#tour", { state: "detached" });
      assert.equal(await page.locator(".pointed").count(), 0);
      assert.notEqual(await page.evaluate(() => document.activeElement), null);
      assert.ok(await page.evaluate(() => document.getElementById("main").contains(document.activeElement)), "keys go on in the page");
      await page.goto(`${app.url}/lanes`);
      await page.waitForSelector("#offer");
      assert.equal(await page.locator("#tour").count(), 0, "that it was left is remembered");
      if (number > 1 && number < 5) {
        await page.click(`#offer button:text-is("Go on at step ${number}")`);
        await step(page, number);
      } else {
        await page.click("#offer button:text-is('Show me round')");
        await step(page, 1);
      }
      assert.deepEqual(errors, []);
    });
  }
}

test("Escape closes a word first, then the tour; on another page the tour waits", async () => {
  const { page } = await open(`${app.url}/lanes`);
  await page.click("#offer button:text-is('Show me round')");
  await step(page, 1);
  await page.waitForSelector("#look .asked");
  await page.click("#look .asked >> nth=0");
  await page.waitForSelector(".slip:popover-open");
  await page.keyboard.press("Escape");
  await page.waitForSelector(".slip:popover-open", { state: "hidden" });
  assert.equal(await page.locator("#tour").count(), 1);
  await page.goto(`${app.url}/devices`);
  await page.waitForSelector("#tour");
  assert.match(await says(page), /another page/);
  await press(page, "Go there");
  await step(page, 1);
  await page.keyboard.press("Escape");
  await page.waitForSelector("#tour", { state: "detached" });
});

test("back goes back, keys alone go on", async () => {
  const { page } = await open(`${app.url}/lanes`);
  await page.focus("#offer button:text-is('Show me round')");
  await page.keyboard.press("Enter");
  await step(page, 1);
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "Next");
  await page.keyboard.press("Enter");
  await step(page, 2);
  await press(page, "Back");
  await step(page, 1);
});
