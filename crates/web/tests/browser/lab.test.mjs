// The throw lab as it is used: balls over each other, lanes side by side, a drag and what it settles to, lines found and put into the lab.

import assert from "node:assert/strict";
import { test } from "node:test";
import { ask, DESK, open, served } from "./app.mjs";

const app = await served();

async function lab(query = "") {
  const opened = await open(`${app.url}/lab${query}`, { viewport: DESK });
  await opened.page.waitForSelector(".told b:not(:empty)");
  return opened;
}

/** Waits until the address says this of the balls, lanes and dials chosen. */
const addressSays = (page, says) => page.waitForURL((url) => says(url.searchParams), { timeout: 10_000 });

/** The numbers of one ball on one lane as the page shows them. */
const told = (page, nth = 0) => page.locator(".on-lane").nth(nth).locator("b, dd").allInnerTexts();

/** The same numbers as the server gives them for all shots, in the page's words. */
async function answered(query, lane = 0, ball = 0) {
  const { said } = await ask(app.url, `/lab/throw?${query}`);
  const one = said.lanes[lane].balls[ball];
  return { strikes: `${one.strike_pct.toFixed(0)} ± ${Math.max(1, one.strike_se_pct).toFixed(0)} %`, left: one.likely };
}

/** The page's numbers once they are those of all shots of the question in its address. */
async function settled(page, nth, lane, ball) {
  for (let tries = 0; tries < 60; tries++) {
    const wanted = await answered(new URL(page.url()).searchParams, lane, ball);
    const shown = await told(page, nth);
    if (shown[0] === wanted.strikes && shown[4] === wanted.left) return shown;
    await page.waitForTimeout(100);
  }
  assert.fail(`${await told(page, nth)} instead of ${JSON.stringify(await answered(new URL(page.url()).searchParams, lane, ball))}`);
}

test("two balls lie over each other, told apart by dash and letter, and one can go again", async () => {
  const { page, errors } = await lab();
  assert.equal(await page.locator(".moving .trace").count(), 1);
  await page.click("#add");
  await page.waitForFunction(() => document.querySelectorAll(".moving .trace").length === 2);
  const looks = await page.locator(".moving .trace").evaluateAll((all) => all.map((one) => [one.getAttribute("stroke"), one.getAttribute("stroke-dasharray")]));
  assert.notDeepEqual(looks[0], looks[1]);
  const samples = await page.locator("#balls .stroke line").evaluateAll((all) => all.map((one) => [one.getAttribute("stroke"), one.getAttribute("stroke-dasharray") || null]));
  assert.deepEqual(samples, looks.map(([stroke, dash]) => [stroke, dash]), "beside each name its own line");
  const names = await page.locator(".told h3").allInnerTexts();
  assert.equal(names.length, 2);
  assert.match(names[0], /^A /);
  assert.match(names[1], /^B /);
  await addressSays(page, (asked) => asked.getAll("ball").length === 2);
  await settled(page, 1, 0, 1);
  // Another surface on the second: its path is another, the first one's stays.
  const paths = () => page.locator(".moving .trace").evaluateAll((all) => all.map((one) => one.getAttribute("points")));
  const before = await paths();
  await page.locator(".ball .surface input").nth(1).focus();
  await page.keyboard.press("ArrowRight");
  await page.waitForFunction((was) => document.querySelectorAll(".moving .trace")[1]?.getAttribute("points") !== was, before[1]);
  assert.equal((await paths())[0], before[0]);
  await addressSays(page, (asked) => /\/360\//.test(asked.getAll("ball")[1]));
  await page.getByRole("button", { name: "Remove ball A" }).click();
  await page.waitForFunction(() => document.querySelectorAll(".moving .trace").length === 1);
  assert.match(await page.locator(".told h3").innerText(), new RegExp(names[1].slice(2).split(" ")[0]));
  assert.deepEqual(errors, []);
});

test("on two lanes the same throw is shown twice, and a drag on either moves both", async () => {
  const { page, errors } = await lab("?lane=house-40-walled&laydown=20&target=13");
  await page.selectOption("#lane-1", "short-32-flat");
  await page.waitForFunction(() => document.querySelectorAll(".moving .trace").length === 2);
  await addressSays(page, (asked) => asked.getAll("lane").join() === "house-40-walled,short-32-flat");
  assert.equal(await page.locator(".on-lane").count(), 2);
  const [house, short] = [await settled(page, 0, 0, 0), await settled(page, 1, 1, 0)];
  assert.notDeepEqual(house, short, "the lanes differ");
  const asked = [];
  page.on("request", (request) => {
    if (request.url().includes("/lab/throw")) asked.push(new URL(request.url()).searchParams);
  });
  const box = await page.locator(".lane").nth(1).getByRole("slider", { name: "Laydown" }).locator(".grip").boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 - 20, { steps: 8 });
  await page.mouse.up();
  await addressSays(page, (asked) => Number(asked.get("laydown")) > 22);
  const laydown = Number(new URL(page.url()).searchParams.get("laydown"));
  for (const lane of [0, 1]) {
    const handle = page.locator(".lane").nth(lane).getByRole("slider", { name: "Laydown" });
    assert.equal(Number(await handle.getAttribute("aria-valuenow")), laydown);
  }
  // In the hand fewer shots; once it rests all of them, and that is what stays.
  await settled(page, 0, 0, 0);
  await settled(page, 1, 1, 0);
  assert.equal(asked[0].get("in_hand"), "true");
  assert.equal(asked.at(-1).get("in_hand"), null);
  assert.equal(Number(asked.at(-1).get("laydown")), laydown);
  await page.selectOption("#lane-1", "");
  await page.waitForFunction(() => document.querySelectorAll(".lane").length === 1 && document.querySelectorAll(".on-lane").length === 1);
  assert.deepEqual(errors, []);
});

