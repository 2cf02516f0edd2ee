// What was logged on this device and is not yet known to be on the server's disk. Each entry is laid down before anything is sent,
// has a key of its own, and goes only once the server has said that it is written. Sent twice, it is logged once.

import { ask, Refused } from "./ask.js";

/** What is to be sent; of what was refused also why.
 * @typedef {{ seq: number, path: string, body: any, status?: number, why?: string }} Entry */
/** @typedef {{ sent: (answer: import("./answers").Did, entry: Entry) => void, refused: (entry: Entry, why: Refused) => void, waiting: (why: unknown) => void }} Told */

const PREFIX = "boardwise.out.";
const ASIDE = "boardwise.aside.";
const SLOWEST_MS = 15000;
/** What goes with its time: when it was made, and when it was sent, by this device's clock, so that the server knows how long it waited. */
const TIMED = "/lanes/shot";
const now = () => new Date().toISOString();

/** @param {string} prefix @returns {Entry[]} */
function kept(prefix) {
  const all = [];
  for (let k = 0; k < localStorage.length; k++) {
    const name = localStorage.key(k);
    if (!name?.startsWith(prefix)) continue;
    try {
      all.push(JSON.parse(localStorage.getItem(name) ?? ""));
    } catch {
      // Not ours, or half written by a browser that died: nothing can be made of it.
    }
  }
  return all.sort((a, b) => a.seq - b.seq);
}

/** @param {string} prefix @param {Entry} entry */
const name = (prefix, entry) => `${prefix}${entry.body.key}`;

export class Outbox {
  /** @param {Told} told */
  constructor(told) {
    this.told = told;
    this.busy = false;
    this.wait = 0;
    /** @type {number | undefined} */
    this.timer = undefined;
    /** What a full store did not take: kept as long as the page is open. @type {Entry[]} */
    this.unkept = [];
    /** @type {Entry[]} */
    this.unkeptAside = [];
    addEventListener("online", () => this.send());
    document.addEventListener("visibilitychange", () => this.send());
  }

  /** Not sent yet, oldest first. */
  entries() {
    return [...kept(PREFIX), ...this.unkept].sort((a, b) => a.seq - b.seq);
  }

  /** Refused by the server and waiting for the bowler's word. */
  aside() {
    return [...kept(ASIDE), ...this.unkeptAside];
  }

  /** Lays an entry down and begins to send; whether the store of the browser took it. @param {string} path @param {any} body @returns {boolean} */
  add(path, body) {
    const last = this.entries().at(-1)?.seq ?? 0;
    const timed = path === TIMED ? { at: now(), ...body } : body;
    const entry = { seq: Math.max(Date.now(), last + 1), path, body: timed };
    const taken = this.keep(entry);
    this.send();
    return taken;
  }

  /** Keeps an entry, in the page alone where the store is full: no tap is lost. @param {Entry} entry */
  keep(entry) {
    try {
      localStorage.setItem(name(PREFIX, entry), JSON.stringify(entry));
      return true;
    } catch {
      this.unkept.push(entry);
      return false;
    }
  }

  /** It is sent, or set aside. @param {Entry} entry */
  gone(entry) {
    localStorage.removeItem(name(PREFIX, entry));
    this.unkept = this.unkept.filter((one) => one.body.key !== entry.body.key);
  }

  /** Takes in what waited elsewhere, and begins to send. @param {Entry[]} entries */
  adopt(entries) {
    for (const entry of entries) this.keep(entry);
    this.send();
  }

  /** Lets go of what was refused. @param {Entry} entry */
  drop(entry) {
    localStorage.removeItem(name(ASIDE, entry));
    this.unkeptAside = this.unkeptAside.filter((one) => one.body.key !== entry.body.key);
  }

  async send() {
    if (this.busy) return;
    this.busy = true;
    clearTimeout(this.timer);
    try {
      for (let entry = this.entries()[0]; entry; entry = this.entries()[0]) {
        const gone = entry;
        let answer;
        try {
          answer = await ask(entry.path, entry.path === TIMED ? { ...entry.body, sent: now() } : entry.body);
        } catch (why) {
          if (why instanceof Refused && why.status >= 400 && why.status < 500 && ![401, 408, 429].includes(why.status)) {
            this.gone(gone);
            try {
              localStorage.setItem(name(ASIDE, gone), JSON.stringify({ ...gone, status: why.status, why: why.message }));
            } catch {
              this.unkeptAside.push({ ...gone, status: why.status, why: why.message });
            }
            this.told.refused(gone, why);
            continue;
          }
          this.wait = Math.min(SLOWEST_MS, Math.max(1000, 2 * this.wait));
          this.timer = setTimeout(() => this.send(), this.wait);
          this.told.waiting(why);
          return;
        }
        this.gone(gone);
        this.wait = 0;
        this.told.sent(answer, gone);
      }
    } finally {
      this.busy = false;
    }
  }
}
