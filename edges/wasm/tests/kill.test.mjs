// The browser killed at random instants while shots are logged: what was acknowledged is there when it is opened again, once each.
// 20 kills; KILLS=200 for the long run.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { after, before, test } from "node:test";
import { ask, browser, clear, folder, host, open, write } from "./phone.mjs";

const KILLS = Number(process.env.KILLS ?? 20);
const files = folder();
const profile = folder();
let served;

before(async () => {
  write(files);
  served = await host(files);
});
after(async () => {
  await served.stop();
  clear(files);
  clear(profile);
});

/** The browser of this profile and everything it started, gone at once. */
function kill() {
  const lines = execFileSync("ps", ["-eo", "pid=,args="], { encoding: "utf8", maxBuffer: 1e8 }).split("\n");
  for (const line of lines) {
    if (!line.includes(profile)) continue;
    try {
      process.kill(Number(line.trim().split(" ")[0]), "SIGKILL");
    } catch {
      // It went with its parent.
    }
  }
}

test(`${KILLS} kills at random instants lose nothing that was acknowledged`, { timeout: 60_000 * KILLS }, async () => {
  let context = await browser(profile);
  let { inside } = await open(context, served.url);
  const begun = await ask(inside, "/lanes/start", { event: "short-32-squad", counting: "nothing" });
  assert.equal(begun.status, 200, JSON.stringify(begun.said));
  const acknowledged = [];
  const tried = [];
  let unanswered = 0;
  for (let round = 0; round < KILLS; round++) {
    let stop = false;
    const logging = (async () => {
      for (let k = 0; !stop; k++) {
        const key = `r${round}-${k}`;
        tried.push(key);
        const { status } = await ask(inside, "/lanes/shot", { key, pins: k % 3 ? "none" : "10" });
        if (status === 200) acknowledged.push(key);
      }
    })().catch(() => { unanswered++; });
    await new Promise((go) => setTimeout(go, 200 + Math.random() * 1500));
    kill();
    stop = true;
    await Promise.race([logging, new Promise((go) => setTimeout(go, 5000))]);
    await context.close().catch(() => {});
    context = await browser(profile);
    ({ inside } = await open(context, served.url));
    const { said } = await ask(inside, "/lanes/state");
    const there = said.sheet.deliveries.map((shot) => shot.key);
    assert.equal(new Set(there).size, there.length, "a shot is there twice");
    for (const key of acknowledged) assert.ok(there.includes(key), `${key} was acknowledged and is gone after kill ${round + 1}`);
    for (const key of there) assert.ok(tried.includes(key), `nobody logged ${key}`);
  }
  await context.close();
  console.log(`${KILLS} kills, ${acknowledged.length} shots acknowledged, ${tried.length} tried, ${unanswered} rounds ended without an answer`);
  assert.ok(unanswered > 0, "no kill hit a question on its way");
});
