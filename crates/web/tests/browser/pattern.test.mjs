// A pattern drawn by hand: the edges of a stroke and the film of a reading, with mouse, finger and keys; fields, text and picture in step.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { ask, closePages, DESK, open, PHONE, served } from "./app.mjs";

const DEMO = readFileSync(new URL("../../../files/data/demo/lanes/short-32-flat.toml", import.meta.url), "utf8");
const AXE = readFileSync(new URL("node_modules/axe-core/axe.min.js", import.meta.url), "utf8");

const app = await served();

/** A lane's page, seen from above. */
async function fromAbove(id, how = {}) {
  const opened = await open(`${app.url}/before/kit/lane/${id}`, { viewport: DESK, ...how });
  const { page } = opened;
  await page.waitForSelector("#picture svg text");
  await page.locator("label.chip", { hasText: "From above" }).click();
  await page.waitForSelector("#picture .knob");
  return opened;
}

const knob = (page, name) => page.getByRole("slider", { name, exact: true });
const text = (page) => page.locator("#text").inputValue();
/** Waits until the text of the file is this. */
const textIs = (page, wanted) => page.waitForFunction((wanted) => document.getElementById("text").value === wanted, wanted, { timeout: 10_000 });

/** The middle of a handle, and how many pixels a board and a foot take. */
async function measures(page, name) {
  const box = await knob(page, name).locator(".grip").boundingBox();
  const board = await knob(page, /from board/).locator(".grip").boundingBox();
  const to = await knob(page, /to board/).locator(".grip").boundingBox();
  const [near, far] = [await knob(page, /from feet/).locator(".grip").boundingBox(), await knob(page, /to feet/).locator(".grip").boundingBox()];
  const value = async (which) => Number(await knob(page, which).getAttribute("aria-valuenow"));
  return {
    x: box.x + box.width / 2, y: box.y + box.height / 2,
    board: (to.x - board.x) / (await value(/to board/) - await value(/from board/) + 1),
    foot: (far.y - near.y) / (await value(/to feet/) - await value(/from feet/)),
  };
}

test("with the mouse: an edge follows the hand, and so do field, text and picture; Escape puts it back", async () => {
  const { page, errors } = await fromAbove("short-32-flat");
  assert.equal(await page.locator("#picture .knob").count(), 4);
  const drawn = () => page.locator("#picture svg > g").first().innerHTML();
  const first = await drawn();
  const { x, y, board } = await measures(page, "Stroke 1, from board");
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 2 * board, y, { steps: 4 });
  await page.mouse.move(x + 5 * board, y, { steps: 4 });
  await textIs(page, DEMO.replace("[2, 38]", "[7, 38]"));
  assert.equal(await page.locator("[name='strokes.0.boards.0']").inputValue(), "7");
  await page.waitForFunction((first) => document.querySelector("#picture svg > g").innerHTML !== first, first);
  await page.keyboard.press("Escape");
  await textIs(page, DEMO);
  await page.mouse.move(x + 9 * board, y);
  await page.mouse.up();
  assert.equal(await text(page), DEMO, "the hand has let go");
  // The whole stroke: as far as the lane goes.
  const at = await measures(page, "Stroke 1, to feet");
  await page.mouse.move(at.x, at.y - 8 * at.foot);
  await page.mouse.down();
  await page.mouse.move(at.x - 9 * at.board, at.y - 6 * at.foot, { steps: 6 });
  await page.mouse.up();
  await textIs(page, DEMO.replace("boards = [2, 38]\nfeet = [0, 32]", "boards = [1, 37]\nfeet = [2, 34]"));
  assert.deepEqual(errors, []);
});

test("with keys alone: another stroke, its edges, its amount; kept as a file like any other; put back as it was saved", async () => {
  const { page, errors } = await fromAbove("short-32-flat");
  await page.locator("#which").focus();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowDown");
  await knob(page, "Stroke 3, from board").focus();
  // Board 1 is on the right: to the right is toward it.
  await page.keyboard.press("ArrowRight");
  await knob(page, "Stroke 3, to feet").focus();
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("Shift+ArrowUp");
  await knob(page, "Stroke 3, from feet").focus();
  await page.keyboard.press("Home");
  await page.locator("#amount").fill("5500");
  const mine = DEMO.replace("boards = [2, 38]\nfeet = [2, 12]\nmicrolitres = 5000", "boards = [1, 38]\nfeet = [0, 17.5]\nmicrolitres = 5500");
  await textIs(page, mine);
  assert.equal(await knob(page, "Stroke 3, to feet").getAttribute("aria-valuetext"), "17.5 feet");
  // An edge goes no further than the one across from it.
  await knob(page, "Stroke 3, from board").focus();
  await page.keyboard.press("End");
  await page.waitForFunction(() => /boards = \[38, 38\]/.test(document.getElementById("text").value));
  await page.keyboard.press("Home");
  await textIs(page, mine);
  await page.locator("#name").fill("drawn");
  await page.locator("#save button[type=submit]").click();
  await page.waitForURL(/lane\/drawn$/);
  assert.equal(readFileSync(`${app.folder}/kit/lane/drawn.toml`, "utf8"), mine);
  // What is drawn and not saved is still there after a reload, and goes back at a word.
  await page.locator("label.chip", { hasText: "From above" }).click();
  await knob(page, "Stroke 1, to board").focus();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await textIs(page, mine.replace("[2, 38]", "[2, 37]"));
  await page.reload();
  await page.waitForSelector("#restored:not([hidden])");
  await textIs(page, mine.replace("[2, 38]", "[2, 37]"));
  await page.locator("#discard").click();
  await textIs(page, mine);
  assert.deepEqual(errors, []);
});

