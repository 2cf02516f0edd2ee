// The card at the lanes: it shows what it records, the bowler has the last word, and nothing that was tapped is lost.

import assert from "node:assert/strict";
import { test } from "node:test";
import { ask, begin, DESK, open, PHONE, served, SMALL_PHONE } from "./app.mjs";

const app = await served();

const sent = (page) => page.waitForFunction(() => Object.keys(localStorage).every((name) => !name.startsWith("boardwise.out.")));
const shots = async () => (await ask(app.url, "/lanes/state")).said.sheet.deliveries;
const screen = async () => (await ask(app.url, "/lanes/screen")).said;
const reads = (page, path, words) => page.waitForFunction(([at, text]) => document.querySelector(at)?.textContent?.includes(text), [path, words], { timeout: 60_000 });

async function block(more = {}, balls = []) {
  await begin(app.url);
  for (const [k, pins] of balls.entries()) await ask(app.url, "/lanes/shot", { key: `${Math.random()}${k}`.slice(2), pins });
  const opened = await open(`${app.url}/lanes`, more);
  await opened.page.waitForSelector("#lane svg", { timeout: 60_000 });
  return opened;
}

test("undo after a choice takes back the choice, not the ball before it, and says so", async () => {
  const { page, errors } = await block({}, ["none"]);
  await page.waitForSelector("#choices button", { timeout: 60_000 });
  const before = (await screen()).lanes;
  await page.locator("#choices button", { hasText: "Same again" }).or(page.locator("#choices button")).last().click();
  await sent(page);
  await page.waitForFunction(() => /^(move|change|surface)/.test(document.querySelector("#undoes")?.textContent ?? ""));
  const named = await page.textContent("#undoes");
  await page.click("#undo");
  await sent(page);
  await reads(page, "#said", `Taken back: ${named}`);
  assert.equal((await shots()).length, 1, "the ball stays");
  assert.deepEqual((await screen()).lanes, before, "the line is back");
  assert.equal(await page.textContent("#undoes"), "strike, frame 1");
  assert.deepEqual(errors, []);
});

test("all that a choice holds is sent and shown: line, speed, rotation, ball and surface", async () => {
  const { page } = await open(undefined, { viewport: PHONE });
  let made;
  await page.route("**/lanes/next", async (route) => {
    const said = await (await route.fetch()).json();
    made ??= { ...said.choices[0], kind: "surface", on_card: 2, ball: said.ball, surface: { grit: 3000 }, say: "Sand to 3000: slide 30, look at 9",
      line: { laydown: said.line.laydown + 2, arrows: said.line.arrows + 1, speed_mph: said.line.speed_mph, rotation_deg: said.line.rotation_deg + 4 } };
    said.choices = [...said.choices.map((one) => ({ ...one, on_card: one.kind === "stay" ? 1 : null })), made];
    await route.fulfill({ json: said });
  });
  await begin(app.url);
  await page.goto(`${app.url}/lanes`);
  await page.click("#choices button", { timeout: 60_000 });
  await sent(page);
  const said = await screen();
  const line = said.lanes.find((one) => one.lane === said.lane);
  const { laydown, arrows, speed_mph, rotation_deg } = line;
  assert.deepEqual({ laydown, arrows, speed_mph, rotation_deg }, made.line);
  assert.equal(said.balls.find((one) => one.id === said.in_hand).surface, "sanded to 3000");
  await reads(page, "#now", `rotation ${made.line.rotation_deg.toFixed(0)}`);
  await reads(page, "#undoes", "surface of");
});

