// @ts-check
// The page of a phone that runs the app alone. What its buttons do is done by the page around it, which keeps the record.

const shell = /** @type {any} */ (parent).boardwise;
const said = /** @type {HTMLElement} */ (document.getElementById("said"));

/** @param {string} name */
const the = (name) => /** @type {HTMLElement} */ (document.querySelector(`[data-phone="${name}"]`));

/** Does something and says what came of it. @param {() => Promise<string>} work */
async function run(work) {
  said.textContent = "One moment...";
  try {
    said.textContent = await work();
  } catch (why) {
    said.textContent = why instanceof Error ? why.message : String(why);
  }
}

the("take-out").addEventListener("click", () =>
  run(async () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await shell.takeOut());
    link.download = `${new Date().toISOString().slice(0, 10)}.record`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    return `Saved as ${link.download}. It was opened and compared before it was given out.`;
  }),
);

the("bring-in").addEventListener("change", (event) =>
  run(async () => {
    const file = /** @type {HTMLInputElement} */ (event.target).files?.[0];
    if (!file) return "";
    return shell.bringIn(await file.arrayBuffer());
  }),
);

/** @type {any} */
let offered = null;

the("update").addEventListener("click", () =>
  run(async () => {
    if (offered) {
      await shell.update(offered);
      return "Starting anew...";
    }
    offered = await shell.newer();
    if (!offered) return "This is the newest version.";
    const state = await fetch("/lanes/screen", { cache: "no-store" });
    const open = state.ok && (await state.json()).next !== null;
    the("update").textContent = `Take version ${offered.version}`;
    return open ? "There is a newer version. A block is open: finish it first, or take the version now." : "There is a newer version.";
  }),
);
