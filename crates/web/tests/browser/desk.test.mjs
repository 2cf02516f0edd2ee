// The pages of the desk, each walked once as its user would: before the block, the throw lab, after it.

import assert from "node:assert/strict";
import { test } from "node:test";
import { ask, begin, closePages, DESK, open, PHONE, served } from "./app.mjs";

const app = await served();

/** What is read once it no longer changes. */
async function quiet(read) {
  for (let last = await read(), same = 0; ;) {
    await new Promise((done) => setTimeout(done, 100));
    const now = await read();
    same = now === last ? same + 1 : 0;
    if (same === 8) return now;
    last = now;
  }
}

const settled = (page) => page.waitForLoadState("networkidle").catch(() => {});

for (const [size, viewport] of [["phone", PHONE], ["desk", DESK]]) {
  test(`no page is wider than the ${size}, and none has an error`, async () => {
    for (const path of ["/before", "/before/kit/lane/short-32-flat", "/before/kit/bag/demo", "/before/bag", "/lab", "/after", "/devices", "/pair"]) {
      const { page, errors } = await open(app.url + path, { viewport });
      await settled(page);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= viewport.width, `${path} is ${wide} wide`);
      assert.deepEqual(errors, [], path);
      await closePages();
    }
  });
}

test("the lab: a slider by keys changes path and numbers, and the address keeps it", async () => {
  const { page, errors } = await open(`${app.url}/lab`, { viewport: DESK });
  await settled(page);
  const strikes = () => page.locator("main").innerText();
  const first = await strikes();
  const slider = page.locator("input[type=range]").first();
  await slider.focus();
  for (let k = 0; k < 10; k++) await page.keyboard.press("ArrowRight");
  await page.waitForURL(/laydown=18(&|$)/);
  const moved = await quiet(strikes);
  assert.notEqual(moved, first);
  await page.reload();
  await settled(page);
  await page.waitForFunction((wanted) => document.querySelector("main").innerText === wanted, moved);
  assert.deepEqual(errors, []);
});

test("before: a lane is kept under a name of one's own, and what is wrong with one is said", async () => {
  const demo = await (await fetch(`${app.url}/before/kit/lane/short-32-flat`)).text();
  assert.match(demo, /strokes/);
  const broken = await ask(app.url, "/before/keep/lane", { id: "mine", text: "name = 3\n" });
  assert.equal(broken.status, 422);
  assert.match(broken.said.error, /line 1/);
  const traversal = await ask(app.url, "/before/keep/lane", { id: "../../mine", text: "name = \"x\"\n" });
  assert.ok(traversal.status >= 400 && traversal.status < 500, `${traversal.status}`);
});

test("before: the practice plan says what to throw and what each outcome means, and a reload shows it again", async () => {
  const { page, errors } = await open(`${app.url}/before/practice`, { viewport: DESK });
  await page.getByLabel(/Throws on the pair/).fill("6");
  await page.locator("#question button[type=submit]").click();
  await page.waitForSelector("#answer[data-state='done'] table", { timeout: 120_000 });
  const heads = await page.locator("#answer th").allInnerTexts();
  for (const head of ["lane", "ball", "laydown", "target", "comes in", "teaches", "if higher", "if lighter"]) assert.ok(heads.includes(head), head);
  const rows = await page.locator("#answer tbody tr").evaluateAll((all) => all.map((row) => Object.fromEntries(
    Array.from(row.children, (cell) => [cell.getAttribute("data-label"), cell.textContent.trim()]),
  )));
  assert.equal(rows.length, 6);
  assert.equal(new Set(rows.map((row) => row.lane)).size, 2, "both lanes are thrown on");
  const throws = new Set(rows.map((row) => [row.ball, row.laydown, row.target].join(" ")));
  assert.ok(throws.size >= 2, "what teaches as much is not the same line again and again");
  for (const row of rows) {
    assert.match(row["comes in"], /^-?[\d.]+ ± [\d.]+$/);
    for (const outcome of ["if higher", "if lighter"]) assert.match(row[outcome], /in|out|stay|same|-/i, `${outcome}: ${row[outcome]}`);
  }
  assert.ok(rows.some((row) => row["if higher"] !== row["if lighter"]), "outcomes ask for different moves");
  const text = await page.locator("#answer").innerText();
  assert.match(text, /the move it asks for/);
  assert.match(text, /Never step past the foul line/);
  await page.reload();
  await page.waitForSelector("#answer[data-state='done'] table", { timeout: 60_000 });
  assert.deepEqual(errors, []);
});

test("before: a long question is stopped by its button, says so, and can be asked again", async () => {
  const { page, errors } = await open(`${app.url}/before/block?event=short-32-squad&runs=100`, { viewport: DESK });
  await page.locator("#question button[type=submit]").click();
  await page.waitForSelector("#answer[data-state='running'] #stop", { timeout: 60_000 });
  await page.getByRole("button", { name: "Stop" }).click();
  await page.waitForSelector("#answer[data-state='stopped']");
  assert.match(await page.locator("#answer").innerText(), /Stopped/);
  // The one after it is not kept waiting by it.
  const { page: other } = await open(`${app.url}/before/practice?event=short-32-squad&shots=1`, { viewport: DESK });
  await other.locator("#question button[type=submit]").click();
  await other.waitForSelector("#answer[data-state='done'] table", { timeout: 120_000 });
  await page.locator("#question button[type=submit]").click();
  await page.waitForSelector("#answer[data-state='running'] #stop", { timeout: 60_000 });
  await page.locator("#stop").focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector("#answer[data-state='stopped']");
  assert.deepEqual(errors, []);
});

test("after: a block's sheet, shots and account stand on its page; a hostile note is text; the handout is a PDF", async () => {
  await begin(app.url);
  const note = "<img src=x onerror=document.title=1>";
  const balls = [["none"], ["10", { hit: "light", arrows: 9 }], ["none"], ["none", { hit: "pocket", note }], ["3-10"], ["10"]];
  for (const [k, [pins, more]] of balls.entries()) {
    const { status, said } = await ask(app.url, "/lanes/shot", { key: `after-${k}`, pins, ...more });
    assert.equal(status, 200, JSON.stringify(said));
  }
  const { page, errors } = await open(`${app.url}/after`, { viewport: DESK });
  await page.waitForFunction(() => /execution/i.test(document.querySelector("main").innerText), undefined, { timeout: 120_000 });
  await page.click(".rest > summary");
  const text = await page.innerText("main");
  assert.match(text, /luck/i);
  assert.ok(text.includes(note), "the note stands there as it was typed");
  assert.equal(await page.locator("main img[src='x']").count(), 0);
  assert.deepEqual(errors, []);
  const link = (await page.locator("a[href*='/after/handout']").first().getAttribute("href")).replace("/after/handout", "/after/handout.pdf");
  const handout = await fetch(new URL(link, app.url));
  assert.equal(handout.status, 200);
  assert.equal(Buffer.from(await handout.arrayBuffer()).subarray(0, 5).toString(), "%PDF-");
});
