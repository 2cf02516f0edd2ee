// The machine that serves changes its address while shots wait on a phone.

import assert from "node:assert/strict";
import { test } from "node:test";
import { ask, begin, close, open, serve } from "./app.mjs";

test("shots that wait are logged once each after the server's address has changed", async () => {
  const app = await serve();
  await begin(app.url);
  // Two addresses of one machine are two places to a browser.
  const { page, errors } = await open(`http://localhost:${app.port}/lanes`);
  await page.waitForSelector("#bowl:not([hidden])");
  await app.stop("SIGKILL");
  for (let k = 0; k < 5; k++) {
    await page.click("#down");
    await page.click("#done");
  }
  await page.waitForSelector("#moved:not([hidden])", { timeout: 30_000 });
  const there = await serve({ folder: app.folder });
  await page.fill("#there", "not an address");
  await page.click("#moved button");
  assert.match(await page.textContent("#unmoved"), /no address/);
  await page.fill("#there", `127.0.0.1:${there.port}`);
  await page.click("#moved button");
  await page.waitForURL(`http://127.0.0.1:${there.port}/lanes**`);
  assert.match(await page.textContent("#carried p"), /^5 entries from localhost/);
  const before = (await ask(there.url, "/lanes/state")).said;
  assert.equal(before.sheet.deliveries.length, 0, "nothing is logged before its owner says so");
  await page.click("#carried button");
  await page.waitForFunction(() => Object.keys(localStorage).every((name) => !name.startsWith("boardwise.out.")), undefined, { timeout: 30_000 });
  const { said } = await ask(there.url, "/lanes/state");
  assert.equal(said.sheet.deliveries.length, 5);
  assert.deepEqual(errors, []);
  await close();
  await there.clear();
});
