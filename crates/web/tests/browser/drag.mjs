// How long a hand in the throw lab waits for its picture: from the pointer's move to the painted frame that shows the throw of that place.
// Each move waits for the picture of the one before. `node drag.mjs [RUNS]`; the best of several runs is what the program can do, the rest is the machine.

import { loadavg } from "node:os";
import { close, closePages, DESK, open, serve } from "./app.mjs";

const RUNS = Number(process.argv[2] ?? 3);
const MOVES = 200;
const TWO_BALLS = "ball=demo/as-it-is/strong-solid&ball=demo/as-it-is/weak-pearl";
const QUESTIONS = {
  "one ball": "lane=house-40-walled&ball=demo/as-it-is/strong-solid",
  "two balls": `lane=house-40-walled&${TWO_BALLS}`,
  "two balls, two lanes": `lane=house-40-walled&lane=short-32-flat&${TWO_BALLS}`,
};

async function drag(url, question) {
  const { page } = await open(`${url}/lab?${question}&laydown=20&target=13`, { viewport: DESK });
  await page.waitForSelector(".told");
  await page.waitForTimeout(500);
  const box = await page.locator(".handle .grip").first().boundingBox();
  let [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  const took = [];
  for (let k = 0; k < MOVES; k++) {
    await page.evaluate(() => {
      window.painted = new Promise((done) => {
        let from = 0;
        addEventListener("pointermove", () => { from = performance.now(); }, { capture: true, once: true });
        // What moves under the hand at once is the handle; the picture is anything else that is put in.
        const watch = new MutationObserver((all) => {
          if (!from || !all.some((one) => one.addedNodes.length > 0 && !one.target.closest(".hands"))) return;
          watch.disconnect();
          requestAnimationFrame(() => {
            const after = new MessageChannel();
            after.port1.onmessage = () => done(performance.now() - from);
            after.port2.postMessage(0);
          });
        });
        watch.observe(document.getElementById("lanes"), { childList: true, subtree: true });
      });
    });
    y += k % 40 < 20 ? -1.6 : 1.6;
    await page.mouse.move(x, y);
    took.push(await page.evaluate(() => window.painted));
  }
  await page.mouse.up();
  await closePages();
  return took.sort((a, b) => a - b);
}

const app = await serve();
for (const [name, question] of Object.entries(QUESTIONS)) {
  for (let run = 0; run < RUNS; run++) {
    const took = await drag(app.url, question);
    const at = (share) => took[Math.floor(share * MOVES)].toFixed(0);
    console.log(`${name}: half within ${at(0.5)} ms, 95 in 100 within ${at(0.95)} ms, most ${at(0.999)} ms; load ${loadavg()[0].toFixed(1)}`);
  }
}
await close();
await app.clear();
