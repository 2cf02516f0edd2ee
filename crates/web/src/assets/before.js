// A question before the block: asked, waited for, shown. The address is the question, so that a page opened again shows the same answer.

import { ask, the } from "./ask.js";

const POLL_MS = 700;

const form = /** @type {HTMLFormElement} */ (the("question"));
const path = form.dataset.path ?? "";

/** What the form asks, as it stands in the address. What is left empty is left out. */
function query() {
  const asked = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string" && value.trim() !== "") asked.set(name, value.trim());
  }
  return asked.toString();
}

/** @param {unknown} why */
function trouble(why) {
  const words = why instanceof Error ? why.message : String(why);
  the("trouble").textContent = words.replace(/^--/, "");
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const button = /** @type {HTMLButtonElement} */ (form.querySelector("button"));
  button.disabled = true;
  try {
    const said = await ask(`${path}?${query()}`, {});
    location.assign(said.page);
  } catch (why) {
    trouble(why);
  } finally {
    button.disabled = false;
  }
});

// Another event has other balls to choose from.
the("event").addEventListener("change", () => location.assign(`${path}?${query()}`));

/** The answer's part of the page, made anew by the server. */
async function renew() {
  const asked = await fetch(location.href, { cache: "no-store" });
  const page = new DOMParser().parseFromString(await asked.text(), "text/html");
  const fresh = page.getElementById("answer");
  if (fresh) the("answer").replaceWith(document.importNode(fresh, true));
}

// The answer's part is made anew now and then, the button with it.
document.addEventListener("click", async (event) => {
  const button = /** @type {HTMLElement} */ (event.target).closest("button");
  if (button?.id !== "stop") return;
  button.disabled = true;
  try {
    await ask(`${path}/stop${location.search}`, {});
    await renew();
    // Whoever stops one question is likely to ask another.
    form.querySelector("button")?.focus();
  } catch (why) {
    trouble(why);
    button.disabled = false;
  }
});

async function watch() {
  const state = the("answer").dataset.state;
  if (state !== "waiting" && state !== "running") return;
  try {
    /** @type {import("./answers").LongState} */
    const said = await ask(`${path}/state${location.search}`);
    if (said.state !== state) {
      await renew();
      if (said.state === "failed") trouble(said.error);
    } else if (said.state === "running") {
      const progress = /** @type {HTMLProgressElement} */ (the("progress"));
      if (said.done > 0) progress.value = said.done;
      else progress.removeAttribute("value");
      const left = said.done > 0.05 ? `, about ${Math.ceil((said.seconds / said.done) * (1 - said.done))} s to go` : "";
      the("spent").textContent = `${Math.round(said.seconds)} s${left}`;
    }
  } catch {
    the("spent").textContent = "The server does not answer; asking again.";
  }
  setTimeout(watch, POLL_MS);
}

watch();
