// The folder that `boardwise site` writes, on a host of our own, and a browser whose profile stays from one opening to the next.
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { chromium } from "playwright-core";

export const PROGRAM = process.env.BOARDWISE ?? new URL("../../../target/debug/boardwise", import.meta.url).pathname;
const MODULE = process.env.MODULE ?? new URL("../target/boardwise.wasm", import.meta.url).pathname;
const BROWSER = process.env.CHROMIUM ?? "/usr/bin/chromium";
const KINDS = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".json": "application/json", ".svg": "image/svg+xml",
  ".png": "image/png", ".wasm": "application/wasm", ".webmanifest": "application/manifest+json" };

/** A folder of this run alone. */
export const folder = () => mkdtempSync(join(tmpdir(), "boardwise-phone-"));
export const clear = (path) => rmSync(path, { recursive: true, force: true });

/** Writes the site. */
export function write(into, module = MODULE) {
  const { status, stderr, stdout } = spawnSync(PROGRAM, ["site", into, "--module", module], { encoding: "utf8" });
  if (status !== 0) throw new Error(stderr);
  return stdout;
}

/** Any host for files. It counts what it is asked. */
export async function host(files, port = 0) {
  const asked = [];
  const server = createServer((request, response) => {
    const path = new URL(request.url, "http://localhost").pathname;
    asked.push(path);
    const file = join(files, path === "/" ? "index.html" : path);
    try {
      if (!statSync(file).isFile()) throw new Error("no file");
      response.writeHead(200, { "content-type": KINDS[extname(file)] ?? "application/octet-stream" }).end(readFileSync(file));
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((go) => server.listen(port, "127.0.0.1", go));
  return {
    asked, port: server.address().port, url: `http://localhost:${server.address().port}/`,
    async stop() {
      server.closeAllConnections();
      await new Promise((go) => server.close(go));
    },
  };
}

/** A browser with this profile. */
export async function browser(profile, more = {}) {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: BROWSER, viewport: { width: 360, height: 740 }, args: ["--no-sandbox", "--font-render-hinting=none"], ...more,
  });
  return context;
}

/** Opens the app, and gives the page around the pages, the page inside, and what went wrong. */
export async function open(context, url) {
  const page = context.pages()[0] ?? (await context.newPage());
  const errors = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (said) => said.type() === "error" && errors.push(said.text()));
  page.on("dialog", (dialog) => dialog.accept());
  await page.goto(url);
  await page.waitForSelector("iframe:not([hidden])", { timeout: 60_000 });
  const inside = await (await page.$("iframe")).contentFrame();
  await inside.waitForSelector("nav", { timeout: 60_000 });
  return { page, inside, errors };
}

/** A picture for whoever wants to look, into the folder BOARDWISE_PICTURES. */
export async function shown(page, name) {
  const pictures = process.env.BOARDWISE_PICTURES;
  if (!pictures) return;
  mkdirSync(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `${name}.png`) });
}

/** Asks as the page inside would. */
export const ask = (inside, path, body) =>
  inside.evaluate(async ([path, body]) => {
    const answer = await fetch(path, body === undefined ? { cache: "no-store" } : {
      method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
    });
    const text = await answer.text();
    try {
      return { status: answer.status, said: JSON.parse(text) };
    } catch {
      return { status: answer.status, said: text };
    }
  }, [path, body]);
