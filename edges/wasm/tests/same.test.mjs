// The same questions to a computer and to the browser's machine: where paths end, and what a card says.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { closeSync, mkdtempSync, openSync, readFileSync, rmSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { WASI } from "node:wasi";
import { open } from "./module.mjs";

const PROGRAM = process.env.BOARDWISE ?? new URL("../../../target/debug/boardwise", import.meta.url).pathname;
const HERE = new URL("..", import.meta.url).pathname;

/** What the browser's machine says, with its output in a file. */
async function inWasm(path) {
  const folder = mkdtempSync(join(tmpdir(), "boardwise-ends-"));
  const file = join(folder, "said");
  const stdout = openSync(file, "w");
  try {
    const wasi = new WASI({ version: "preview1", stdout });
    const module = await WebAssembly.compile(await readFile(path));
    wasi.start(await WebAssembly.instantiate(module, wasi.getImportObject()));
    return readFileSync(file, "utf8");
  } finally {
    closeSync(stdout);
    rmSync(folder, { recursive: true });
  }
}

const lines = (text) => text.trim().split("\n").map((line) => line.split(" "));

test("law_paths_end_where_a_computer_says_within_a_hundredth_of_a_board", async () => {
  const native = lines(execFileSync("cargo", ["run", "--quiet", "--locked", "--release", "-p", "boardwise-ends"], { cwd: HERE, encoding: "utf8" }));
  const wasm = lines(await inWasm(join(HERE, "target/ends.wasm")));
  assert.equal(wasm.length, native.length);
  const worst = { oracle: 0, random: 0, degrees: 0 };
  let [compared, elsewhere] = [0, 0];
  for (const [k, [kind, met, board, degrees]] of native.entries()) {
    const [, itsMet, itsBoard, itsDegrees] = wasm[k];
    // A ball that grazes a pin may miss it on the other machine.
    if (met !== itsMet) elsewhere++;
    if (met !== itsMet || board === undefined) continue;
    compared++;
    worst[kind] = Math.max(worst[kind], Math.abs(board - itsBoard));
    worst.degrees = Math.max(worst.degrees, Math.abs(degrees - itsDegrees));
  }
  console.log(`${compared} of ${native.length} compared, ${elsewhere} met something else on the other machine; worst`, worst);
  assert.ok(native.length === 1011 && compared >= 800, `only ${compared} met a pin`);
  assert.equal(elsewhere, 0);
  assert.ok(worst.oracle < 0.01 && worst.random < 0.01, JSON.stringify(worst));
});

/** What is shown is the same, word for word; numbers are within a hundredth of a board, a hundred throws or a pin. */
function alike(here, there, place) {
  if (typeof there === "number") return assert.ok(Math.abs(here - there) < 0.01, `${place}: ${here}, on a computer ${there}`);
  if (there === null || typeof there !== "object") return assert.equal(here, there, place);
  assert.deepEqual(Object.keys(here), Object.keys(there), place);
  // When it was logged differs, and so do names that are made from that.
  for (const name of Object.keys(there)) if (!["at", "block", "since"].includes(name)) alike(here[name], there[name], `${place}, ${name}`);
}

test("law_a_card_says_the_same_as_on_a_computer", { timeout: 300_000 }, async () => {
  const folder = mkdtempSync(join(tmpdir(), "boardwise-same-"));
  const server = spawn(PROGRAM, ["serve", "--port", "0", "--record", join(folder, "mine.record"), "--kit", join(folder, "kit")]);
  try {
    const url = await new Promise((done, failed) => {
      let said = "";
      server.stdout.on("data", (more) => {
        said += more;
        const found = said.match(/http:\/\/127\.0\.0\.1:\d+/);
        if (found) done(found[0]);
      });
      server.on("exit", () => failed(new Error(said)));
    });
    const { ask } = await open();
    const both = async (method, path, body) => {
      // The module keeps this side busy for long: no connection waits meanwhile.
      const headers = { "content-type": "application/json", origin: url, connection: "close" };
      const answer = await fetch(url + path, { method, headers, body: body && JSON.stringify(body) });
      const text = await answer.text();
      const mine = ask(method, path, body);
      assert.equal(mine.status, answer.status, `${path}: ${text} ${mine.words}`);
      return [JSON.parse(text), mine.json()];
    };
    await both("POST", "/lanes/start", { event: "short-32-squad" });
    for (const [k, pins] of ["none", "10", "none", "none", "7", "none"].entries()) {
      const [there, here] = await both("GET", "/lanes/next");
      alike(here, there, `the card before shot ${k + 1}`);
      await both("POST", "/lanes/shot", { key: `k${k}`, pins });
    }
  } finally {
    server.kill();
    rmSync(folder, { recursive: true });
  }
});
