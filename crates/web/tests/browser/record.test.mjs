// The record, checked and copied from the app.

import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { begin, close, open, serve } from "./app.mjs";

let app;
before(async () => {
  app = await serve();
  await begin(app.url);
});
after(async () => {
  await close();
  await app.clear();
});

test("the record is checked and copied by two buttons", async () => {
  const { page, context } = await open(`${app.url}/devices`);
  const said = page.locator("#record-said");
  await page.getByRole("button", { name: "Check it" }).click();
  await said.filter({ hasText: "The record is whole" }).waitFor();
  assert.match(await said.textContent(), /whole: \d+ facts on 1 sheet\./);
  await page.getByRole("button", { name: "Make a backup" }).click();
  await said.filter({ hasText: "Latest backup" }).waitFor();
  const folder = (await said.textContent()).match(/Latest backup: (.*)\.$/)[1];
  for (const part of ["boardwise.record", "contents.json"]) {
    assert.ok(existsSync(join(folder, part)), `${part} is in ${folder}`);
  }
  await context.close();
});
