// The record: checked, and copied.

import { ask, the } from "./ask.js";

const said = the("record-said");

/**
 * @param {string} id of the button
 * @param {string} path
 * @param {string} doing what is said meanwhile
 */
function on(id, path, doing) {
  const button = /** @type {HTMLButtonElement} */ (the(id));
  button.addEventListener("click", async () => {
    button.disabled = true;
    said.textContent = doing;
    try {
      const found = /** @type {import("./answers").CheckAnswer} */ (await ask(path, {}));
      const sheets = `${found.facts} facts on ${found.sheets} ${found.sheets === 1 ? "sheet" : "sheets"}`;
      const backup = found.backup ? `Latest backup: ${found.backup}.` : "There is no backup beside it yet.";
      said.textContent = `The record is whole: ${sheets}. ${found.read_only ? `${found.read_only}. ` : ""}${backup}`;
    } catch (why) {
      said.textContent = `${why instanceof Error ? why.message : why}`;
    } finally {
      button.disabled = false;
    }
  });
}

on("check", "/devices/record/check", "Every row is being checked ...");
on("backup", "/devices/record/backup", "A backup is being made ...");
