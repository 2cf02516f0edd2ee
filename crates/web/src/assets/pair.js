// Pairing: the code may already be in the address, after the picture was read by a camera.

import { ask, the } from "./ask.js";

const code = /** @type {HTMLInputElement} */ (the("code"));
const name = /** @type {HTMLInputElement} */ (the("name"));
if (/^#\d{10}$/.test(location.hash)) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", location.pathname);
}

/** The lanes, with what was carried here from another address of this server. The question mark makes it a page of its own. Whoever came
 * to exchange records goes on with that. */
const lanes = () => (location.hash.startsWith("#unsent=") ? `/lanes?${location.hash}` : location.pathname === "/exchange" ? "/exchange" : "/lanes");

// A browser that comes from another address does not say that it is paired; asked from here, it does.
if (location.pathname !== "/pair") ask("/lanes/blocks").then(() => location.replace(lanes()), () => {});

the("pair").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    await ask("/pair", { code: code.value, name: name.value });
    location.assign(lanes());
  } catch (why) {
    the("said").textContent = why instanceof Error ? why.message : String(why);
  }
});
