// After the block: the finding first, what it takes before anything is said, blocks beside each other, the handout, and drills.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { before, test } from "node:test";
import { ask, begin, DESK, open, PHONE, served } from "./app.mjs";

const AXE = readFileSync(new URL("node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const app = await served();

/** Games of strikes, and of tens that are made or missed. */
async function bowl(block, missed, games = 1) {
  await begin(app.url, block === 0 ? {} : { again: true });
  let n = 0;
  const shot = async (pins, more = {}) => {
    const { status, said } = await ask(app.url, "/lanes/shot", { key: `after-${block}-${n++}`, pins, ...more });
    assert.equal(status, 200, JSON.stringify(said));
  };
  for (let k = 0; k < 10 * games; k++) {
    const frame = 1 + (k % 10);
    if (frame % 3 === 0 && frame < 10) await shot("none", { hit: "pocket", arrows: 9 + (frame % 2) });
    else {
      await shot("10", { hit: "pocket", arrows: 9 });
      await shot(frame <= missed ? "10" : "none");
      if (frame === 10 && frame > missed) await shot("10");
    }
  }
}

before(async () => {
  await bowl(0, 10);
  await bowl(1, 2);
});

const filled = (page) => page.waitForSelector("#account .verdict", { timeout: 60_000 });

async function violations(page) {
  await page.evaluate(AXE);
  const found = await page.evaluate(async (runOnly) => (await globalThis.axe.run(document, { runOnly })).violations, RULES);
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(" ")).join(", ")}`);
}

/** Counts how far anything moves by itself. */
const watchMoves = (page) => page.addInitScript(() => {
  globalThis.moved = 0;
  new PerformanceObserver((list) => { for (const entry of list.getEntries()) globalThis.moved += entry.value; }).observe({ type: "layout-shift", buffered: true });
});

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  test(`on the ${size} the finding stands first, nothing jumps, and axe finds nothing`, async () => {
    const { page, errors } = await open(undefined, { viewport, more: { bypassCSP: true } });
    await watchMoves(page);
    await page.goto(`${app.url}/after`);
    await filled(page);
    await page.waitForLoadState("networkidle").catch(() => {});
    await page.waitForTimeout(300);
    const heads = await page.locator("#after .verdict, #account img.by-day, #account .doubt, #account .term, #figures-title, #season-title")
      .evaluateAll((all) => all.filter((one) => one.getClientRects().length > 0).map((one) => [one.getBoundingClientRect().top, one.id || one.className || one.tagName]));
    assert.equal(heads[0][1], "verdict", JSON.stringify(heads));
    assert.match(await page.innerText(".verdict"), /par/);
    assert.ok(await page.evaluate(() => globalThis.moved) < 0.02);
    assert.deepEqual(await violations(page), []);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= viewport.width);
    assert.deepEqual(errors, []);
  });
}

test("what nobody can act on is folded away, and opens with the keys alone", async () => {
  const { page } = await open(`${app.url}/after`, { viewport: DESK });
  await filled(page);
  const luck = page.locator(".rest .term .name", { hasText: /^luck$/ });
  assert.equal(await luck.isVisible(), false);
  await page.focus(".rest > summary");
  await page.keyboard.press("Enter");
  assert.equal(await luck.isVisible(), true);
});

test("what to practise says nothing of too few attempts, and how many it takes", async () => {
  const { page } = await open(`${app.url}/after`);
  await filled(page);
  assert.match(await page.innerText(".waits"), /First balls with ball and lane known: \d+ so far; it takes 20/);
  // Seven tries at single pins are too few for a word.
  assert.match(await page.innerText(".waits"), /Single pins, tries: 7 so far; it takes 10/);
  assert.equal(await page.locator(".practise li").count(), 0);
});

test("two blocks stand beside each other with their intervals, and are no trend", async () => {
  const { page } = await open(`${app.url}/after`, { viewport: DESK });
  const words = await page.locator("#season .measures p").allInnerTexts();
  assert.equal(words.length, 4);
  assert.match(words[0], /Two blocks are no trend; it takes 6/);
  await page.click("#season summary");
  const cells = await page.locator("#season tbody tr").first().innerText();
  assert.match(cells, /\d+ \(\d+ to \d+\)/);
});

test("at twice the size of text nothing is cut off or wider than the phone", async () => {
  const { page } = await open(`${app.url}/after`, { viewport: PHONE });
  await page.evaluate(() => { document.documentElement.style.fontSize = "32px"; });
  await filled(page);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= PHONE.width, `${wide}`);
});

test("a handout of a block is one page, and one of any bowler needs no block", async () => {
  const { page, errors } = await open(`${app.url}/after`, { viewport: PHONE, more: { bypassCSP: true } });
  await page.click("text=Make a handout");
  await page.waitForSelector("#handout");
  assert.equal(await page.locator("[name=part]:checked").count(), 2, "a block brings its story and its notes");
  assert.deepEqual(await violations(page), []);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= PHONE.width);
  const made = async () => {
    const address = await page.evaluate(() => {
      const form = /** @type {HTMLFormElement} */ (document.getElementById("handout"));
      return `${new URL(form.action).pathname}?${new URLSearchParams(new FormData(form))}`;
    });
    const answer = await fetch(app.url + address);
    assert.equal(answer.status, 200, address);
    const paper = Buffer.from(await answer.arrayBuffer());
    assert.equal(paper.subarray(0, 5).toString(), "%PDF-");
    return paper.toString("latin1").split(/\/Type\s*\/Page\b/).length - 1;
  };
  assert.equal(await made(), 1);
  // Now for somebody else, with no block: the keys alone do it.
  await page.goto(`${app.url}/after/handout`);
  assert.equal(await page.locator("button[type=submit]").isDisabled(), true, "nothing to make one from yet");
  await page.selectOption("[name=event]", { index: 1 });
  await page.selectOption("[name=who]", { index: 1 });
  await page.focus("[name=part][value=lines]");
  await page.keyboard.press("Space");
  await page.focus("[name=part][value=pattern]");
  await page.keyboard.press("Space");
  assert.equal(await page.locator("button[type=submit]").isDisabled(), false);
  assert.equal(await made(), 1, "brief, lines, pattern and spares fit a page");
  assert.deepEqual(errors, []);
});

test("a drill is logged with its result, and the next block says whether it moved", async () => {
  // Fourteen tens missed, which stand out; then the drill; then a block in which all are made.
  await bowl(2, 10, 2);
  const { page, errors } = await open(undefined, { viewport: PHONE, more: { bypassCSP: true } });
  await page.goto(`${app.url}/after`);
  await filled(page);
  const drill = page.locator("form.drill").first();
  assert.match(await page.innerText(".practise li"), /Single pins: made 0 of 14[^]*Target: \d+ of 10 made/);
  assert.deepEqual(await violations(page), []);
  await drill.locator("input").fill("7");
  await drill.locator("input").press("Enter");
  await drill.getByText("Kept.").waitFor();
  assert.match(await page.innerText("#notes"), /Drill, single pins: 7 of 10\. Before: \d+\.\d pins a game lost\./);
  assert.equal(await page.locator("#drills li").count(), 0, "the block before the drill cannot follow it");
  await bowl(3, 0, 2);
  await page.goto(`${app.url}/after`);
  await filled(page);
  assert.match(await page.innerText("#drills"), /Single pins: 7 of 10 in the drill of \d{4}-\d\d-\d\d\.[^]*Better, by more than chance makes\./);
  assert.deepEqual(errors, []);
});
