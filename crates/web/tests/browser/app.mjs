// The real program, served for a test, and a real browser to open it with.

import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, afterEach } from "node:test";
import { chromium } from "playwright-core";

export const PROGRAM = process.env.BOARDWISE ?? new URL("../../../../target/release/boardwise", import.meta.url).pathname;
const BROWSER = process.env.CHROMIUM ?? "/usr/bin/chromium";

export const PHONE = { width: 360, height: 740 };
export const SMALL_PHONE = { width: 360, height: 640 };
export const DESK = { width: 1280, height: 800 };

/** Serves a record in a folder of its own, on any free port or on the one given. */
export async function serve({ folder = mkdtempSync(join(tmpdir(), "boardwise-")), port = 0, more = [] } = {}) {
  const record = join(folder, "a.record");
  const program = spawn(PROGRAM, ["serve", "--record", record, "--port", String(port), ...more], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const started = performance.now();
  let said = "";
  const url = await new Promise((done, failed) => {
    program.stdout.on("data", (bytes) => {
      said += bytes;
      const found = /http:\/\/127\.0\.0\.1:(\d+)/.exec(said);
      if (found) done(found[0]);
    });
    program.on("exit", (code) => failed(new Error(`the program ended with ${code}: ${said}`)));
    program.stderr.on("data", (bytes) => { said += bytes; });
  });
  const ended = new Promise((done) => program.on("exit", done));
  return {
    url, folder, record, program, ms: performance.now() - started, port: Number(new URL(url).port),
    async stop(signal = "SIGTERM") {
      program.kill(signal);
      await ended;
    },
    async clear() {
      program.kill("SIGKILL");
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

let browser;
const contexts = [];

/** A page of a browser that knows nothing yet. */
export async function open(url, { viewport = PHONE, colorScheme = "light", more = {} } = {}) {
  browser ??= await chromium.launch({
    executablePath: BROWSER, args: ["--no-sandbox", "--font-render-hinting=none", "--disable-lcd-text", "--force-color-profile=srgb"],
    env: { ...process.env, FONTCONFIG_FILE: new URL("fonts.conf", import.meta.url).pathname },
  });
  const context = await browser.newContext({ viewport, colorScheme, ...more });
  contexts.push(context);
  const page = await context.newPage();
  const errors = [];
  page.on("pageerror", (error) => errors.push(error.message));
  if (url) await page.goto(url);
  return { context, page, errors };
}

/** Closes every page, so that none of them asks on while the next test runs. */
export async function closePages() {
  const left = contexts.splice(0);
  // What a test answers in the server's place may still be under way.
  await Promise.all(left.flatMap((context) => context.pages()).map((page) => page.unrouteAll({ behavior: "ignoreErrors" })));
  await Promise.all(left.map((context) => context.close()));
}

export async function close() {
  await browser?.close();
  browser = undefined;
}

/** The program for all tests of a file: its pages are closed after each, and it ends with the last. */
export async function served() {
  const app = await serve();
  afterEach(closePages);
  after(async () => {
    await close();
    await app.clear();
  });
  return app;
}

/** Asks the server as a page would. */
export async function ask(url, path, body) {
  const answer = await fetch(url + path, body === undefined ? {} : {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
  });
  const text = await answer.text();
  let said;
  try {
    said = JSON.parse(text);
  } catch {
    said = text;
  }
  return { status: answer.status, said, headers: answer.headers };
}

/** Begins a block on the demo event. */
export async function begin(url, more = {}) {
  const { status, said } = await ask(url, "/lanes/start", { event: "short-32-squad", ...more });
  if (status !== 200) throw new Error(JSON.stringify(said));
  return said;
}
