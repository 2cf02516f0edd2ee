// Questions that take long: their pages stand first, one is worked on at a time, and each worker ends.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Long } from "../../../crates/web/src/site/long.js";

const bytes = (words) => new TextEncoder().encode(words).buffer;
const words = ({ body }) => new TextDecoder().decode(body);
const get = (address) => ({ method: "GET", address });
const post = (address) => ({ method: "POST", address, body: bytes("{}") });
const soon = () => new Promise((go) => setTimeout(go, 5));

/** Workers that answer when they are told to. */
class Fake {
  /** Workers that live, with what they know. */
  live = new Map();
  /** Work under way, by worker. */
  working = new Map();
  most = 0;
  calls = {
    ask: async (name, { method, address }) => {
      const one = this.live.get(name) ?? this.live.set(name, { state: "none" }).get(name);
      if (address.includes("wrong")) return { status: 422, headers: [], body: bytes("wrong"), behind: 0 };
      if (address.includes("/stop")) one.state = "stopped";
      else if (address.includes("/state")) return { status: 200, headers: [], body: bytes(JSON.stringify({ schema: 1, state: one.state })) };
      else if (address.includes("/picture")) return { status: 200, headers: [], body: bytes(`drawn ${address}`) };
      else if (one.state === "none") one.state = "running";
      const behind = one.state === "running" ? 1 : 0;
      if (method === "POST") return { status: 200, headers: [], body: bytes("begun"), behind };
      return { status: 200, headers: [], body: bytes(`${one.state} <img src="/before/brief/picture?&amp;of=0">`), behind };
    },
    work: (name, hears) => new Promise((done, failed) => {
      this.working.set(name, { hears, failed, done: () => { this.live.get(name).state = "done"; this.working.delete(name); done(); } });
      this.most = Math.max(this.most, this.working.size);
    }),
    end: (name) => {
      this.live.delete(name);
      this.working.get(name)?.failed(new Error("ended"));
      this.working.delete(name);
    },
  };
  first() {
    return [...this.working.values()][0];
  }
}

function fresh() {
  const fake = new Fake();
  return { fake, long: new Long(fake.calls, async () => ({ status: 404, headers: [], body: bytes("short") })) };
}

test("law_a_page_stands_before_its_answer_and_hears_how_far_it_is", async () => {
  const { fake, long } = fresh();
  assert.match(words(await long.answer(get("/before/brief"))), /^running/);
  assert.match(words(await long.answer(get("/before/brief"))), /^running/);
  await soon();
  fake.first().hears(0.25);
  const { state, done } = JSON.parse(words(await long.answer(get("/before/brief/state"))));
  assert.deepEqual([state, done], ["running", 0.25]);
  fake.first().done();
  await soon();
  assert.match(words(await long.answer(get("/before/brief"))), /^done/);
  assert.equal(words(await long.answer(get("/before/brief/picture?&of=0"))), "drawn /before/brief/picture?&of=0");
  assert.equal(JSON.parse(words(await long.answer(get("/before/brief/state")))).state, "done");
  assert.equal(fake.live.size, 0, "a worker holds its memory after its answer");
});

test("law_one_question_is_worked_on_at_a_time_and_the_next_has_its_turn", async () => {
  const { fake, long } = fresh();
  await long.answer(get("/before/brief"));
  assert.equal(words(await long.answer(post("/before/bag?take=2"))), "begun");
  await soon();
  fake.first().done();
  await soon();
  assert.equal(JSON.parse(words(await long.answer(get("/before/brief/state")))).state, "done");
  fake.first().done();
  await soon();
  assert.equal(JSON.parse(words(await long.answer(get("/before/bag/state?take=2")))).state, "done");
  assert.equal(fake.most, 1);
});

test("law_a_question_that_was_stopped_ends_its_worker_and_can_be_asked_anew", async () => {
  const { fake, long } = fresh();
  await long.answer(post("/before/practice?shots=6"));
  await soon();
  await long.answer(post("/before/practice/stop?shots=6"));
  assert.equal(fake.live.size, 0);
  assert.match(words(await long.answer(get("/before/practice?shots=6"))), /^stopped/);
  await long.answer(post("/before/practice?shots=6"));
  await soon();
  fake.first().done();
  await soon();
  assert.match(words(await long.answer(get("/before/practice?shots=6"))), /^done/);
});

test("law_a_worker_that_breaks_is_told_and_what_changed_is_asked_anew", async () => {
  const { fake, long } = fresh();
  await long.answer(get("/before/brief"));
  await soon();
  fake.first().failed(new Error("out of memory"));
  await soon();
  assert.deepEqual(JSON.parse(words(await long.answer(get("/before/brief/state")))), { schema: 1, state: "failed", error: "out of memory" });
  long.forget();
  assert.match(words(await long.answer(get("/before/brief"))), /^running/);
  await soon();
  long.forget();
  await soon();
  assert.equal(fake.live.size, 0);
});

test("law_what_is_wrong_with_a_question_is_said_at_once", async () => {
  const { fake, long } = fresh();
  assert.equal((await long.answer(post("/before/bag?take=wrong"))).status, 422);
  assert.equal(words(await long.answer(get("/before/bag?take=wrong"))), "short");
  assert.equal(fake.live.size, 0);
});
