// @ts-check
// The disk of the module: files by path, in memory or in the browser's private file system, offered as WASI (preview 1) asks for
// them. In the private file system a file can be opened only while nobody waits for an answer. So some are open beforehand, and each
// says in its first bytes which path it is.

const HEAD = 4096;
const SPARE = 12;

/** Bytes in memory. */
class InMemory {
  bytes = new Uint8Array(0);
  length = 0;
  size() {
    return this.length;
  }
  /** @param {Uint8Array} into @param {number} at */
  read(into, at) {
    const part = this.bytes.subarray(at, Math.min(this.length, at + into.length));
    into.set(part);
    return part.length;
  }
  /** @param {Uint8Array} from @param {number} at */
  write(from, at) {
    this.#room(at + from.length);
    this.bytes.set(from, at);
    this.length = Math.max(this.length, at + from.length);
    return from.length;
  }
  /** @param {number} to */
  truncate(to) {
    this.#room(to);
    if (to > this.length) this.bytes.fill(0, this.length, to);
    else this.bytes.fill(0, to, this.length);
    this.length = to;
  }
  flush() {}
  gone() {}
  /** @param {number} length */
  #room(length) {
    if (length <= this.bytes.length) return;
    const more = new Uint8Array(Math.max(length, 2 * this.bytes.length, 4096));
    more.set(this.bytes);
    this.bytes = more;
  }
}

/** Bytes in the private file system, in a file that is open already. */
class InPlace {
  /** @param {any} handle @param {(slot: InPlace) => void} free */
  constructor(handle, free) {
    this.handle = handle;
    this.free = free;
  }
  size() {
    return Math.max(0, this.handle.getSize() - HEAD);
  }
  /** @param {Uint8Array} into @param {number} at */
  read(into, at) {
    return this.handle.read(into, { at: HEAD + at });
  }
  /** @param {Uint8Array} from @param {number} at */
  write(from, at) {
    return this.handle.write(from, { at: HEAD + at });
  }
  /** @param {number} to */
  truncate(to) {
    this.handle.truncate(HEAD + to);
  }
  flush() {
    this.handle.flush();
  }
  gone() {
    this.handle.truncate(0);
    this.handle.flush();
    this.free(this);
  }
  /** Says which path it is, once its bytes are on disk. @param {string} path @param {number} number */
  name(path, number) {
    this.handle.flush();
    const text = new TextEncoder().encode(JSON.stringify({ path, number }));
    const head = new Uint8Array(HEAD);
    new DataView(head.buffer).setUint32(0, text.length);
    head.set(text, 4);
    this.handle.write(head, { at: 0 });
    this.handle.flush();
  }
  /** Which path it is; null for none. @returns {{path: string, number: number} | null} */
  named() {
    const head = new Uint8Array(HEAD);
    if (this.handle.read(head, { at: 0 }) < HEAD) return null;
    const length = new DataView(head.buffer).getUint32(0);
    if (length === 0 || length > HEAD - 4) return null;
    try {
      return JSON.parse(new TextDecoder().decode(head.subarray(4, 4 + length)));
    } catch {
      return null;
    }
  }
}

/** Files by path. Folders are there as soon as somebody makes them. */
export class Disk {
  /** @type {Map<string, InMemory | InPlace>} */
  files = new Map();
  folders = new Set(["/", "/copies", "/kit"]);
  /** Paths that changed since somebody asked. @type {Set<string>} */
  changed = new Set();
  /** @type {InPlace[]} */
  spare = [];
  #made = 0;
  #number = 0;
  /** @type {any} */
  #folder = null;

  /** Opens what the private file system holds. */
  async open() {
    const root = await navigator.storage.getDirectory();
    this.#folder = await root.getDirectoryHandle("boardwise", { create: true });
    /** @type {Map<string, {number: number, slot: InPlace}>} */
    const found = new Map();
    for await (const [name, handle] of this.#folder.entries()) {
      this.#made = Math.max(this.#made, Number(name) + 1);
      const slot = await this.#slot(handle);
      const is = slot.named();
      if (!is) {
        this.spare.push(slot);
        continue;
      }
      this.#number = Math.max(this.#number, is.number);
      const other = found.get(is.path);
      // A new file took the place of this path, and the old one was not yet gone.
      if (other && other.number > is.number) slot.gone();
      else {
        other?.slot.gone();
        found.set(is.path, { number: is.number, slot });
      }
    }
    for (const [path, { slot }] of found) {
      this.files.set(path, slot);
      this.#foldersOf(path);
    }
    await this.ready();
  }

