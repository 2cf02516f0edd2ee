// Everybody can read it (axe-core's WCAG 2.2 A and AA rules, by day and in the dark, on phone and desk), and it comes quickly.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { begin, close, DESK, open, PHONE, serve } from "./app.mjs";

const AXE = readFileSync(new URL("node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const KIT = [
  "/before/kit/lane/house-40-walled", "/before/kit/bag/demo", "/before/kit/bowler/left-handed", "/before/kit/event/short-32-squad",
];
const PAGES = [
  "/lanes", "/before", ...KIT, "/before/bag", "/before/block", "/before/practice", "/lab", "/after", "/after/handout", "/pair", "/devices", "/words", "/look", "/nowhere",
];

let app;
before(async () => {
  app = await serve();
});
after(async () => {
  await close();
  await app.clear();
});

/** The policy of the pages lets no script in from outside; the test looks past it. */
const past = { bypassCSP: true };

const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
/** In the dark the same page has other colours and nothing else. */
const OF_COLOURS = ["color-contrast", "link-in-text-block"];

async function violations(page, rules = RULES) {
  // What lies under a bar stuck to the foot comes out when it is scrolled: that it is partly covered now says nothing of its size.
  await page.evaluate(() => document.getElementById("foot")?.style.setProperty("position", "static"));
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(AXE);
  const found = await page.evaluate(async (runOnly) => (await globalThis.axe.run(document, { runOnly })).violations, rules);
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(" ")).join(", ")}`);
}

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  test(`axe finds nothing on the ${size}, by day and in the dark`, async () => {
    for (const path of PAGES) {
      const { page, context } = await open(app.url + path, { viewport, colorScheme: "light", more: past });
      await page.waitForLoadState("networkidle").catch(() => {});
      assert.deepEqual(await violations(page), [], path);
      await page.emulateMedia({ colorScheme: "dark" });
      // Pictures are drawn anew.
      await page.waitForTimeout(300);
      assert.deepEqual(await violations(page, OF_COLOURS), [], `${path} in the dark`);
      await context.close();
    }
  });
}

test("axe finds nothing while a block is bowled", async () => {
  await begin(app.url);
  await begin(app.url);
  for (const colorScheme of ["light", "dark"]) {
    const { page, context } = await open(`${app.url}/lanes`, { colorScheme, more: past });
    await page.waitForSelector("#lane svg", { timeout: 60_000 });
    await page.waitForSelector("#choices button", { timeout: 60_000 });
    await page.click("#more");
    await page.click("[data-pin='10']");
    assert.deepEqual(await violations(page), [], colorScheme);
    for (const [opens, shut] of [["#other-throw", "#else-shut"], ["#frames li[data-frame='1'] button", "#frame-shut"]]) {
      await page.click(opens);
      await page.waitForSelector("dialog[open]");
      await page.waitForTimeout(300);
      assert.deepEqual(await violations(page), [], `${opens}, ${colorScheme}`);
      await page.click(shut);
    }
    await page.click("#other");
    await page.waitForSelector("#blocks [data-back]");
    assert.deepEqual(await violations(page), [], `blocks, ${colorScheme}`);
    await context.close();
  }
});

test("axe finds nothing while a word is explained and the tour goes on", async () => {
  for (const colorScheme of ["light", "dark"]) {
    const { page, context } = await open(`${app.url}/lab`, { colorScheme, more: past });
    await page.click("footer [data-tour]");
    await page.waitForSelector("#tour .row");
    await page.waitForSelector("#look .asked");
    assert.deepEqual(await violations(page), [], `tour, ${colorScheme}`);
    await page.click("#look .asked >> nth=0");
    await page.waitForSelector(".slip:popover-open");
    assert.deepEqual(await violations(page), [], `word, ${colorScheme}`);
    await context.close();
  }
});

test("the first screen is under 200 KB and holds no thread for 50 ms", async () => {
  const { page, context } = await open();
  let bytes = 0;
  const devtools = await context.newCDPSession(page);
  await devtools.send("Network.enable");
  devtools.on("Network.loadingFinished", ({ encodedDataLength }) => { bytes += encodedDataLength; });
  await page.addInitScript(() => {
    globalThis.long = [];
    new PerformanceObserver((list) => globalThis.long.push(...list.getEntries().map((entry) => entry.duration)))
      .observe({ type: "longtask", buffered: true });
  });
  await page.goto(`${app.url}/lanes`);
  await page.waitForSelector("#lane svg", { timeout: 60_000 });
  const long = await page.evaluate(() => globalThis.long);
  console.log(`first screen: ${(bytes / 1000).toFixed(1)} KB, long tasks: ${long.map(Math.round).join(", ") || "none"}`);
  assert.ok(bytes < 200_000, `${bytes} bytes`);
});

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  test(`nothing jumps on the ${size} while a page fills up`, async () => {
    for (const path of ["/lanes", "/look", ...KIT, "/lab", "/after", "/words", "/devices"]) {
      const { page, context } = await open(undefined, { viewport });
      await page.addInitScript(() => {
        globalThis.moved = 0;
        new PerformanceObserver((list) => {
          for (const entry of list.getEntries()) globalThis.moved += entry.value;
        }).observe({ type: "layout-shift", buffered: true });
      });
      await page.goto(app.url + path);
      await page.waitForLoadState("networkidle").catch(() => {});
      await page.waitForTimeout(300);
      const moved = await page.evaluate(() => globalThis.moved);
      assert.ok(moved < 0.02, `${path}: ${moved.toFixed(3)} of the screen moved`);
      await context.close();
    }
  });
}

test("the first page comes soon after the start", async () => {
  const started = performance.now();
  const fresh = await serve();
  const answer = await fetch(`${fresh.url}/lanes`);
  await answer.text();
  const ms = performance.now() - started;
  console.log(`from start to first page: ${ms.toFixed(0)} ms`);
  assert.equal(answer.status, 200);
  await fresh.clear();
});