test("what was thrown instead is one tap away, is recorded and is shown", async () => {
  const { page, errors } = await block();
  const { throwing, lane, lanes } = await screen();
  const up = lanes.findIndex((one) => one.lane === lane);
  await page.click("#other-throw");
  await page.click("[data-of='slide'][data-step='1']");
  await page.click("[data-of='slide'][data-step='1']");
  await page.click("[data-of='look'][data-step='-1']");
  await page.locator("#own-balls label", { hasText: "strong solid" }).click();
  await page.click("#own summary");
  await page.selectOption("#own-surface", "2000");
  assert.ok(await page.isVisible("#mind-surface"), "the caution stands beside it");
  await page.click("[data-of='own-speed'][data-step='-0.5']");
  assert.ok(await page.isVisible("#mind-hand"));
  await page.click("#own [type=submit]");
  await sent(page);
  const said = await screen();
  assert.equal(said.in_hand, "strong-solid");
  assert.equal(said.balls.find((one) => one.id === "strong-solid").surface, "sanded to 2000");
  assert.ok(Math.abs(said.throwing[up].slide_board - throwing[up].slide_board - 2) < 0.3, "slide");
  assert.ok(Math.abs(said.throwing[up].look_board - throwing[up].look_board + 1) < 0.3, "look");
  assert.equal(said.throwing[up].usual_hand, false);
  assert.deepEqual(said.throwing[1 - up], throwing[1 - up], "the other lane stays");
  await reads(page, "#now", "strong solid, slide");
  await page.click("#undo");
  await sent(page);
  const back = await screen();
  assert.deepEqual([back.in_hand, back.throwing], ["urethane-dull", throwing]);
  assert.deepEqual(errors, []);
});

test("a frame on the strip opens that frame, and any older ball is put right there", async () => {
  const { page, errors } = await block({}, ["none", "10", "none", "4-7", "all"]);
  await page.click("#frames li[data-frame='3'] button");
  await reads(page, "#frame-title", "Game 1, frame 3");
  await page.click("#frame-before");
  await reads(page, "#frame-title", "Game 1, frame 2");
  await reads(page, "#frame-balls", "Ball 1: 10 stood");
  await page.click("#frame-deck button:text-is('10')");
  await page.click("#frame-deck button:text-is('7')");
  await page.selectOption("#frame-hit", "light");
  await page.click("#right [type=submit]");
  await sent(page);
  await reads(page, "#undoes", "correction of 7 stands, frame 2");
  const [, second] = await shots();
  assert.deepEqual([second.pins, second.hit], [[7], "light"]);
  await page.click("#undo");
  await sent(page);
  await reads(page, "#said", "Taken back: correction");
  assert.deepEqual((await shots())[1].pins, [10]);
  assert.deepEqual(errors, []);
});

test("a ball with a detail that cannot be says why, in sight, and its pins are logged alone", async () => {
  const { page } = await block({ viewport: SMALL_PHONE });
  await page.click("#more");
  await page.fill("#arrows", "80");
  await page.click("#down");
  await page.click("#done");
  assert.equal(await page.evaluate(() => document.querySelector("#details").checkValidity()), false, "said before it is sent");
  // What an older page or another hand sends all the same.
  await page.evaluate(() => { /** @type {any} */ (document.querySelector("#details")).noValidate = true; for (const one of document.querySelectorAll("#arrows")) one.removeAttribute("max"); });
  await page.click("#done");
  await page.waitForSelector("#refused:not([hidden])");
  assert.match(await page.textContent("#refused"), /not logged: .*39\.5/);
  const box = await page.locator("#refused").boundingBox();
  assert.ok(box.y >= 0 && box.y + box.height <= SMALL_PHONE.height, "the notice is in sight");
  await page.click("#refused button:has-text('Log the pins alone')");
  await sent(page);
  await page.waitForSelector("#refused", { state: "hidden" });
  assert.deepEqual((await shots()).map((one) => one.pins), [[]]);
});

test("a full store of the browser swallows no tap", async () => {
  const { page } = await block();
  await page.evaluate(() => {
    for (let size = 2_000_000; size >= 1; size = Math.floor(size / 2)) {
      for (let k = 0; k < 40; k++) {
        try {
          localStorage.setItem(`fill-${size}-${k}`, "x".repeat(size));
        } catch {
          break;
        }
      }
    }
  });
  const logged = page.waitForResponse((answer) => answer.url().endsWith("/lanes/shot") && answer.ok());
  await page.click("#down");
  await page.click("#done");
  await logged;
  assert.equal((await shots()).length, 1);
  await page.waitForFunction(() => document.querySelector("#frames li[data-frame='1'] .signs").textContent === "X");
});

test("spares are logged with the ball for spares, unless another is said", async () => {
  const { page } = await block();
  await page.click("[data-pin='10']");
  await page.click("#done");
  await sent(page);
  await reads(page, "#now", "plastic");
  await page.click("#down");
  await page.click("#done");
  await sent(page);
  const [first, second] = await shots();
  assert.match(second.ball, /plastic/);
  assert.doesNotMatch(first.ball, /plastic/);
  assert.equal((await screen()).in_hand, "urethane-dull", "the ball in hand stays");
});

