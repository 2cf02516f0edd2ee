// The trade's words, asked for where they stand: by a tap and by keys, on every page, at 360 px.

import assert from "node:assert/strict";
import { test } from "node:test";
import { begin, closePages, DESK, open, PHONE, served } from "./app.mjs";

const app = await served();

/** Pages with a word each that a newcomer would stop at. */
const ASKED = [
  ["/lab", ".dial .asked", "Laydown"], ["/lab", "#readout .asked", "Breakpoint"],
  ["/before/kit/lane/short-32-flat", "#look .asked", "Ratio"], ["/before/kit/bag/demo", "#look .asked", "Ra, µm"],
];

async function slip(page) {
  const open = page.locator(".slip:popover-open");
  await open.waitFor();
  return { words: (await open.innerText()).trim(), box: await open.boundingBox() };
}

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  test(`a word tapped on the ${size} is explained beside it, in sight, and nothing moves`, async () => {
    for (const [path, place, word] of ASKED) {
      const { page, errors } = await open(app.url + path, { viewport });
      const asked = page.locator(place, { hasText: word }).first();
      await asked.waitFor();
      await page.waitForLoadState("networkidle").catch(() => {});
      await asked.scrollIntoViewIfNeeded();
      const before = await asked.boundingBox();
      await asked.click();
      const { words, box } = await slip(page);
      assert.ok(words.length > 20, words);
      assert.ok(box.x >= 0 && box.x + box.width <= viewport.width && box.y >= 0 && box.y + box.height <= viewport.height,
        `${path}, ${word}: ${JSON.stringify(box)}`);
      const apart = Math.max(box.y - (before.y + before.height), before.y - (box.y + box.height));
      assert.ok(apart >= -1 && apart < 40, `${path}, ${word}: ${apart} px from the word`);
      assert.deepEqual(await asked.boundingBox(), before);
      await page.keyboard.press("Escape");
      await page.waitForSelector(".slip:popover-open", { state: "hidden" });
      assert.equal(await page.evaluate(() => document.activeElement.textContent), word);
      assert.deepEqual(errors, []);
      await closePages();
    }
  });
}

test("keys alone open a word and close it; a tap elsewhere closes it too", async () => {
  const { page } = await open(`${app.url}/lab`);
  const asked = page.locator(".dial .asked", { hasText: "Rotation" });
  await asked.focus();
  await page.keyboard.press("Enter");
  assert.match((await slip(page)).words, /side roll/);
  assert.equal(await page.evaluate(() => document.activeElement.className), "slip", "it is read out");
  await page.keyboard.press("Tab");
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "Close");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".slip:popover-open", { state: "hidden" });
  await asked.click();
  await slip(page);
  await page.mouse.click(5, 5);
  await page.waitForSelector(".slip:popover-open", { state: "hidden" });
});

test("words the card says are marked, once each, and the pins' page asks for its own", async () => {
  await begin(app.url);
  const { page, errors } = await open();
  await page.route("**/lanes/next", async (route) => {
    const said = await (await route.fetch()).json();
    await route.fulfill({ json: { ...said, reason: "Your last two came in high: high is over the head pin." } });
  });
  await page.goto(`${app.url}/lanes`);
  await page.waitForSelector("#choices button", { timeout: 60_000 });
  await page.waitForSelector("#reason .asked");
  const marked = await page.locator("#reason .asked").allTextContents();
  assert.deepEqual(marked, ["high"]);
  await page.locator("#reason .asked").click();
  assert.match((await slip(page)).words, /head pin/);
  await page.keyboard.press("Escape");
  for (const word of ["ribbon", "Hatched", "in"]) {
    assert.ok(await page.locator("#bowl > .caution .asked", { hasText: new RegExp(`^${word}$`) }).count(), word);
  }
  assert.deepEqual(errors, []);
});

test("every word of the pages leads to a slip that is there, and all stand on one page", async () => {
  for (const path of ["/lanes", "/before/kit/lane/short-32-flat", "/lab", "/after", "/words"]) {
    const { page } = await open(app.url + path);
    await page.waitForLoadState("networkidle").catch(() => {});
    const lost = await page.evaluate(() => Array.from(document.querySelectorAll("[popovertarget]"))
      .filter((one) => !document.getElementById(one.getAttribute("popovertarget"))).map((one) => one.textContent));
    assert.deepEqual(lost, [], path);
    if (path === "/words") {
      assert.equal(await page.locator("dl.words dt").count(), await page.locator(".slip").count());
    }
    await closePages();
  }
});

test("the head of every page fits at 360 px and can be tapped", async () => {
  for (const path of ["/lanes", "/before", "/lab", "/after", "/devices"]) {
    const { page } = await open(app.url + path);
    const places = await page.locator("nav a").evaluateAll((all) => all.map((one) => {
      const { left, right, height } = one.getBoundingClientRect();
      return { left, right, height };
    }));
    assert.equal(places.length, 5);
    for (const { left, right, height } of places) {
      assert.ok(left >= 0 && right <= 360 && height >= 44, `${path}: ${left} to ${right}, ${height} high`);
    }
    assert.ok(await page.evaluate(() => { const nav = document.querySelector("nav"); return nav.scrollWidth <= nav.clientWidth; }), path);
    await closePages();
  }
});
