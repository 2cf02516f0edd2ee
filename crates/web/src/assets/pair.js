// Pairing: the code may already be in the address, after the picture was read by a camera.

import { ask, the } from "./ask.js";

const code = /** @type {HTMLInputElement} */ (the("code"));
const name = /** @type {HTMLInputElement} */ (the("name"));
if (/^#\d{6}$/.test(location.hash)) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", "/pair");
}

the("pair").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    await ask("/pair", { code: code.value, name: name.value });
    location.assign("/lanes");
  } catch (why) {
    the("said").textContent = why instanceof Error ? why.message : String(why);
  }
});