  /** Opens more files ahead of need. Call it while nothing is asked. */
  async ready() {
    while (this.#folder && this.spare.length < SPARE) {
      const handle = await this.#folder.getFileHandle(String(this.#made++), { create: true });
      this.spare.push(await this.#slot(handle));
    }
  }

  /** @param {any} handle */
  async #slot(handle) {
    // A page that was closed a moment ago may still hold it.
    for (let tries = 0; ; tries++) {
      try {
        return new InPlace(await handle.createSyncAccessHandle(), (slot) => this.spare.push(slot));
      } catch (why) {
        if (tries > 100) throw why;
        await new Promise((go) => setTimeout(go, 50));
      }
    }
  }

  /** @param {string} path */
  #foldersOf(path) {
    for (let at = path.lastIndexOf("/"); at > 0; at = path.lastIndexOf("/", at - 1)) this.folders.add(path.slice(0, at));
  }

  /** A new file with these bytes; null where no more can be had now. It gets its name once they are on disk. @param {string} path @param {Uint8Array} [bytes] */
  create(path, bytes = new Uint8Array(0)) {
    if (!this.#folder || path.startsWith("/copies/")) {
      const file = new InMemory();
      file.write(bytes, 0);
      this.files.set(path, file);
      this.changed.add(path);
      return file;
    }
    const slot = this.spare.pop();
    if (!slot) return null;
    slot.truncate(0);
    if (bytes.length > 0) slot.write(bytes, 0);
    slot.name(path, ++this.#number);
    this.files.set(path, slot);
    this.changed.add(path);
    return slot;
  }

  /** @param {string} path */
  remove(path) {
    const file = this.files.get(path);
    this.files.delete(path);
    this.changed.add(path);
    file?.gone();
  }

  /** @param {string} from @param {string} to */
  rename(from, to) {
    const file = this.files.get(from);
    if (!file || from === to) return;
    const old = this.files.get(to);
    if (this.#folder && file instanceof InMemory !== to.startsWith("/copies/")) {
      this.copy(from, to);
      this.remove(from);
      return;
    }
    if (file instanceof InPlace) file.name(to, ++this.#number);
    this.files.delete(from);
    this.files.set(to, file);
    old?.gone();
    for (const path of [from, to]) this.changed.add(path);
  }

  /** @param {string} from @param {string} to */
  copy(from, to) {
    const bytes = this.bytes(from);
    const old = this.files.get(to);
    this.files.delete(to);
    if (!this.create(to, bytes)) {
      if (old) this.files.set(to, old);
      return false;
    }
    old?.gone();
    return true;
  }

  /** @param {string} path */
  bytes(path) {
    const file = this.files.get(path);
    if (!file) return new Uint8Array(0);
    const bytes = new Uint8Array(file.size());
    file.read(bytes, 0);
    return bytes;
  }

  /** What changed since this was asked last, for a disk elsewhere that follows. Journals are of no use there. */
  news() {
    const news = [...this.changed]
      .filter((path) => !path.startsWith("/copies/") && !path.endsWith("-journal"))
      .map((path) => ({ path, bytes: this.files.has(path) ? this.bytes(path) : null }));
    this.changed.clear();
    return news;
  }

  /** Takes over what changed elsewhere. @param {{path: string, bytes: Uint8Array | null}[]} news */
  follow(news) {
    for (const { path, bytes } of news) {
      if (!bytes) {
        this.files.delete(path);
        continue;
      }
      this.#foldersOf(path);
      // In its place: whoever has the file open goes on with it.
      const file = this.files.get(path) ?? this.create(path);
      file?.truncate(bytes.length);
      file?.write(bytes, 0);
    }
    this.changed.clear();
  }

  /** What a folder holds: name and whether it is a folder. @param {string} folder @returns {[string, boolean][]} */
  list(folder) {
    const start = folder === "/" ? "/" : `${folder}/`;
    const inside = (/** @type {string} */ path) =>
      path.startsWith(start) && path.length > start.length && !path.slice(start.length).includes("/");
    const folders = [...this.folders].filter(inside).map((path) => /** @type {[string, boolean]} */ ([path.slice(start.length), true]));
    const files = [...this.files.keys()].filter(inside).map((path) => /** @type {[string, boolean]} */ ([path.slice(start.length), false]));
    return [...folders, ...files].sort(([a], [b]) => (a < b ? -1 : 1));
  }
}