test("a second bowler throws the same boards in their own way, and the link keeps both", async () => {
  const { page, errors } = await lab("?lane=house-40-walled&laydown=20&target=13&speed=15");
  await page.selectOption("#beside", "right-rev-dominant");
  await page.waitForFunction(() => document.querySelectorAll(".moving .trace").length === 2);
  await addressSays(page, (asked) => asked.get("beside") === "right-rev-dominant");
  const names = await page.locator(".on-lane > .quiet").allInnerTexts();
  assert.deepEqual(names, ["right-straighter", "right-rev-dominant"]);
  const [first, second] = [await settled(page, 0, 0, 0), await settled(page, 1, 1, 0)];
  assert.notDeepEqual(first, second);
  // The second one's throw is that of their own file on these boards, whatever was set for the first.
  const { said } = await ask(app.url, "/lab/throw?lane=house-40-walled&bowler=right-rev-dominant&laydown=20&target=13");
  const both = (await ask(app.url, `/lab/throw?${new URL(page.url()).searchParams}`)).said;
  assert.deepEqual(both.lanes[1].balls[0].entry, said.lanes[0].balls[0].entry);
  assert.equal(Number(new URLSearchParams(both.question).get("speed")), 15);
  await page.reload();
  await page.waitForFunction(() => document.querySelectorAll(".moving .trace").length === 2);
  assert.equal(await page.inputValue("#beside"), "right-rev-dominant");
  await page.selectOption("#beside", "");
  await page.waitForFunction(() => document.querySelectorAll(".lane").length === 1 && document.querySelectorAll(".on-lane").length === 1);
  assert.deepEqual(errors, []);
});

test("lines are found with their map, and one of them is put into the lab as it was found", async () => {
  const { page, errors } = await lab("?lane=house-40-walled");
  await page.locator("#find button[type=submit]").click();
  await page.waitForSelector("#lines tbody tr", { timeout: 120_000 });
  assert.equal(await page.locator("#map svg").count(), 1);
  assert.ok((await page.locator("#map svg").innerHTML()).includes("launch") || (await page.locator("#map svg text").count()) > 5, "the map has its axes");
  const rows = await page.locator("#lines tbody tr").count();
  assert.ok(rows >= 2, `${rows} lines`);
  const { said } = await ask(app.url, "/lab/lines?lane=house-40-walled");
  const line = said.lines[1];
  await page.getByRole("button", { name: "Put line 2 into the lab" }).focus();
  await page.keyboard.press("Enter");
  // By the target: the line may begin where the lab's own throw does.
  await addressSays(page, (asked) => Math.abs(Number(asked.get("target")) - line.target) < 1e-9);
  const asked = new URL(page.url()).searchParams;
  assert.ok(Math.abs(Number(asked.get("laydown")) - line.laydown) < 1e-9);
  assert.equal(Number(asked.get("speed")), line.speed_mph);
  assert.equal(await page.locator("#lines tr.taken").count(), 1);
  const [strikes] = await settled(page, 0, 0, 0);
  // Found with 4096 shots, thrown here with 512.
  const [pct, error] = strikes.match(/\d+/g).map(Number);
  assert.ok(Math.abs(pct - line.strike_pct) < 3 * error + 1, `${strikes} instead of ${line.strike_pct}`);
  assert.deepEqual(errors, []);
});

test("a search for lines is stopped by its button or by keys, says so, and the next one is answered", async () => {
  const { page, errors } = await lab("?lane=house-40-walled");
  for (const stop of [() => page.click("#halt"), async () => {
    await page.focus("#halt");
    await page.keyboard.press("Enter");
  }]) {
    assert.equal(await page.isVisible("#halt"), false);
    await page.click("#find button[type=submit]");
    await page.waitForSelector("#halt:not([hidden])");
    await stop();
    await page.waitForFunction(() => document.querySelector("#found").textContent.startsWith("Stopped."));
    assert.equal(await page.isVisible("#lines"), false);
    assert.equal(await page.evaluate(() => document.activeElement.textContent), "Find lines");
  }
  await page.keyboard.press("Enter");
  await page.waitForSelector("#lines tbody tr", { timeout: 120_000 });
  assert.equal(await page.isVisible("#halt"), false);
  assert.deepEqual(errors, []);
});