test("the picture shows what the card says: the move it says, and the line of the spare", async () => {
  const { page } = await open(undefined, { viewport: PHONE });
  const asked = [];
  page.on("request", (one) => one.url().includes("/lanes/picture") && asked.push(new URL(one.url()).searchParams));
  await page.route("**/lanes/next", async (route) => {
    const said = await (await route.fetch()).json();
    const move = said.choices?.find((one) => one.kind === "move");
    if (move) Object.assign(said, { verdict: "change", say: move.say, choices: [{ ...move, on_card: 1 }] });
    await route.fulfill({ json: said });
  });
  await begin(app.url);
  await page.goto(`${app.url}/lanes`);
  await page.waitForSelector("#lane .before", { timeout: 60_000 });
  assert.ok(await page.locator("#lane .move").count() >= 1, "arrows lead from the old line to the new");
  assert.ok(await page.isVisible("#take"));
  await page.click("[data-pin='10']");
  await page.click("#done");
  await reads(page, "#reason", "10 with plastic");
  await page.waitForFunction(() => document.querySelector("#lane title")?.textContent?.includes("spare"), undefined, { timeout: 60_000 });
  assert.equal(asked.at(-1)?.get("spare"), "true");
});

const SIZES = [[360, 640], [360, 740], [390, 844], [740, 360], [844, 390], [768, 1024], [1024, 768], [1280, 800]];
for (const [width, height] of SIZES) {
  test(`card, pins and buttons are in sight together at ${width} by ${height}`, async () => {
    const { page } = await block({ viewport: { width, height } }, ["4-7", "none"]);
    await page.waitForSelector("#choices button", { timeout: 60_000 });
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= width, "nothing runs past the side");
    for (const id of ["say", "other-throw", "deck", "down", "done", "undo"]) {
      const box = await page.locator(`#${id}`).boundingBox();
      assert.ok(box.y >= 0 && box.y + box.height <= height && box.x >= 0 && box.x + box.width <= width, `${id} is in sight`);
    }
    const [card, deck] = [await page.locator("#card").boundingBox(), await page.locator("#deck").boundingBox()];
    if (width > height) assert.ok(card.x + card.width <= deck.x, "side by side");
  });
}

for (const viewport of [PHONE, DESK]) {
  test(`with text twice as large everything is read and reached at ${viewport.width} by ${viewport.height}`, async () => {
    const { page } = await block({ viewport }, ["4-7", "none"]);
    await page.evaluate(() => { document.documentElement.style.fontSize = "32px"; });
    await page.waitForTimeout(200);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= viewport.width, "nothing runs past the side");
    const size = await page.evaluate(() => Number.parseFloat(getComputedStyle(document.querySelector("#reason")).fontSize));
    assert.equal(size, 32);
    for (const id of ["say", "reason", "other-throw", "undo", "down", "done"]) {
      await page.evaluate((of) => document.getElementById(of).scrollIntoView({ block: "center" }), id);
      const box = await page.locator(`#${id}`).boundingBox();
      assert.ok(box.y >= 0 && box.y + box.height <= viewport.height && box.x + box.width <= viewport.width, id);
    }
    for (const id of ["undo", "down", "done"]) {
      const cut = await page.evaluate((of) => { const one = document.getElementById(of); return one.scrollWidth - one.clientWidth; }, id);
      assert.ok(cut <= 0, `${id} is not cut off`);
    }
  });
}

test("keys alone take a choice, throw something else and open a frame", async () => {
  const { page } = await block({}, ["none"]);
  await page.focus("#other-throw");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#else[open]");
  await page.keyboard.press("Escape");
  await page.waitForSelector("#else:not([open])", { state: "attached" });
  assert.equal(await page.evaluate(() => document.activeElement.id), "other-throw", "back to where it was opened");
  await page.focus("#frames li[data-frame='1'] button");
  await page.keyboard.press("Enter");
  await reads(page, "#frame-title", "Game 1, frame 1");
  await page.keyboard.press("Escape");
  await page.focus("#choices button");
  await page.keyboard.press("Enter");
  await reads(page, "#said", "");
});
