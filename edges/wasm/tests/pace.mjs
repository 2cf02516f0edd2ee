// What a phone's owner waits for, and what it takes: pages from the cache, shots, cards, lines, memory. In a browser without a network.
// SLOW=4 gives the browser every fourth part of the time, so that it is four times slower.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { ask, browser, clear, folder, host, open, write } from "./phone.mjs";

const SLOW = Number(process.env.SLOW ?? 1);
const SHOTS = Number(process.env.SHOTS ?? 8);
/** How long a bowler takes from one ball to the next, ms: what is worked out ahead has that long. */
const PAUSE = Number(process.env.PAUSE ?? 20_000);
const files = folder();
const profile = folder();
write(files);
const served = await host(files);
const context = await browser(profile);

/** Processes of this browser. */
function processes() {
  const lines = execFileSync("ps", ["-eo", "pid=,args="], { encoding: "utf8", maxBuffer: 1e8 }).split("\n");
  return lines.filter((line) => line.includes(profile)).map((line) => ({ pid: Number(line.trim().split(" ")[0]), renders: line.includes("--type=renderer") }));
}

function signal(name) {
  for (const { pid } of stopped) {
    try {
      process.kill(pid, name);
    } catch {
      // It has ended.
    }
  }
}

let stopped = [];
let turn = 0;
const PART_MS = 20;
function slow() {
  stopped = processes().filter(({ renders }) => renders);
  let k = 0;
  turn = setInterval(() => {
    signal(k % SLOW === 0 ? "SIGCONT" : "SIGSTOP");
    k++;
  }, PART_MS);
}
function quick() {
  clearInterval(turn);
  signal("SIGCONT");
}

/** Memory that belongs to a process, MB; shared parts by their share. */
const mb = (pid) => Number(/Pss:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/smaps_rollup`, "utf8"))[1]) / 1024;

async function timed(work) {
  const since = performance.now();
  await work();
  return Math.round(performance.now() - since);
}

/** Times in ms, with the load of the machine: on a busy one they say little. */
const say = (found) => console.log(JSON.stringify({ slow: SLOW, load: readFileSync("/proc/loadavg", "utf8").split(" ")[0], ...found }));

const first = await timed(() => open(context, served.url));
await served.stop();
await context.setOffline(true);
let opened = await open(context, served.url);
if (SLOW > 1) slow();
const { inside } = opened;
const again = await timed(async () => {
  await inside.goto(new URL("/words", served.url).href);
  await inside.waitForSelector("h1", { timeout: 120_000 });
});
const begin = await timed(() => ask(inside, "/lanes/start", { event: "short-32-squad", counting: "nothing" }));
await inside.goto(new URL("/lanes", served.url).href);
const card = () => inside.waitForSelector("#card:not(.thinking) #say:not(:empty)", { timeout: 120_000 });
const firstCard = await timed(card);
const [shots, cards] = [[], []];
for (let k = 0; k < SHOTS; k++) {
  await new Promise((go) => setTimeout(go, PAUSE));
  if (k % 2 === 0) await inside.click("[data-pin='10']");
  else await inside.click("#down");
  await inside.evaluate(() => performance.clearResourceTimings());
  const since = performance.now();
  await inside.click("#done");
  await inside.waitForFunction(() => Object.keys(localStorage).every((name) => !name.startsWith("boardwise.out.")), undefined, { timeout: 120_000 });
  shots.push(Math.round(performance.now() - since));
  // The card of this ball, not the one that still stands there.
  const answered = () => performance.getEntriesByType("resource").some(({ name, responseStatus }) => name.endsWith("/lanes/next") && responseStatus === 200);
  await inside.waitForFunction(answered, undefined, { timeout: 120_000 });
  await card();
  cards.push(Math.round(performance.now() - since));
}
say({ first, again, begin, firstCard, shots, cards });
await inside.goto(new URL("/lab", served.url).href);
await inside.waitForSelector("h1", { state: "attached" });
const lines = await timed(() => ask(inside, "/lab/lines"));
const memory = () => processes().filter(({ renders }) => renders).map(({ pid }) => Math.round(mb(pid)));
say({ lines, memory: memory() });
const brief = await timed(async () => {
  await inside.goto(new URL("/before/brief", served.url).href, { timeout: 600_000 });
  await inside.waitForSelector(".verdict", { timeout: 600_000 });
});
if (SLOW > 1) quick();
say({ brief, memory: memory() });
await opened.page.close();
const page = await context.newPage();
const whole = await timed(async () => {
  await page.goto(served.url);
  await page.waitForSelector("iframe:not([hidden])");
  const frame = await (await page.$("iframe")).contentFrame();
  await frame.waitForSelector("nav");
});
say({ whole });
await context.close();
clear(files);
clear(profile);