/** How large the letters of the lane's pictures are on the screen, in pixels: the smallest of them. */
const smallest = (page) => page.evaluate(() => {
  const texts = Array.from(document.querySelectorAll("#lanes text")).filter((text) => text.getClientRects().length > 0);
  return Math.min(...texts.map((text) => Number.parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().d));
});

for (const width of [360, 768, 1280, 1920]) {
  test(`at ${width} the lane lies across the whole page, its letters are 12 pixels and more, and nothing jumps`, async () => {
    const { page } = await open(undefined, { viewport: { width, height: 800 } });
    await page.addInitScript(() => {
      globalThis.moved = 0;
      new PerformanceObserver((list) => { for (const entry of list.getEntries()) globalThis.moved += entry.value; }).observe({ type: "layout-shift", buffered: true });
    });
    await page.goto(`${app.url}/lab`);
    await page.waitForSelector(".told b:not(:empty)");
    await page.waitForLoadState("networkidle").catch(() => {});
    const [lane, main] = await page.evaluate(() => ["#lanes .lane", "main"].map((one) => document.querySelector(one).getBoundingClientRect().width));
    assert.ok(lane > main - 30 && lane > 0.92 * Math.min(width, 1792), `${lane} of ${main}`);
    assert.ok(await smallest(page) >= 12, `${await smallest(page)}`);
    assert.ok(await page.evaluate(() => globalThis.moved) < 0.02, `${await page.evaluate(() => globalThis.moved)}`);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= width);
  });
}

test("with letters twice as large the lane's letters grow as well", async () => {
  const { page } = await lab();
  const before = await smallest(page);
  await page.evaluate(() => { document.documentElement.style.fontSize = "32px"; });
  await page.waitForFunction((least) => {
    const text = document.querySelector("#lanes .moving text");
    return Number.parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().d > least;
  }, 1.8 * before);
});

test("numbers stand under what they measure, and two lanes have one scale of oil", async () => {
  const { page } = await lab("?lane=house-40-walled&lane=short-32-flat");
  await page.waitForFunction(() => document.querySelectorAll("#lanes .lane").length === 2);
  const ends = await page.evaluate(() => Array.from(document.querySelectorAll("#lanes .lane"), (lane) => {
    const texts = Array.from(lane.querySelectorAll("svg:first-child > text"), (text) => text.textContent);
    return texts[texts.indexOf("oil 0") - 1];
  }));
  assert.ok(Number(ends[0]) > 0 && ends[0] === ends[1], `${ends}`);
  const [arrows, fifteen] = await page.evaluate(() => {
    const lane = document.querySelector("#lanes .lane");
    const words = Array.from(lane.querySelectorAll(".moving text")).find((text) => text.textContent.includes("at the arrows")).getBoundingClientRect();
    const handle = lane.querySelector("[aria-label='Target at the arrows'] .grip").getBoundingClientRect();
    return [words.left + words.width / 2, handle.left + handle.width / 2];
  });
  assert.ok(Math.abs(arrows - fifteen) < 2, `${arrows} under ${fifteen}`);
});

test("found lines are drawn on the lane, and chosen there with the keys", async () => {
  const { page, errors } = await lab("?lane=house-40-walled");
  await page.click("#find button[type=submit]");
  await page.waitForSelector(".choice-line", { timeout: 120_000 });
  const rows = await page.locator("#lines tbody tr").count();
  assert.equal(await page.locator(".choice-line").count(), rows);
  const target = (await page.locator("#lines tbody tr").nth(1).locator("td").nth(4).innerText()).trim();
  await page.locator(".choice-line").nth(1).focus();
  await page.keyboard.press("Enter");
  await addressSays(page, (asked) => Math.abs(Number(asked.get("target")) - Number(target)) < 0.06);
  assert.equal(await page.locator("#lines tr.taken").count(), 1);
  assert.equal(await page.locator(".choice-line.taken").count(), 1);
  assert.deepEqual(errors, []);
});

test("a throw that was passed on opens as it was, and what is no throw says so", async () => {
  const { page, errors } = await lab("?lane=short-32-flat&laydown=22.5&target=12&speed=16.2");
  const packed = await fetch(app.url + await page.getAttribute("#parcel", "href"));
  const parcel = await packed.text();
  assert.ok(JSON.parse(parcel).files.length >= 3, "lane, bowler and bag go along");
  const { page: other } = await lab();
  await other.setInputFiles("#open", { name: "throw.boardwise", mimeType: "application/octet-stream", buffer: Buffer.from(parcel) });
  await other.waitForURL((url) => url.searchParams.get("speed") === "16.2" && url.searchParams.get("lane") === "short-32-flat");
  await other.waitForSelector(".told b:not(:empty)");
  assert.equal(Number(new URL(other.url()).searchParams.get("laydown")), 22.5);
  await other.setInputFiles("#open", { name: "photo.jpg", mimeType: "image/jpeg", buffer: Buffer.from([255, 216, 255]) });
  await other.waitForFunction(() => document.querySelector("#opened").textContent.startsWith("Not opened: this file holds no throw"));
  assert.deepEqual(errors, []);
});
