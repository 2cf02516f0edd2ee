// Fifty devices follow and log one block at once: how long each waits. Each logs every ten seconds or less, three times as often as
// people bowl, hears of every shot of the others, and asks then how the block stands. `node crowd.mjs [DEVICES] [SHOTS]`. A measurement, no test.

import { readFileSync } from "node:fs";
import { ask, begin, serve } from "./app.mjs";

const [devices, shots] = [Number(process.argv[2] ?? 50), Number(process.argv[3] ?? 6)];
const app = await serve();
await begin(app.url, { counting: "nothing" });
const [logs, looks] = [[], []];

/** Seconds of processor time the program has taken; nothing where the system does not tell. */
function programSeconds() {
  try {
    // User and system time in hundredths, the fields after the name (proc(5)).
    const [user, system] = readFileSync(`/proc/${app.program.pid}/stat`, "utf8").split(") ")[1].split(" ").slice(11, 13);
    return (Number(user) + Number(system)) / 100;
  } catch {
    return undefined;
  }
}

const timed = async (waits, work) => {
  const start = performance.now();
  const { status } = await work();
  if (status !== 200) throw new Error(`status ${status}`);
  waits.push(performance.now() - start);
};

/** Follows the block until it is told to stop. */
async function follow(stop) {
  const stream = await fetch(`${app.url}/live`, { signal: stop });
  const words = new TextDecoder();
  try {
    for await (const bytes of stream.body) {
      if (words.decode(bytes).includes("event: block")) await timed(looks, () => ask(app.url, "/lanes/state"));
    }
  } catch (why) {
    if (!stop.aborted) throw why;
  }
}

const [program, mine, start] = [programSeconds(), process.cpuUsage(), performance.now()];
const stop = new AbortController();
const following = Array.from({ length: devices }, () => follow(stop.signal));
await Promise.all(Array.from({ length: devices }, async (_, device) => {
  for (let k = 0; k < shots; k++) {
    await new Promise((done) => setTimeout(done, 10_000 * Math.random()));
    await timed(logs, () => ask(app.url, "/lanes/shot", { key: `${device}-${k}`, pins: "10" }));
  }
}));
stop.abort();
await Promise.all(following);
const used = process.cpuUsage(mine);
const seconds = ((performance.now() - start) / 1000).toFixed(1);
console.log(`in ${seconds} s, processor time: program ${(programSeconds() - program).toFixed(1)} s, ${devices} devices ${((used.user + used.system) / 1e6).toFixed(1)} s`);
for (const [what, waits] of [["shots logged", logs], ["looks at the block", looks]]) {
  waits.sort((a, b) => a - b);
  const at = (share) => waits[Math.floor(share * (waits.length - 1))].toFixed(1);
  console.log(`${devices} devices, ${waits.length} ${what}: median ${at(0.5)} ms, p95 ${at(0.95)}, p99 ${at(0.99)}, worst ${at(1)}`);
}
const { said } = await ask(app.url, "/lanes/state");
console.log(`on the sheet: ${said.sheet.deliveries.length}`);
await app.clear();
