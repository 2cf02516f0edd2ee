// Fifty devices log on one server at once: how long each waits. `node crowd.mjs [DEVICES] [SHOTS]`. A measurement, no test.

import { ask, begin, serve } from "./app.mjs";

const [devices, shots] = [Number(process.argv[2] ?? 50), Number(process.argv[3] ?? 20)];
const app = await serve();
await begin(app.url, { counting: "nothing" });
const waits = [];
await Promise.all(Array.from({ length: devices }, async (_, device) => {
  for (let k = 0; k < shots; k++) {
    // A bowler logs once in half a minute at most; here each waits a tenth of a second.
    await new Promise((done) => setTimeout(done, 100 * Math.random()));
    const start = performance.now();
    const { status } = await ask(app.url, "/lanes/shot", { key: `${device}-${k}`, pins: "10" });
    if (status !== 200) throw new Error(`status ${status}`);
    waits.push(performance.now() - start);
  }
}));
waits.sort((a, b) => a - b);
const at = (share) => waits[Math.floor(share * (waits.length - 1))].toFixed(1);
const { said } = await ask(app.url, "/lanes/state");
console.log(`${devices} devices, ${waits.length} shots: median ${at(0.5)} ms, p95 ${at(0.95)}, p99 ${at(0.99)}, worst ${at(1)}`);
console.log(`on the sheet: ${said.sheet.deliveries.length}`);
await app.clear();
