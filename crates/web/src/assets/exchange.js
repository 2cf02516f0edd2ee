// Exchanging records with a phone that runs the app alone: it opened this window, or its file is chosen here.

import { the } from "./ask.js";

const said = the("said");
const go = /** @type {HTMLButtonElement} */ (the("go"));
const file = /** @type {HTMLInputElement} */ (the("file"));

/** Sends a record, and gets what is here then. @param {ArrayBuffer} record */
async function exchange(record) {
  const asked = await fetch("/exchange", { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: record });
  if (asked.ok) return asked.arrayBuffer();
  const { error } = await asked.json().catch(() => ({ error: `the server answered ${asked.status}` }));
  throw new Error(error);
}

/** @param {unknown} why */
const words = (why) => (why instanceof Error ? why.message : String(why));

const phone = /** @type {Window | null} */ (window.opener);
if (phone) {
  the("by-file").hidden = true;
  addEventListener("message", ({ origin, source, data }) => {
    if (source !== phone || data.boardwise !== "record") return;
    the("from").textContent = origin;
    the("asked").hidden = false;
    go.addEventListener("click", async () => {
      go.disabled = true;
      said.textContent = "One moment...";
      try {
        const bytes = await exchange(data.bytes);
        phone.postMessage({ boardwise: "record", bytes }, origin, [bytes]);
        said.textContent = "Done. Close this window.";
      } catch (why) {
        said.textContent = words(why);
        phone.postMessage({ boardwise: "failed", why: words(why) }, origin);
      }
    }, { once: true });
  });
  // Nothing is told here but that this page is ready; who hears of it is not known yet.
  phone.postMessage({ boardwise: "ready" }, "*");
}

file.addEventListener("change", async () => {
  const chosen = file.files?.[0];
  if (!chosen) return;
  the("made").hidden = true;
  said.textContent = "One moment...";
  try {
    const link = /** @type {HTMLAnchorElement} */ (the("back"));
    URL.revokeObjectURL(link.href);
    link.href = URL.createObjectURL(new Blob([await exchange(await chosen.arrayBuffer())]));
    link.download = chosen.name;
    the("made").hidden = false;
    said.textContent = "All that was in the file is here now.";
  } catch (why) {
    said.textContent = words(why);
  }
  file.value = "";
});
