// A coach looks on from a device of the network: all of it as it happens, and nothing of it to change.

import assert from "node:assert/strict";
import { networkInterfaces } from "node:os";
import { after, before, test } from "node:test";
import { ask, begin, close, open, serve } from "./app.mjs";

const here = Object.values(networkInterfaces()).flat().some((one) => one && !one.internal && one.family === "IPv4");
let app;
before(async () => {
  app = await serve({ more: ["--network"] });
  await begin(app.url);
});
after(async () => {
  await close();
  await app.clear();
});

test("a coach looks on, live, until the bowler takes it back", { skip: here ? false : "this machine is in no network" }, async () => {
  const bowler = await open(`${app.url}/devices`);
  await bowler.page.locator("#coach summary").click();
  const code = await bowler.page.locator("#coach strong").first().textContent();
  const address = await bowler.page.locator("#coach code").first().textContent();
  await bowler.page.screenshot({ path: process.env.SHOTS ? `${process.env.SHOTS}/devices.png` : undefined, fullPage: true });

  const coach = await open(`${address}#${code.replace(" ", "")}`);
  await coach.page.getByLabel("What to call this device").fill("coach");
  await coach.page.getByRole("button", { name: "Pair" }).click();
  await coach.page.waitForURL(/\/lanes/);
  await coach.page.getByText("You look on").waitFor();
  await coach.page.locator("#say").filter({ hasText: /\w/ }).waitFor({ timeout: 30_000 });
  for (const hidden of ["#deck", "#done", "#undo", "#more", "#other-throw"]) {
    assert.equal(await coach.page.locator(hidden).isVisible(), false, hidden);
  }
  // What the bowler logs is there without a touch.
  assert.equal((await ask(app.url, "/lanes/shot", { key: "first", pins: "10" })).status, 200);
  await coach.page.locator('#frames [data-frame="1"] .signs').filter({ hasText: "9" }).waitFor({ timeout: 10_000 });
  await coach.page.screenshot({ path: process.env.SHOTS ? `${process.env.SHOTS}/coach.png` : undefined });
  const refused = await coach.page.evaluate(async () => {
    const body = JSON.stringify({ key: "second", pins: "none" });
    const answer = await fetch("/lanes/shot", { method: "POST", headers: { "Content-Type": "application/json" }, body });
    return [answer.status, await answer.text()];
  });
  assert.equal(refused[0], 403);
  assert.match(refused[1], /looks on/);
  assert.deepEqual(coach.errors, []);

  await bowler.page.reload();
  await bowler.page.getByText("looks on since").waitFor();
  await bowler.page.getByRole("button", { name: /Forget/ }).click();
  await bowler.page.getByText("looks on since").waitFor({ state: "detached" });
  await coach.page.reload();
  await coach.page.getByRole("heading", { name: "Pair this device" }).waitFor();
});