test("with a finger on a phone: the edge moves and the page does not", async () => {
  const { context, page, errors } = await fromAbove("short-32-flat", { viewport: PHONE, more: { hasTouch: true, isMobile: true } });
  // Away from what sticks to the page's foot.
  await knob(page, "Stroke 1, to feet").evaluate((grip) => grip.scrollIntoView({ block: "center" }));
  const { x, y, foot } = await measures(page, "Stroke 1, to feet");
  const reach = await knob(page, "Stroke 1, to feet").locator(".reach").boundingBox();
  assert.ok(reach.width >= 40, `${reach.width} pixels for a finger`);
  const scrolled = await page.evaluate(() => scrollY);
  const finger = await context.newCDPSession(page);
  await finger.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y }] });
  for (let k = 1; k <= 8; k++) {
    await finger.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [{ x: x + k, y: y + k * foot }] });
  }
  await finger.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await textIs(page, DEMO.replace("feet = [0, 32]", "feet = [0, 40]"));
  assert.equal(await page.evaluate(() => scrollY), scrolled);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= PHONE.width);
  assert.deepEqual(errors, []);
});

test("seen left-handed, and where boards count from the left, the edge still follows the hand", async () => {
  const counted = DEMO.replace("name = ", "boards_from = \"left\"\nname = ");
  await ask(app.url, "/before/keep/lane", { id: "from-left", text: counted });
  for (const [id, hand, whole] of [["from-left", false, counted], ["from-left", true, counted], ["short-32-flat", true, DEMO]]) {
    const { page, errors } = await fromAbove(id);
    if (hand) {
      await page.locator("label.chip", { hasText: "Left-handed" }).click();
      await page.waitForLoadState("networkidle");
    }
    const { x, y, board } = await measures(page, "Stroke 1, from board");
    assert.equal(board > 0, id === "from-left", "board 1 is at the gutter it counts from");
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 3 * board, y, { steps: 3 });
    await page.mouse.up();
    await textIs(page, whole.replace("[2, 38]", "[5, 38]"));
    assert.deepEqual(errors, []);
    await closePages();
  }
});

test("a reading: its film point by point, and its distance", async () => {
  const film = "name = \"taped\"\nlength_ft = 38\n\n# Near the foul line.\n[[readings]]\nfeet = 8\nboards = [2, 11, 20, 29, 38]\nunits = [10, 40, 50, 40, 10]\n\n[[readings]]\nfeet = 30\nboards = [2, 20, 38]\nunits = [5, 20, 5]\n";
  await ask(app.url, "/before/keep/lane", { id: "taped", text: film });
  const { page, errors } = await fromAbove("taped");
  await knob(page, "Reading 1, at feet").focus();
  await page.keyboard.press("ArrowUp");
  await textIs(page, film.replace("feet = 8", "feet = 8.5"));
  // One point is reached by tab, its neighbours by the arrows.
  assert.equal(await page.locator("#film .knob[tabindex='0']").count(), 1);
  await knob(page, "Film at board 2").focus();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("Shift+ArrowUp");
  const higher = film.replace("feet = 8", "feet = 8.5").replace("[10, 40, 50, 40, 10]", "[10, 51, 50, 40, 10]");
  await textIs(page, higher);
  await knob(page, "Film at board 20").scrollIntoViewIfNeeded();
  const box = await knob(page, "Film at board 20").locator(".grip").boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + 40, { steps: 5 });
  await page.mouse.up();
  const units = Number(await knob(page, "Film at board 20").getAttribute("aria-valuenow"));
  assert.ok(units > 5 && units < 45, `${units}`);
  await textIs(page, higher.replace("51, 50, 40", `51, ${units}, 40`));
  await page.locator("#which").selectOption("1");
  assert.equal(await page.locator("#film .knob").count(), 3);
  await knob(page, "Reading 2, at feet").focus();
  await page.keyboard.press("Home");
  await page.waitForFunction(() => /feet = 9\n/.test(document.getElementById("text").value), undefined, { timeout: 5000 });
  assert.deepEqual(errors, []);
});

test("axe finds nothing on a lane that is taken hold of, by day and dark", async () => {
  for (const [viewport, colorScheme] of [[DESK, "light"], [PHONE, "dark"]]) {
    // The policy of the pages lets no script in from outside; the test looks past it.
    const { page } = await fromAbove("house-40-walled", { viewport, colorScheme, more: { bypassCSP: true } });
    await page.evaluate(AXE);
    const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
    assert.deepEqual(found.violations.map((one) => [one.id, one.nodes.map((node) => node.html)]), []);
    await closePages();
  }
});
