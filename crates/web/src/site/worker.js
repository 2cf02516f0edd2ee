// @ts-check
// A worker with the module in it. One keeps the record, on the private file system. Others answer what takes long: they follow the
// keeper's files in memory, and write nothing that stays.
import { Disk } from "./disk.js";
import { Host } from "./host.js";

/** Whoever asks within this time would wait for work that may turn out to be of no use. */
const QUIET_MS = 250;

const disk = new Disk();
const host = new Host(disk);
// How far long work has come stands there as a number.
host.hears = (words) => {
  const share = Number.parseFloat(words);
  if (Number.isNaN(share)) console.error(words);
  else postMessage({ share });
};
let keeps = false;
let looksAhead = false;
/** @type {number | undefined} */
let quiet;
/** @type {Promise<void>} */
let ready = Promise.resolve();

/** @param {any} asked */
async function begin({ module, keeper, ahead }) {
  keeps = keeper;
  looksAhead = ahead;
  if (keeps) await disk.open();
  await host.start(module);
  const { code, said } = host.call("start");
  if (code !== 0) throw new Error(new TextDecoder().decode(said));
  disk.changed.clear();
  for (const path of disk.files.keys()) disk.changed.add(path);
}

/** @param {any} asked */
function answer({ method, address, body }) {
  const line = new TextEncoder().encode(`${method} ${address}\n`);
  const input = new Uint8Array(line.length + (body?.byteLength ?? 0));
  input.set(line);
  if (body) input.set(new Uint8Array(body), line.length);
  const { said } = host.call("ask", input);
  const end = said.indexOf(10);
  if (end < 0) throw new Error("the module gave no answer");
  const head = JSON.parse(new TextDecoder().decode(said.subarray(0, end)));
  return { ...head, body: said.slice(end + 1).buffer, behind: host.exports.behind() };
}

/** @param {any} asked */
function work(asked) {
  if (asked.kind === "follow") return { followed: disk.follow(asked.news) };
  if (asked.kind === "catch-up") return { caughtUp: host.call("catch_up") };
  if (["take-out", "bring-in", "join-in"].includes(asked.kind)) {
    const { code, said } = host.call(asked.kind.replace("-", "_"), asked.body ? new Uint8Array(asked.body) : undefined);
    return { ok: code === 0, body: said.buffer };
  }
  return answer(asked);
}

addEventListener("message", async ({ data: asked }) => {
  clearTimeout(quiet);
  const { id } = asked;
  try {
    if (asked.kind === "begin") {
      ready = begin(asked);
      await ready;
      postMessage({ id, news: keeps ? disk.news() : [] });
      return;
    }
    await ready;
    const said = work(asked);
    const news = keeps ? disk.news() : [];
    postMessage({ id, ...said, news }, { transfer: said.body ? [said.body] : [] });
    if (keeps) await disk.ready();
    else if (looksAhead) quiet = setTimeout(() => host.call("look_ahead"), QUIET_MS);
  } catch (why) {
    postMessage({ id, failed: String(why) });
  }
});
