// Forgetting devices.

import { ask, the } from "./ask.js";

the("devices").addEventListener("click", async (event) => {
  const button = /** @type {HTMLElement} */ (event.target).closest("button");
  if (!button) return;
  await ask("/devices/forget", { id: Number(button.dataset.id) });
  button.closest("li")?.remove();
});
