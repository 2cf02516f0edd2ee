// The first minute: from the first opening to the first card, in touches; a sheet of one's own; the brief.

import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { after, afterEach, test } from "node:test";
import { ask, close, closePages, DESK, open, serve } from "./app.mjs";

const AXE = readFileSync(new URL("node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const PHONE = { width: 390, height: 844 };
/** Where pictures go for whoever wants to look. */
const SHOWN = process.env.BOARDWISE_PICTURES;

const apps = [];
async function fresh() {
  const app = await serve();
  apps.push(app);
  return app;
}
afterEach(closePages);
after(async () => {
  await close();
  for (const app of apps) await app.clear();
});

async function shown(page, name) {
  if (!SHOWN) return;
  mkdirSync(SHOWN, { recursive: true });
  await page.screenshot({ path: join(SHOWN, `${name}.png`), fullPage: true });
}

async function violations(page) {
  await page.evaluate(AXE);
  const found = await page.evaluate(async () => {
    const rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
    return (await globalThis.axe.run(document, { runOnly: rules })).violations;
  });
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(" ")).join(", ")}`);
}

/** Whether the page is wider than the screen. */
const overflows = (page) => page.evaluate(() => document.documentElement.scrollWidth > innerWidth);

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`from the first opening to the first card in eight touches and a minute, on ${size}, ${colorScheme}`, async () => {
      const app = await fresh();
      const started = performance.now();
      const { page, errors } = await open(`${app.url}/`, { viewport, colorScheme, more: { bypassCSP: true } });
      assert.equal(new URL(page.url()).pathname, "/first", "somebody new is asked who they are");
      assert.equal(await overflows(page), false);
      assert.deepEqual(await violations(page), []);
      await shown(page, `first-${size}-${colorScheme}`);
      let touches = 0;
      const touch = async (what) => {
        touches += 1;
        await what;
      };
      await touch(page.getByText("Right hand", { exact: true }).click());
      await touch(page.getByText("A steady curve").click());
      await touch(page.getByText("House pattern").click());
      await touch(page.getByText("11\u201312").click());
      assert.equal(await page.locator("#sum").textContent(), "Right hand, a steady curve, House pattern, lanes 11 and 12.");
      await shown(page, `first-answered-${size}-${colorScheme}`);
      await touch(page.getByRole("button", { name: "To the lanes" }).click());
      await page.waitForURL("**/lanes", { timeout: 60_000 });
      await page.waitForSelector("#card:not(.thinking) #say:not(:empty)", { timeout: 60_000 });
      const seconds = (performance.now() - started) / 1000;
      console.log(`first card on ${size}: ${touches} touches, ${seconds.toFixed(1)} s without a person's time`);
      assert.ok(touches <= 8, `${touches} touches`);
      assert.ok(seconds < 60, `${seconds} s`);
      const said = await page.locator("#say").textContent();
      assert.match(said, /\w/);
      await shown(page, `first-card-${size}-${colorScheme}`);
      assert.deepEqual(errors, []);
      // Whoever comes back is at the lanes, with a kit of their own before the demo's.
      await page.goto(`${app.url}/`);
      assert.equal(new URL(page.url()).pathname, "/lanes");
      const offered = await page.locator("#event option").allTextContents();
      assert.ok(!offered[0].includes("demo"), offered.join());
      for (const path of ["/before/brief", "/before/bag"]) {
        await page.goto(app.url + path);
        assert.equal(await page.locator("#event").inputValue(), "house-11-12", path);
      }
    });
  }
}

test("a sheet of one's own is typed row by row, and a mistake names its row", async () => {
  const app = await fresh();
  const { page, errors } = await open(`${app.url}/first`, { viewport: PHONE, more: { bypassCSP: true } });
  await page.getByText("Left hand", { exact: true }).click();
  await page.getByText("A strong hook").click();
  await page.getByText("My own sheet").click();
  await page.getByText("1\u20132", { exact: true }).click();
  await page.waitForSelector("#sheet-picture svg");
  const row = (k) => page.locator(".sheet-row").nth(k);
  await row(0).locator("[name=loads]").fill("3");
  await row(0).locator("[name=end]").fill("18");
  await page.getByRole("button", { name: "Add a row" }).click();
  assert.equal(await row(1).locator("[name=start]").inputValue(), "18", "it goes on where the row before ended");
  await row(1).locator("[name=from]").fill("40L");
  await page.waitForFunction(() => document.getElementById("sheet-wrong").textContent.startsWith("Row 2: "));
  assert.equal(await page.locator("#begin-first").isDisabled(), true);
  await shown(page, "sheet-wrong");
  // A back row as printed, the far end first.
  await row(1).locator("[name=from]").fill("10L");
  await row(1).locator("[name=to]").fill("10R");
  await row(1).locator("[name=loads]").fill("5");
  await row(1).locator("[name=start]").fill("38");
  await row(1).locator("[name=end]").fill("6");
  await row(1).locator("[name=direction]").selectOption("back");
  // 3 loads on 37 boards and 5 on 21, 50 microlitres each.
  const ml = (3 * 37 * 50 + 5 * 21 * 50) / 1000;
  await page.waitForFunction((words) => document.getElementById("laid").textContent.startsWith(words), `${ml.toFixed(1)} mL over 38 ft`);
  assert.deepEqual(await violations(page), []);
  assert.equal(await overflows(page), false);
  await shown(page, "sheet-typed");
  await page.getByRole("button", { name: "To the lanes" }).click();
  await page.waitForURL("**/lanes", { timeout: 60_000 });
  await page.waitForSelector("#card:not(.thinking) #say:not(:empty)", { timeout: 60_000 });
  assert.deepEqual(readdirSync(join(app.folder, "kit", "lane")), ["my-sheet.toml"]);
  const kept = readFileSync(join(app.folder, "kit", "lane", "my-sheet.toml"), "utf8");
  assert.ok(kept.includes("feet = [38, 6]") && kept.includes("direction = \"back\""), kept);
  // The next time, one's hand and sheet are offered as they were.
  await page.goto(`${app.url}/first`);
  assert.equal(await page.getByText("Left-handed bowler").count(), 1);
  assert.equal(await page.locator("label.tile", { hasText: "My sheet" }).count(), 1);
  await page.getByText("Left-handed bowler").click();
  await page.locator("label.tile", { hasText: "My sheet" }).click();
  await page.getByText("3\u20134", { exact: true }).click();
  assert.equal(await page.locator("#begin-first").isDisabled(), false);
  assert.deepEqual(errors, []);
});

