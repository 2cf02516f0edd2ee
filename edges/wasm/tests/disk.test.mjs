// The disk over a private file system of our own, which can stop at any call as a killed browser does.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Disk } from "../../../crates/web/src/site/disk.js";

/** A private file system in memory. After `calls` calls that change something nothing changes any more. */
class Folder {
  files = new Map();
  calls = Infinity;
  #lives() {
    if (this.calls <= 0) throw new Error("killed");
    this.calls--;
  }
  async getDirectoryHandle() {
    return this;
  }
  async *entries() {
    for (const name of [...this.files.keys()]) yield [name, await this.getFileHandle(name)];
  }
  async getFileHandle(name) {
    if (!this.files.has(name)) this.files.set(name, new Uint8Array(0));
    return { createSyncAccessHandle: async () => this.#handle(name) };
  }
  #handle(name) {
    const { files } = this;
    return {
      getSize: () => files.get(name).length,
      read(into, { at }) {
        const part = files.get(name).subarray(at, at + into.length);
        into.set(part);
        return part.length;
      },
      write: (from, { at }) => {
        this.#lives();
        const old = files.get(name);
        const bytes = new Uint8Array(Math.max(old.length, at + from.length));
        bytes.set(old);
        bytes.set(from, at);
        files.set(name, bytes);
        return from.length;
      },
      truncate: (to) => {
        this.#lives();
        const bytes = new Uint8Array(to);
        bytes.set(files.get(name).subarray(0, to));
        files.set(name, bytes);
      },
      flush: () => this.#lives(),
    };
  }
}

async function opened(folder) {
  Object.defineProperty(globalThis, "navigator", { value: { storage: { getDirectory: async () => folder } }, configurable: true });
  const disk = new Disk();
  await disk.open();
  return disk;
}

const text = (disk, path) => new TextDecoder().decode(disk.bytes(path));

function put(disk, path, words) {
  const file = disk.files.get(path) ?? disk.create(path);
  file.truncate(0);
  file.write(new TextEncoder().encode(words), 0);
  file.flush();
}

test("what was written is there when it is opened again, under its name", async () => {
  const folder = new Folder();
  const disk = await opened(folder);
  put(disk, "/mine.record", "facts");
  put(disk, "/kit/lane/house.toml", "oil");
  disk.rename("/kit/lane/house.toml", "/kit/lane/club.toml");
  put(disk, "/copies/a", "gone with the window");
  const again = await opened(folder);
  assert.deepEqual([...again.files.keys()].sort(), ["/kit/lane/club.toml", "/mine.record"]);
  assert.equal(text(again, "/mine.record"), "facts");
  assert.equal(text(again, "/kit/lane/club.toml"), "oil");
  assert.ok(again.folders.has("/kit/lane"));
  again.remove("/mine.record");
  assert.equal((await opened(folder)).files.has("/mine.record"), false);
});

test("a file that takes another's place is the old one or the new one, wherever the browser is killed", async () => {
  let whole = 0;
  for (let calls = 0; whole === 0; calls++) {
    const folder = new Folder();
    const disk = await opened(folder);
    put(disk, "/mine.record", "old");
    folder.calls = calls;
    try {
      put(disk, "/mine.record.new", "newer");
      disk.rename("/mine.record.new", "/mine.record");
      whole = calls;
    } catch (why) {
      assert.equal(why.message, "killed");
    }
    folder.calls = Infinity;
    const again = await opened(folder);
    assert.ok(["old", "newer"].includes(text(again, "/mine.record")), `after ${calls} calls: ${text(again, "/mine.record")}`);
    if (whole > 0) assert.equal(text(again, "/mine.record"), "newer");
  }
  assert.ok(whole > 5, "there were places to be killed at");
});

test("a copy from memory takes the record's place whole or not at all", async () => {
  let whole = 0;
  for (let calls = 0; whole === 0; calls++) {
    const folder = new Folder();
    const disk = await opened(folder);
    put(disk, "/mine.record", "old");
    put(disk, "/copies/came", "brought in");
    folder.calls = calls;
    try {
      disk.rename("/copies/came", "/mine.record");
      whole = calls;
    } catch (why) {
      assert.equal(why.message, "killed");
    }
    folder.calls = Infinity;
    const again = await opened(folder);
    assert.ok(["old", "brought in"].includes(text(again, "/mine.record")), `after ${calls} calls: ${text(again, "/mine.record")}`);
    if (whole > 0) assert.equal(text(again, "/mine.record"), "brought in");
  }
  assert.ok(whole > 5, "there were places to be killed at");
});

test("a disk that follows another has its files, and lets go of those that went", async () => {
  const disk = await opened(new Folder());
  const other = new Disk();
  put(disk, "/mine.record", "facts");
  put(disk, "/mine.record-journal", "half a fact");
  put(disk, "/kit/bag/two.toml", "balls");
  other.follow(disk.news());
  assert.deepEqual([...other.files.keys()].sort(), ["/kit/bag/two.toml", "/mine.record"]);
  const open = other.files.get("/mine.record");
  put(disk, "/mine.record", "f");
  disk.changed.add("/mine.record");
  disk.remove("/kit/bag/two.toml");
  other.follow(disk.news());
  assert.equal(text(other, "/mine.record"), "f");
  assert.equal(other.files.get("/mine.record"), open, "whoever had it open goes on with it");
  assert.equal(other.files.has("/kit/bag/two.toml"), false);
});

test("when nothing more can be opened, no file is promised", async () => {
  const disk = await opened(new Folder());
  for (let k = 0; disk.spare.length > 0; k++) put(disk, `/kit/lane/${k}.toml`, "oil");
  assert.equal(disk.create("/kit/lane/more.toml"), null);
  await disk.ready();
  assert.notEqual(disk.create("/kit/lane/more.toml"), null);
});
