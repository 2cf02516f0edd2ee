// The main screens as somebody last looked at them, on phone and desk, by day and in the dark. `cargo xtask bless` renews the pictures.

import assert from "node:assert/strict";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, afterEach, before, test } from "node:test";
import pixelmatch from "pixelmatch";
import { PNG } from "pngjs";
import { ask, begin, close, closePages, DESK, open, PHONE, serve } from "./app.mjs";

const BLESSED = new URL("pictures/", import.meta.url).pathname;
/** How far a pixel's colour may be off, of 1 (perceived difference); edges of letters that are only smoothed otherwise do not count. */
const COLOUR = 0.1;
/** One pixel in so many may be off further: less than a word. */
const ONE_IN = 2000;
const wanted = process.env.BOARDWISE_BLESS === "1";

let fresh, bowled;
before(async () => {
  [fresh, bowled] = [await serve(), await serve()];
  await begin(bowled.url);
  const balls = [["none", { hit: "pocket", arrows: 12 }], ["10", { hit: "pocket", arrows: 12 }], ["10", {}], ["3-10", { hit: "light", arrows: 11 }], ["10", {}], ["none", { hit: "high", arrows: 13 }]];
  for (const [k, [pins, more]] of balls.entries()) {
    const { status, said } = await ask(bowled.url, "/lanes/shot", { key: `ball-${k}`, pins, ...more });
    assert.equal(status, 200, JSON.stringify(said));
  }
});
afterEach(closePages);
after(async () => {
  await close();
  await fresh.clear();
  await bowled.clear();
});

/** What is another one in every run has no place in a picture: times, days, and the port. */
const still = (page) => page.evaluate(() => {
  for (const time of document.querySelectorAll("time")) time.textContent = "2026-01-31";
  const found = document.getElementById("found");
  if (found?.textContent) found.textContent = found.textContent.replace(/in [\d.]+ s/, "in 2.0 s");
  const link = document.getElementById("link");
  if (link) link.value = link.value.replace(/:\d+/, ":4242");
});

/** Name, server, path, and what is waited for or done. */
const SCREENS = [
  ["first", () => fresh, "/lanes", async (page) => page.waitForSelector("#begin:not([hidden])")],
  ["lanes", () => bowled, "/lanes", async (page) => {
    await page.waitForSelector("#choices button, #card:not(.thinking) #say:not(:empty)", { timeout: 60_000 });
    await page.waitForSelector("#lane svg", { timeout: 60_000 });
    await page.waitForSelector("#card:not(.thinking)", { timeout: 60_000 });
  }],
  ["pattern", () => fresh, "/before/kit/lane/short-32-flat", async (page) => page.waitForSelector("#picture :is(svg, img)")],
  ["lab", () => fresh, "/lab?lane=short-32-flat", async (page) => page.waitForSelector("#readout dd:last-child")],
  ["lines", () => fresh, "/lab?lane=short-32-flat", async (page) => {
    await page.waitForSelector("#readout dd:last-child");
    await page.click("#find button[type=submit]");
    await page.waitForSelector("#map svg", { timeout: 240_000 });
    await page.evaluate(() => document.querySelector("#finder h2").scrollIntoView());
  }],
  ["account", () => bowled, "/after", async (page) => {
    await page.waitForSelector("#account .verdict", { timeout: 120_000 });
    await page.waitForFunction(() => Array.from(document.querySelectorAll("#account img"))
      .every((one) => one.getClientRects().length === 0 || (one.complete && one.naturalWidth > 0)));
  }],
  // Each run has a folder of its own.
  ["devices", () => fresh, "/devices", (page) => page.evaluate(() => {
    document.querySelector("#record-place").textContent = "~/boardwise.record";
  })],
];

/** Unfiltered and by the usual strategy, which packs flat grounds and letters far better than what the library takes by itself. */
const packed = (picture) => PNG.sync.write(picture, { colorType: 2, inputHasAlpha: true, deflateLevel: 9, deflateStrategy: 0, filterType: 0 });

/** How many pixels differ, and where. */
function compare(was, is) {
  if (was.width !== is.width || was.height !== is.height) return { off: Infinity, where: is };
  const where = new PNG({ width: is.width, height: is.height });
  const off = pixelmatch(was.data, is.data, where.data, is.width, is.height, { threshold: COLOUR });
  return { off, where };
}

async function usedFonts(page, context) {
  const devtools = await context.newCDPSession(page);
  await devtools.send("DOM.enable");
  await devtools.send("CSS.enable");
  const { root } = await devtools.send("DOM.getDocument");
  const { nodeId } = await devtools.send("DOM.querySelector", { nodeId: root.nodeId, selector: "nav a" });
  const { fonts } = await devtools.send("CSS.getPlatformFontsForNode", { nodeId });
  return fonts.map((font) => font.familyName);
}

test("the pictures are taken in the font they were blessed in", async () => {
  const { page, context } = await open(`${fresh.url}/devices`);
  assert.deepEqual(await usedFonts(page, context), ["Atkinson Hyperlegible Next"], "the pages bring their font");
});

test("a word that changed is seen, a shade that hardly did is not", () => {
  const white = new PNG({ width: 360, height: 740 });
  white.data.fill(255);
  const [word, shade] = [PNG.sync.read(PNG.sync.write(white)), PNG.sync.read(PNG.sync.write(white))];
  for (let k = 0; k < shade.data.length; k += 4) shade.data[k] = 248;
  // A bar of 40 by 6: the ink of a word.
  for (let y = 100; y < 106; y++) for (let x = 50; x < 90; x++) word.data.fill(0, 4 * (360 * y + x), 4 * (360 * y + x) + 3);
  assert.equal(compare(white, shade).off, 0);
  assert.ok(compare(white, word).off > (360 * 740) / ONE_IN);
});

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  for (const colorScheme of ["light", "dark"]) {
    for (const [name, app, path, ready] of SCREENS) {
      test(`${name} on ${size}, ${colorScheme}, looks as it was blessed`, async () => {
        const { page, errors } = await open(app().url + path, { viewport, colorScheme, more: { reducedMotion: "reduce" } });
        await page.waitForLoadState("networkidle").catch(() => {});
        await ready(page);
        await still(page);
        // Twice the same: nothing is still on its way.
        let taken = await page.screenshot({ animations: "disabled", caret: "hide" });
        for (let k = 0; k < 20; k++) {
          await page.waitForTimeout(150);
          const again = await page.screenshot({ animations: "disabled", caret: "hide" });
          if (again.equals(taken)) break;
          taken = again;
        }
        assert.deepEqual(errors, []);
        const is = PNG.sync.read(taken);
        const file = join(BLESSED, `${name}-${size}-${colorScheme}.png`);
        const was = existsSync(file) ? PNG.sync.read(readFileSync(file)) : null;
        const { off, where } = was ? compare(was, is) : { off: Infinity, where: is };
        const most = (is.width * is.height) / ONE_IN;
        console.log(`${name}-${size}-${colorScheme}: ${was ? `${off} pixels differ` : "new"}`);
        if (off <= most) return;
        if (wanted) {
          mkdirSync(BLESSED, { recursive: true });
          writeFileSync(file, packed(is));
          return;
        }
        const folder = mkdtempSync(join(tmpdir(), "boardwise-picture-"));
        writeFileSync(join(folder, "is.png"), packed(is));
        writeFileSync(join(folder, "differs.png"), packed(where));
        assert.fail(`${off} pixels differ, at most ${most.toFixed(0)} may: look at ${folder} and at ${file}; cargo xtask bless if it should be so`);
      });
    }
  }
}