test("a file is opened in place of rows, and what is wrong with it is said", async () => {
  const app = await fresh();
  const { page } = await open(`${app.url}/first`, { viewport: PHONE });
  await page.getByText("My own sheet").click();
  const give = (text) => page.locator("#open-sheet").setInputFiles({ name: "any.toml", mimeType: "text/plain", buffer: Buffer.from(text) });
  await give("name = 3");
  await page.waitForFunction(() => document.getElementById("sheet-wrong").textContent !== "");
  await give("name = \"opened\"\n[[strokes]]\nboards = [2, 38]\nfeet = [0, 40]\nmicrolitres = 20000\ndirection = \"out\"\n");
  await page.waitForFunction(() => document.getElementById("sheet-wrong").textContent === "");
  await page.getByText("Right hand", { exact: true }).click();
  await page.getByText("A steady curve").click();
  await page.getByText("1\u20132", { exact: true }).click();
  await page.waitForFunction(() => !document.getElementById("begin-first").disabled);
});

test("the keyboard alone answers the three questions", async () => {
  const app = await fresh();
  const { page } = await open(`${app.url}/first`, { viewport: DESK });
  for (const [name, value] of [["hand", "right"], ["manner", "steady"], ["lane", "flat"], ["pair", "1-2"]]) {
    await page.locator(`input[name=${name}]`).first().focus();
    for (let k = 0; k < 8 && await page.locator(`input[name=${name}]:checked`).evaluateAll((all) => all[0]?.value) !== value; k++) {
      await page.keyboard.press(k === 0 ? "Space" : "ArrowRight");
    }
  }
  await page.locator("#begin-first").focus();
  await page.keyboard.press("Enter");
  await page.waitForURL("**/lanes", { timeout: 60_000 });
});

test("the brief answers by itself and says the same everywhere: page, JSON, card, practice at the lanes", async () => {
  const app = await fresh();
  const begun = await ask(app.url, "/first", { who: { new: { name: null, hand: "right", manner: "steady" } }, lane: { usual: "house" }, numbers: [11, 12] });
  assert.equal(begun.status, 200, JSON.stringify(begun.said));
  for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
    for (const colorScheme of ["light", "dark"]) {
      const { page, errors } = await open(`${app.url}/before/brief`, { viewport, colorScheme, more: { bypassCSP: true } });
      await page.waitForSelector("#answer[data-state=done] .verdict", { timeout: 120_000 });
      await page.waitForFunction(() => [...document.querySelectorAll("#answer img")].every((one) => one.getClientRects().length === 0 || (one.complete && one.naturalWidth > 0)));
      assert.deepEqual(await violations(page), [], `${size}, ${colorScheme}`);
      assert.equal(await overflows(page), false, size);
      await shown(page, `brief-${size}-${colorScheme}`);
      assert.deepEqual(errors, []);
    }
  }
  const { said } = await ask(app.url, "/before/brief/state");
  const brief = said.answer;
  const { page } = await open(`${app.url}/before/brief`, { viewport: DESK });
  await page.waitForSelector(".verdict");
  assert.equal(await page.locator(".verdict").textContent(), brief.verdict);
  // The line of the first card is the brief's.
  const screen = (await ask(app.url, "/lanes/screen")).said;
  for (const start of brief.starts) {
    const there = screen.lanes.find((one) => one.lane === start.lane);
    assert.deepEqual([there.laydown, there.arrows], [start.line.laydown, start.line.arrows]);
    assert.equal(screen.in_hand, start.ball);
  }
  const practice = await ask(app.url, "/lanes/practice");
  assert.deepEqual(practice.said.shots, brief.practice);
  const paper = await fetch(`${app.url}/before/brief/page.pdf`);
  assert.equal(paper.headers.get("content-type"), "application/pdf");
  console.log(`brief: ${brief.seconds.toFixed(2)} s`);
});
