// @ts-check
// Questions that take long and have a page of their own. Each is answered in a worker of its own, one after the other; meanwhile its
// page stands and hears how far it is. With its answer the worker ends, for that is the only way to give its memory back. What it
// answered is kept as the pages ask for it.

/** @typedef {{ method: string, address: string, body?: ArrayBuffer }} Asked */
/** @typedef {{ status: number, headers: [string, string][], body: ArrayBuffer, behind?: number }} Said */
/** @typedef {{ ask: (name: string, asked: Asked) => Promise<Said>, work: (name: string, hears: (share: number) => void) => Promise<void>, end: (name: string) => void }} Workers */
/**
 * A question, from its first page on. `again` says whether it may be asked anew.
 * @typedef {{ id: string, name: string, state: "running" | "done" | "failed" | "stopped", again: boolean, why: string, since: number | null,
 *   share: number, page: Said | null, kept: Map<string, Said>, begun: Promise<Said> | null }} Job
 */

const ASKED = /^\/before\/(?:brief|bag|block|practice)(?:\/(state|stop|picture))?$/;
/** Answers that are kept; the oldest go first. */
const MOST_KEPT = 12;

export class Long {
  /** @type {Map<string, Job>} */
  #jobs = new Map();
  #turn = Promise.resolve();
  #made = 0;

  /** @param {Workers} workers @param {(asked: Asked) => Promise<Said>} short answers what takes no time */
  constructor(workers, short) {
    this.workers = workers;
    this.short = short;
  }

  /** Whether this is for whoever answers long questions. @param {string} path */
  static takes(path) {
    return ASKED.test(path);
  }

  /** @param {Asked} asked @returns {Promise<Said>} */
  async answer(asked) {
    const [path = "", query = ""] = asked.address.split("?");
    const part = ASKED.exec(path)?.[1];
    const page = part ? path.slice(0, -part.length - 1) : path;
    const id = query === "" ? page : `${page}?${query}`;
    const job = this.#jobs.get(id);
    if (part === "picture") {
      const known = [...this.#jobs.values()].map(({ kept }) => kept.get(asked.address)).find((one) => one);
      return known ? copy(known) : this.short(asked);
    }
    if (part === "state") return job ? state(job) : this.short(asked);
    if (part === "stop") {
      if (job?.state === "running") await this.#stop(job);
      return json({ schema: 1 });
    }
    if (asked.method === "POST") return !job || job.again ? this.#begin(id, asked) : json({ schema: 1, page: `${page}?${query}` });
    if (job) {
      const begun = await job.begun;
      return copy(/** @type {Said} */ (job.page ?? begun));
    }
    return page === "/before/brief" ? this.#begin(id, asked) : this.short(asked);
  }

  /** Files changed that answers rest on. */
  forget() {
    for (const job of this.#jobs.values()) {
      if (job.state === "running") job.state = "stopped";
      this.workers.end(job.name);
    }
    this.#jobs.clear();
  }

  /** @param {string} id @param {Asked} asked */
  async #begin(id, asked) {
    /** @type {Job} */
    const job = { id, name: `long ${++this.#made}`, state: "running", again: false, why: "", since: null, share: 0, page: null, kept: new Map(), begun: null };
    this.#jobs.delete(id);
    this.#jobs.set(id, job);
    for (const [oldest, { state }] of this.#jobs) if (this.#jobs.size > MOST_KEPT && state !== "running") this.#jobs.delete(oldest);
    job.begun = this.#first(job, asked);
    return copy(await job.begun);
  }

  /** What is said before the answer. @param {Job} job @param {Asked} asked */
  async #first(job, asked) {
    const { workers } = this;
    const no = () => {
      if (this.#jobs.get(job.id) === job) this.#jobs.delete(job.id);
      workers.end(job.name);
    };
    try {
      const said = await workers.ask(job.name, asked);
      if (!said.behind) {
        // Something is wrong with the question, and that was said.
        no();
        return said;
      }
      job.page = asked.method === "GET" ? said : await workers.ask(job.name, get(job.id));
      this.#turn = this.#turn.then(() => this.#work(job));
      return said;
    } catch (why) {
      no();
      throw why;
    }
  }

  /** @param {Job} job */
  async #work(job) {
    if (job.state !== "running" || this.#jobs.get(job.id) !== job) return;
    const { workers } = this;
    job.since = performance.now();
    try {
      await workers.work(job.name, (share) => { job.share = share; });
      const page = await workers.ask(job.name, get(job.id));
      const told = await workers.ask(job.name, get(job.id.replace(/\?|$/, "/state$&")));
      job.kept.set("state", told);
      for (const address of pictures(text(page))) job.kept.set(address, await workers.ask(job.name, get(address)));
      job.again = JSON.parse(text(told)).state !== "done";
      job.page = page;
      job.state = "done";
    } catch (why) {
      // Whoever stopped it has said so already.
      if (job.state !== "running") return;
      job.why = why instanceof Error ? why.message : String(why);
      job.page = await this.#stopped(job.id).catch(() => job.page);
      job.again = true;
      job.state = "failed";
    } finally {
      workers.end(job.name);
    }
  }

  /** @param {Job} job */
  async #stop(job) {
    job.state = "stopped";
    job.again = true;
    // The module hears nothing while it works.
    this.workers.end(job.name);
    job.page = await this.#stopped(job.id);
  }

  /** The page of a question that was stopped. @param {string} id */
  async #stopped(id) {
    const name = `long ${++this.#made}`;
    const post = (/** @type {string} */ address) => this.workers.ask(name, { method: "POST", address, body: new TextEncoder().encode("{}").buffer });
    try {
      await post(id);
      await post(id.replace(/\?|$/, "/stop$&"));
      return await this.workers.ask(name, get(id));
    } finally {
      this.workers.end(name);
    }
  }
}

/** @param {string} address @returns {Asked} */
const get = (address) => ({ method: "GET", address });
/** Bodies are given away with each answer. @param {Said} said @returns {Said} */
const copy = ({ status, headers, body }) => ({ status, headers, body: body.slice(0) });
/** @param {Said} said */
const text = ({ body }) => new TextDecoder().decode(body);

/** @param {object} what @returns {Said} */
const json = (what) => ({ status: 200, headers: [["content-type", "application/json"]], body: new TextEncoder().encode(JSON.stringify(what)).buffer });

/** How far it is. @param {Job} job */
function state(job) {
  const told = job.kept.get("state");
  if (job.state === "done" && told) return copy(told);
  if (job.state === "failed") return json({ schema: 1, state: "failed", error: job.why });
  if (job.state === "stopped") return json({ schema: 1, state: "stopped" });
  const seconds = job.since === null ? 0 : (performance.now() - job.since) / 1000;
  return json({ schema: 1, state: "running", done: job.share, seconds });
}

/** The pictures of a page. @param {string} page */
function pictures(page) {
  const found = [...page.matchAll(/(?:src|srcset)="(\/before\/[^"]+)"/g)];
  return new Set(found.map(([, address = ""]) => address.replaceAll("&amp;", "&")));
}
