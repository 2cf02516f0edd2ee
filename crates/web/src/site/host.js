// @ts-check
// What the module finds around it (WASI preview 1): a disk, a clock, random numbers, and one question and answer on standard input
// and output.
import { Disk } from "./disk.js";

const OK = 0, BAD_FILE = 8, EXISTS = 20, INVALID = 28, IS_FOLDER = 31, NONE = 44, FULL = 51, NO_CALL = 52, NO_FOLDER = 54, NOT_EMPTY = 55;
const CREATE = 1, FOLDER = 2, EXCLUSIVE = 4, TRUNCATE = 8, APPEND = 1;
const IS_DEVICE = 2, A_FOLDER = 3, A_FILE = 4;

/** @typedef {{ path: string, file: any, at: number, append: boolean, list: [string, boolean][] | null }} Open */

/** A module with a disk. */
export class Host {
  /** @param {Disk} disk */
  constructor(disk) {
    this.disk = disk;
    /** @type {Map<number, Open>} */
    this.open = new Map([[3, { path: "/", file: null, at: 0, append: false, list: null }]]);
    /** @type {Uint8Array} */
    this.input = new Uint8Array(0);
    this.read = 0;
    /** @type {Uint8Array[]} */
    this.output = [];
    /** @type {any} */
    this.exports = null;
    this.inodes = new Map();
    /** Hears what stands on standard error. @type {(words: string) => void} */
    this.hears = console.error;
  }

