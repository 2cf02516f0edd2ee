// After the block: the account is fetched when the rest stands, notes are kept, and paper gets everything opened.

import { ask, freshKey, the } from "./ask.js";

const place = document.getElementById("account");
const form = /** @type {HTMLFormElement | null} */ (document.getElementById("note"));
if (place?.dataset.from) tell(place, place.dataset.from);
else if (place) drills(place);

/**
 * Works the account out, saying for how long.
 * @param {HTMLElement} into
 * @param {string} from
 */
async function tell(into, from) {
  const status = document.createElement("p");
  status.setAttribute("role", "status");
  status.textContent = "Working it out: every first ball is bowled again in thought. Some seconds.";
  const clock = document.createElement("p");
  clock.className = "quiet";
  clock.setAttribute("aria-hidden", "true");
  into.replaceChildren(status, clock);
  into.setAttribute("aria-busy", "true");
  const begun = performance.now();
  const tick = setInterval(() => {
    clock.textContent = `${Math.round((performance.now() - begun) / 1000)} s so far`;
  }, 1000);
  try {
    const asked = await fetch(from, { cache: "no-store" });
    const text = await asked.text();
    if (!asked.ok) throw new Error(reason(text, asked.status));
    const part = new DOMParser().parseFromString(text, "text/html").body;
    into.replaceChildren(...Array.from(part.childNodes, (node) => document.importNode(node, true)));
    drills(into);
  } catch (why) {
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Try again";
    again.addEventListener("click", () => tell(into, from));
    status.textContent = `It could not be worked out: ${why instanceof Error ? why.message : why}.`;
    into.replaceChildren(status, again);
  } finally {
    clearInterval(tick);
    into.removeAttribute("aria-busy");
  }
}

/** @param {string} text @param {number} status */
function reason(text, status) {
  try {
    return JSON.parse(text).error;
  } catch {
    return text || `the server answered ${status}`;
  }
}

if (form) keep(form);

/** @param {HTMLFormElement} form */
function keep(form) {
  form.hidden = false;
  const field = /** @type {HTMLTextAreaElement} */ (the("text"));
  // One key until it is kept: a note sent twice is written once.
  let key = freshKey();
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const text = field.value.trim();
    if (!text) return;
    the("kept").textContent = "Keeping it.";
    try {
      const said = await ask("/after/note", { key, block: form.dataset.block, bowler: form.dataset.bowler, text });
      key = freshKey();
      field.value = "";
      the("notes").replaceChildren(...said.notes.map(item));
      the("kept").textContent = "Kept.";
    } catch (why) {
      the("kept").textContent = `Not kept: ${why instanceof Error ? why.message : why}. What you wrote is still here.`;
    }
  });
  // Another text under the same key would be taken for the first.
  field.addEventListener("input", () => { key = freshKey(); });
}

/**
 * Results of drills are notes of the shown block in fixed words; the page says them but for the number.
 * @param {HTMLElement} within
 */
function drills(within) {
  if (!form) return;
  const { block, bowler } = form.dataset;
  for (const drill of /** @type {NodeListOf<HTMLFormElement>} */ (within.querySelectorAll("form.drill"))) {
    drill.hidden = false;
    const field = /** @type {HTMLInputElement} */ (drill.elements.namedItem("reached"));
    const status = /** @type {HTMLElement} */ (drill.querySelector("[role=status]"));
    let key = freshKey();
    field.addEventListener("input", () => { key = freshKey(); });
    drill.addEventListener("submit", async (event) => {
      event.preventDefault();
      const text = (drill.dataset.note ?? "").replace("#", String(Number(field.value)));
      status.textContent = "Keeping it.";
      try {
        const said = await ask("/after/note", { key, block, bowler, text });
        key = freshKey();
        the("notes").replaceChildren(...said.notes.map(item));
        status.textContent = "Kept. Your next block says whether it moved.";
      } catch (why) {
        status.textContent = `Not kept: ${why instanceof Error ? why.message : why}.`;
      }
    });
  }
}

/** @param {import("./answers").NoteView} note */
function item(note) {
  const line = document.createElement("li");
  const when = document.createElement("time");
  when.className = "quiet";
  when.dateTime = note.at;
  when.textContent = note.at.slice(0, 10);
  line.append(when, ` ${note.text}`);
  return line;
}

for (const one of /** @type {NodeListOf<HTMLButtonElement>} */ (document.querySelectorAll("[data-back]"))) {
  one.hidden = false;
  one.addEventListener("click", async () => {
    try {
      await ask("/lanes/back", { block: one.dataset.back });
      location.assign("/lanes");
    } catch (why) {
      one.textContent = why instanceof Error ? why.message : String(why);
    }
  });
}

const print = document.getElementById("print");
if (print) {
  print.hidden = false;
  print.addEventListener("click", () => window.print());
}

/** @type {HTMLDetailsElement[]} */
let opened = [];
addEventListener("beforeprint", () => {
  opened = Array.from(document.querySelectorAll("#after details:not(.blocks)"), (one) => /** @type {HTMLDetailsElement} */ (one));
  opened = opened.filter((one) => !one.open);
  for (const one of opened) one.open = true;
});
addEventListener("afterprint", () => {
  for (const one of opened) one.open = false;
});
