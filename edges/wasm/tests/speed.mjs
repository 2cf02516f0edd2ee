// How long the module takes, one question after the other, without a browser around it.
import { open } from "./module.mjs";

const { ask, host, ms, disk } = await open();
console.log(`module ready: ${ms.toFixed(0)} ms`);
const say = (name, said) => console.log(`${name}: ${said.status}, ${said.ms.toFixed(0)} ms, ${said.words.length} bytes`);
say("page", ask("GET", "/lanes"));
say("page", ask("GET", "/lanes"));
const begun = ask("POST", "/lanes/start", { event: process.env.EVENT ?? "short-32-squad" });
say("begin", begun);
if (begun.status !== 200) console.log(begun.words);
let next = ask("GET", "/lanes/next");
say("card", next);
for (let k = 0; k < 4; k++) {
  say("shot", ask("POST", "/lanes/shot", { key: `k${k}`, pins: k % 2 ? "none" : "10" }));
  if (process.env.AHEAD) host.call("look_ahead");
  next = ask("GET", "/lanes/next");
  say("card", next);
}
say("picture", ask("GET", "/lanes/picture"));
say("throws", ask("GET", "/lab/throw"));
say("throws", ask("GET", "/lab/throw"));
say("lines", ask("GET", "/lab/lines"));
console.log(`memory: ${(host.exports.memory.buffer.byteLength / 2 ** 20).toFixed(0)} MiB`);
