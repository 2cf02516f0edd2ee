// The module without a browser: a disk in memory, questions as the pages ask them.
import { readFile } from "node:fs/promises";
import { Disk } from "../../../crates/web/src/site/disk.js";
import { Host } from "../../../crates/web/src/site/host.js";

export const MODULE = process.env.MODULE ?? new URL("../target/boardwise.wasm", import.meta.url).pathname;

export async function open(files = []) {
  const disk = new Disk();
  disk.follow(files);
  const host = new Host(disk);
  const start = performance.now();
  await host.start(await WebAssembly.compile(await readFile(MODULE)));
  const { code, said } = host.call("start");
  if (code !== 0) throw new Error(new TextDecoder().decode(said));
  const ask = (method, address, body) => {
    const text = `${method} ${address}\n${body === undefined ? "" : JSON.stringify(body)}`;
    const start = performance.now();
    const { said } = host.call("ask", new TextEncoder().encode(text));
    const end = said.indexOf(10);
    if (end < 0) throw new Error(`no answer to ${address}`);
    const head = JSON.parse(new TextDecoder().decode(said.subarray(0, end)));
    const words = new TextDecoder().decode(said.subarray(end + 1));
    return { ...head, words, json: () => JSON.parse(words), ms: performance.now() - start };
  };
  return { disk, host, ask, ms: performance.now() - start };
}