  /** @param {WebAssembly.Module} module */
  async start(module) {
    const calls = new Proxy(this.calls(), { get: (calls, name) => /** @type {any} */ (calls)[name] ?? (() => NO_CALL) });
    const names = WebAssembly.Module.imports(module).map(({ name }) => name);
    const imports = Object.fromEntries(names.map((name) => [name, /** @type {any} */ (calls)[name]]));
    const { exports } = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: imports });
    this.exports = exports;
    this.exports._initialize?.();
  }

  /** Calls an export with this on its input; gives what it wrote. @param {string} name @param {Uint8Array} input */
  call(name, input = new Uint8Array(0)) {
    this.input = input;
    this.read = 0;
    this.output = [];
    const code = this.exports[name]();
    const length = this.output.reduce((sum, part) => sum + part.length, 0);
    const all = new Uint8Array(length);
    let at = 0;
    for (const part of this.output) {
      all.set(part, at);
      at += part.length;
    }
    this.output = [];
    return { code, said: all };
  }

  get view() {
    return new DataView(this.exports.memory.buffer);
  }

  /** @param {number} at @param {number} length */
  bytes(at, length) {
    return new Uint8Array(this.exports.memory.buffer, at, length);
  }

  /** Does something with each buffer of a list, until one is not filled. @param {number} list @param {number} count @param {(part: Uint8Array) => number} work */
  each(list, count, work) {
    let sum = 0;
    for (let k = 0; k < count; k++) {
      const part = this.bytes(this.view.getUint32(list + 8 * k, true), this.view.getUint32(list + 8 * k + 4, true));
      const done = work(part);
      sum += done;
      if (done < part.length) break;
    }
    return sum;
  }

  /** @param {number} fd @param {number} at @param {number} length */
  path(fd, at, length) {
    const base = this.open.get(fd)?.path ?? "/";
    const parts = `${base}/${new TextDecoder().decode(this.bytes(at, length).slice())}`.split("/");
    /** @type {string[]} */
    const whole = [];
    for (const part of parts) {
      if (part === "..") whole.pop();
      else if (part !== "" && part !== ".") whole.push(part);
    }
    return `/${whole.join("/")}`;
  }

  /** @param {string} path */
  inode(path) {
    if (!this.inodes.has(path)) this.inodes.set(path, this.inodes.size + 1);
    return BigInt(this.inodes.get(path));
  }

  /** @param {string} path @param {number} at */
  stat(path, at) {
    const file = this.disk.files.get(path);
    if (!file && !this.disk.folders.has(path)) return NONE;
    this.bytes(at, 64).fill(0);
    this.view.setBigUint64(at + 8, this.inode(path), true);
    this.view.setUint8(at + 16, file ? A_FILE : A_FOLDER);
    this.view.setBigUint64(at + 24, 1n, true);
    this.view.setBigUint64(at + 32, BigInt(file?.size() ?? 0), true);
    return OK;
  }

  calls() {
    const { disk } = this;
    const host = this;
    return {
      args_sizes_get: (/** @type {number} */ count, /** @type {number} */ size) => {
        this.view.setUint32(count, 0, true);
        this.view.setUint32(size, 0, true);
        return OK;
      },
      args_get: () => OK,
      environ_sizes_get: (/** @type {number} */ count, /** @type {number} */ size) => {
        this.view.setUint32(count, 0, true);
        this.view.setUint32(size, 0, true);
        return OK;
      },
      environ_get: () => OK,
      clock_res_get: (/** @type {number} */ _clock, /** @type {number} */ at) => {
        this.view.setBigUint64(at, 1000000n, true);
        return OK;
      },
      clock_time_get: (/** @type {number} */ clock, /** @type {bigint} */ _precision, /** @type {number} */ at) => {
        const now = clock === 0 ? BigInt(Date.now()) * 1000000n : BigInt(Math.round(performance.now() * 1e6));
        this.view.setBigUint64(at, now, true);
        return OK;
      },
      random_get: (/** @type {number} */ at, /** @type {number} */ length) => {
        for (let from = 0; from < length; from += 65536) crypto.getRandomValues(this.bytes(at + from, Math.min(65536, length - from)));
        return OK;
      },
      sched_yield: () => OK,
      // Nothing is waited for: there is nobody else whose work could come to an end.
      poll_oneoff: (/** @type {number} */ asked, /** @type {number} */ told, /** @type {number} */ count, /** @type {number} */ done) => {
        for (let k = 0; k < count; k++) {
          this.bytes(told + 32 * k, 32).fill(0);
          this.view.setBigUint64(told + 32 * k, this.view.getBigUint64(asked + 48 * k, true), true);
        }
        this.view.setUint32(done, count, true);
        return OK;
      },
      proc_exit: (/** @type {number} */ code) => {
        throw new Error(`the module ended with ${code}`);
      },
      fd_prestat_get: (/** @type {number} */ fd, /** @type {number} */ at) => {
        if (fd !== 3) return BAD_FILE;
        this.view.setUint32(at, 0, true);
        this.view.setUint32(at + 4, 1, true);
        return OK;
      },
      fd_prestat_dir_name: (/** @type {number} */ fd, /** @type {number} */ at) => {
        if (fd !== 3) return BAD_FILE;
        this.bytes(at, 1)[0] = 47;
        return OK;
      },
      fd_fdstat_get: (/** @type {number} */ fd, /** @type {number} */ at) => {
        const one = this.open.get(fd);
        if (!one && fd > 2) return BAD_FILE;
        this.bytes(at, 24).fill(0);
        this.view.setUint8(at, !one ? IS_DEVICE : one.file ? A_FILE : A_FOLDER);
        this.view.setUint16(at + 2, one?.append ? APPEND : 0, true);
        this.view.setBigUint64(at + 8, 0x1fffffffn, true);
        this.view.setBigUint64(at + 16, 0x1fffffffn, true);
        return OK;
      },
      fd_fdstat_set_flags: () => OK,
      fd_filestat_get: (/** @type {number} */ fd, /** @type {number} */ at) => {
        const one = this.open.get(fd);
        if (!one) return BAD_FILE;
        const code = this.stat(one.path, at);
        if (code === OK || !one.file) return code;
        // Open, and its name is gone.
        this.bytes(at, 64).fill(0);
        this.view.setUint8(at + 16, A_FILE);
        this.view.setBigUint64(at + 32, BigInt(one.file.size()), true);
        return OK;
      },
      fd_filestat_set_size: (/** @type {number} */ fd, /** @type {bigint} */ size) => {
        const one = this.open.get(fd);
        if (!one?.file) return BAD_FILE;
        one.file.truncate(Number(size));
        disk.changed.add(one.path);
        return OK;
      },
      fd_filestat_set_times: () => OK,
      path_filestat_set_times: () => OK,
      fd_advise: () => OK,
      fd_allocate: () => OK,
      fd_close: (/** @type {number} */ fd) => (this.open.delete(fd) ? OK : BAD_FILE),
      fd_sync: (/** @type {number} */ fd) => sync(fd),
      fd_datasync: (/** @type {number} */ fd) => sync(fd),
      fd_tell: (/** @type {number} */ fd, /** @type {number} */ at) => {
        const one = this.open.get(fd);
        if (!one) return BAD_FILE;
        this.view.setBigUint64(at, BigInt(one.at), true);
        return OK;
      },
      fd_seek: (/** @type {number} */ fd, /** @type {bigint} */ by, /** @type {number} */ from, /** @type {number} */ at) => {
        const one = this.open.get(fd);
        if (!one?.file) return BAD_FILE;
        const start = [0, one.at, one.file.size()][from];
        if (start === undefined || start + Number(by) < 0) return INVALID;
        one.at = start + Number(by);
        this.view.setBigUint64(at, BigInt(one.at), true);
        return OK;
      },
      fd_read: (/** @type {number} */ fd, /** @type {number} */ list, /** @type {number} */ count, /** @type {number} */ done) => {
        const one = this.open.get(fd);
        if (fd !== 0 && !one?.file) return one ? IS_FOLDER : BAD_FILE;
        const sum = this.each(list, count, (part) => {
          if (!one) {
            const some = this.input.subarray(this.read, this.read + part.length);
            part.set(some);
            this.read += some.length;
            return some.length;
          }
          const length = one.file.read(part, one.at);
          one.at += length;
          return length;
        });
        this.view.setUint32(done, sum, true);
        return OK;
      },
      fd_write: (/** @type {number} */ fd, /** @type {number} */ list, /** @type {number} */ count, /** @type {number} */ done) => {
        const one = this.open.get(fd);
        if (fd !== 1 && fd !== 2 && !one?.file) return BAD_FILE;
        const sum = this.each(list, count, (part) => {
          if (fd === 1) this.output.push(part.slice());
          else if (!one) this.hears(new TextDecoder().decode(part.slice()));
          else {
            if (one.append) one.at = one.file.size();
            one.file.write(part, one.at);
            one.at += part.length;
            disk.changed.add(one.path);
          }
          return part.length;
        });
        this.view.setUint32(done, sum, true);
        return OK;
      },
      fd_pread: (/** @type {number} */ fd, /** @type {number} */ list, /** @type {number} */ count, /** @type {bigint} */ from, /** @type {number} */ done) => {
        const one = this.open.get(fd);
        if (!one?.file) return BAD_FILE;
        let at = Number(from);
        const sum = this.each(list, count, (part) => {
          const length = one.file.read(part, at);
          at += length;
          return length;
        });
        this.view.setUint32(done, sum, true);
        return OK;
      },
      fd_pwrite: (/** @type {number} */ fd, /** @type {number} */ list, /** @type {number} */ count, /** @type {bigint} */ from, /** @type {number} */ done) => {
        const one = this.open.get(fd);
        if (!one?.file) return BAD_FILE;
        let at = Number(from);
        const sum = this.each(list, count, (part) => {
          one.file.write(part, at);
          at += part.length;
          return part.length;
        });
        disk.changed.add(one.path);
        this.view.setUint32(done, sum, true);
        return OK;
      },
      fd_readdir: (/** @type {number} */ fd, /** @type {number} */ at, /** @type {number} */ room, /** @type {bigint} */ cookie, /** @type {number} */ done) => {
        const one = this.open.get(fd);
        if (!one || one.file) return BAD_FILE;
        if (cookie === 0n || !one.list) one.list = disk.list(one.path);
        let used = 0;
        for (let k = Number(cookie); k < one.list.length && used < room; k++) {
          const [name, folder] = /** @type {[string, boolean]} */ (one.list[k]);
          const text = new TextEncoder().encode(name);
          const entry = new Uint8Array(24 + text.length);
          const view = new DataView(entry.buffer);
          view.setBigUint64(0, BigInt(k + 1), true);
          view.setBigUint64(8, this.inode(one.path === "/" ? `/${name}` : `${one.path}/${name}`), true);
          view.setUint32(16, text.length, true);
          view.setUint8(20, folder ? A_FOLDER : A_FILE);
          entry.set(text, 24);
          const part = entry.subarray(0, room - used);
          this.bytes(at + used, part.length).set(part);
          used += part.length;
        }
        this.view.setUint32(done, used, true);
        return OK;
      },
      path_create_directory: (/** @type {number} */ fd, /** @type {number} */ at, /** @type {number} */ length) => {
        const path = this.path(fd, at, length);
        if (disk.folders.has(path) || disk.files.has(path)) return EXISTS;
        disk.folders.add(path);
        return OK;
      },
      path_remove_directory: (/** @type {number} */ fd, /** @type {number} */ at, /** @type {number} */ length) => {
        const path = this.path(fd, at, length);
        if (!disk.folders.has(path)) return disk.files.has(path) ? NO_FOLDER : NONE;
        if (disk.list(path).length > 0) return NOT_EMPTY;
        disk.folders.delete(path);
        return OK;
      },
      path_filestat_get: (/** @type {number} */ fd, /** @type {number} */ _flags, /** @type {number} */ at, /** @type {number} */ length, /** @type {number} */ into) =>
        this.stat(this.path(fd, at, length), into),
      path_unlink_file: (/** @type {number} */ fd, /** @type {number} */ at, /** @type {number} */ length) => {
        const path = this.path(fd, at, length);
        if (!disk.files.has(path)) return disk.folders.has(path) ? IS_FOLDER : NONE;
        disk.remove(path);
        return OK;
      },
      path_rename: (/** @type {number} */ fd, /** @type {number} */ at, /** @type {number} */ length, /** @type {number} */ toFd, /** @type {number} */ toAt, /** @type {number} */ toLength) => {
        const [from, to] = [this.path(fd, at, length), this.path(toFd, toAt, toLength)];
        if (!disk.files.has(from)) return NONE;
        disk.rename(from, to);
        for (const one of this.open.values()) if (one.path === from && one.file) one.path = to;
        return OK;
      },
      // A second name is a second file here: nobody in the module goes on with the first.
      path_link: (/** @type {number} */ fd, /** @type {number} */ _flags, /** @type {number} */ at, /** @type {number} */ length, /** @type {number} */ toFd, /** @type {number} */ toAt, /** @type {number} */ toLength) => {
        const [from, to] = [this.path(fd, at, length), this.path(toFd, toAt, toLength)];
        if (!disk.files.has(from)) return NONE;
        if (disk.files.has(to)) return EXISTS;
        return disk.copy(from, to) ? OK : FULL;
      },
      path_readlink: () => INVALID,
      path_open: (
        /** @type {number} */ fd, /** @type {number} */ _follow, /** @type {number} */ at, /** @type {number} */ length,
        /** @type {number} */ how, /** @type {bigint} */ _rights, /** @type {bigint} */ _inherited, /** @type {number} */ flags, /** @type {number} */ opened,
      ) => {
        const path = this.path(fd, at, length);
        let file = disk.files.get(path);
        const folder = disk.folders.has(path);
        if (how & FOLDER && !folder) return file ? NO_FOLDER : NONE;
        if (how & EXCLUSIVE && (file || folder)) return EXISTS;
        if (!file && !folder) {
          if (!(how & CREATE)) return NONE;
          if (!disk.folders.has(path.slice(0, path.lastIndexOf("/")) || "/")) return NONE;
          file = disk.create(path) ?? undefined;
          if (!file) return FULL;
        }
        if (file && how & TRUNCATE) {
          file.truncate(0);
          disk.changed.add(path);
        }
        let number = 4;
        while (host.open.has(number)) number++;
        this.open.set(number, { path, file: file ?? null, at: 0, append: (flags & APPEND) !== 0, list: null });
        this.view.setUint32(opened, number, true);
        return OK;
      },
    };

    /** @param {number} fd */
    function sync(fd) {
      const one = host.open.get(fd);
      if (!one) return BAD_FILE;
      one.file?.flush();
      return OK;
    }
  }
}
