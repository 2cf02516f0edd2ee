// The first minute: three answers, then the lanes. A sheet of one's own is looked at while it is typed.

import { ask, the, theme } from "./ask.js";

/** Time without typing after which what was typed is looked at. */
const PAUSE_MS = 300;

const form = /** @type {HTMLFormElement} */ (the("first"));
const rows = the("rows");
const button = /** @type {HTMLButtonElement} */ (the("begin-first"));
/** A lane file that was opened in place of typed rows. @type {string | null} */
let opened = null;
/** Whether what was typed or opened can be played on. */
let sheetIsWhole = false;
let pause = 0;
/** Answers may overtake each other: the last question counts. */
let looked = 0;

/** @param {string} name */
function chosen(name) {
  return /** @type {HTMLInputElement | null} */ (form.querySelector(`input[name="${name}"]:checked`));
}

/** @param {HTMLInputElement} answer */
function title(answer) {
  return answer.parentElement?.querySelector(".title")?.textContent ?? "";
}

// --- what is answered

function who() {
  const kept = chosen("who");
  if (kept) return { kept: { bowler: kept.value } };
  const [hand, manner] = [chosen("hand"), chosen("manner")];
  return hand && manner ? { new: { name: null, hand: hand.value, manner: manner.value } } : null;
}

function numberOf(/** @type {string} */ id) {
  return /** @type {HTMLInputElement} */ (the(id)).valueAsNumber;
}

/** @returns {[number, number] | null} */
function numbers() {
  const pair = chosen("pair");
  if (!pair) return null;
  const [a, b] = pair.value === "other" ? [numberOf("left-lane"), numberOf("right-lane")] : pair.value.split("-").map(Number);
  return Number.isInteger(a) && Number.isInteger(b) && a > 0 && b > 0 && a !== b ? [a, b] : null;
}

function lane() {
  const kept = chosen("kept");
  if (kept) return { kept: kept.value };
  const one = chosen("lane");
  if (!one) return null;
  if (one.value !== "sheet") return { usual: one.value };
  if (!sheetIsWhole) return null;
  return opened === null ? { sheet: typed() } : { text: opened };
}

/** A field of a row. @param {Element} row @param {string} name */
function field(row, name) {
  return /** @type {HTMLInputElement} */ (row.querySelector(`[name="${name}"]`)).value.trim();
}

/** A number as people type it; null, which is refused, where it is none. @param {string} words */
function number(words) {
  const value = Number(words.replace(",", "."));
  return words === "" || Number.isNaN(value) ? null : value;
}

/** The sheet as it was typed. */
function typed() {
  const total = number(/** @type {HTMLInputElement} */ (the("total")).value.trim());
  return {
    name: /** @type {HTMLInputElement} */ (the("sheet-name")).value.trim() || "My sheet",
    total_microlitres: total,
    rows: [...rows.children].map((row) => ({
      from: field(row, "from"), to: field(row, "to"), loads: number(field(row, "loads")),
      microlitres_per_board: number(field(row, "microlitres_per_board")),
      feet: [number(field(row, "start")), number(field(row, "end"))], direction: field(row, "direction"),
    })),
  };
}

// --- what is shown

function paint() {
  the("sheet").hidden = chosen("lane")?.value !== "sheet";
  const others = /** @type {HTMLElement} */ (form.querySelector(".others"));
  others.hidden = chosen("pair")?.value !== "other";
  const [one, on, where] = [who(), lane(), numbers()];
  button.disabled = !one || !on || !where;
  const left = [one ? null : "who you are", on ? null : "what is on the lane", where ? null : "which lanes"].filter((word) => word !== null);
  const bowler = chosen("who") ?? chosen("hand");
  const pattern = chosen("kept") ?? chosen("lane");
  the("sum").textContent = left.length > 0 ? `Still open: ${left.join(", ")}.`
    : [bowler ? title(bowler) : "", chosen("who") ? "" : title(/** @type {HTMLInputElement} */ (chosen("manner"))).toLowerCase(), pattern ? title(pattern) : "", `lanes ${where?.[0]} and ${where?.[1]}`]
      .filter((word) => word !== "").join(", ") + ".";
}

/** One answer to a question takes the other away. @param {string[]} names */
function clear(...names) {
  for (const name of names) {
    const other = chosen(name);
    if (other) other.checked = false;
  }
}

// --- a sheet of one's own

function addRow() {
  const made = /** @type {DocumentFragment} */ (/** @type {HTMLTemplateElement} */ (the("row")).content.cloneNode(true));
  const last = rows.lastElementChild;
  if (last) {
    // Sheets go on where the row before ended.
    /** @type {HTMLInputElement} */ (made.querySelector("[name=start]")).value = field(last, "end");
    /** @type {HTMLInputElement} */ (made.querySelector("[name=end]")).value = field(last, "direction") === "out" ? "40" : "0";
    /** @type {HTMLSelectElement} */ (made.querySelector("[name=direction]")).value = field(last, "direction");
  }
  rows.append(made);
  countRows();
}

function countRows() {
  [...rows.children].forEach((row, k) => {
    /** @type {HTMLElement} */ (row.querySelector("legend")).textContent = `Row ${k + 1}`;
  });
}

function soon() {
  clearTimeout(pause);
  pause = setTimeout(look, PAUSE_MS);
}

/** @param {string | null} wrong @param {string[]} doubts */
function say(wrong, doubts) {
  the("sheet-wrong").textContent = wrong ?? "";
  the("sheet-picture").classList.toggle("old", wrong !== null);
  the("doubts").replaceChildren(...doubts.map((words) => {
    const line = document.createElement("li");
    line.textContent = words;
    return line;
  }));
}

async function look() {
  const mine = ++looked;
  const sheet = typed();
  sheetIsWhole = false;
  if (opened === null && sheet.rows.some((row) => [row.loads, row.microlitres_per_board, ...row.feet].includes(null))) {
    say("Fill in every number of the rows.", []);
    paint();
    return;
  }
  const left = chosen("hand")?.value === "left" || chosen("who")?.dataset.left !== undefined;
  try {
    if (opened === null) {
      /** @type {import("./answers").SheetLooked} */
      const said = await ask("/first/sheet", { sheet, left, theme: theme() });
      if (mine !== looked) return;
      sheetIsWhole = said.wrong === null;
      say(said.wrong, said.doubts);
      if (said.picture) the("sheet-picture").innerHTML = said.picture;
      the("laid").textContent = said.volume_ml === null || said.length_ft === null ? "" : `${said.volume_ml.toFixed(1)} mL over ${said.length_ft.toFixed(0)} ft.`;
    } else {
      /** @type {import("./answers").Looked} */
      const said = await ask("/before/look/lane", { name: "your-file", text: opened, left, theme: theme() });
      if (mine !== looked) return;
      sheetIsWhole = said.fault === undefined;
      say(said.fault?.words ?? null, said.warnings ?? []);
      if (said.picture) the("sheet-picture").innerHTML = said.picture;
      the("laid").textContent = "";
    }
  } catch (why) {
    if (mine === looked) say(why instanceof Error ? why.message : String(why), []);
  }
  paint();
}

the("add-row").addEventListener("click", () => {
  addRow();
  soon();
});
rows.addEventListener("click", (event) => {
  const remove = /** @type {HTMLElement} */ (event.target).closest(".remove");
  if (!remove) return;
  remove.closest(".sheet-row")?.remove();
  if (rows.children.length === 0) addRow();
  countRows();
  the("add-row").focus();
  soon();
});
the("open-sheet").addEventListener("change", async (event) => {
  const file = /** @type {HTMLInputElement} */ (event.target).files?.[0];
  if (!file) return;
  opened = await file.text();
  rows.hidden = true;
  the("opened").hidden = false;
  the("opened").textContent = `Opened: ${file.name}. It takes the place of the rows.`;
  look();
});
the("sheet").addEventListener("input", (event) => {
  if (/** @type {HTMLElement} */ (event.target).id !== "open-sheet") soon();
});

// --- answering

form.addEventListener("change", (event) => {
  const one = /** @type {HTMLInputElement} */ (event.target);
  if (one.name === "who") clear("hand", "manner");
  if (one.name === "hand" || one.name === "manner") clear("who");
  if (one.name === "kept") clear("lane");
  if (one.name === "lane") clear("kept");
  if (one.name === "lane" && one.value === "sheet") {
    if (rows.children.length === 0) addRow();
    look();
  }
  paint();
});
form.addEventListener("input", paint);
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const [one, on, where] = [who(), lane(), numbers()];
  if (!one || !on || !where) return;
  button.disabled = true;
  the("wrong").hidden = true;
  the("sum").textContent = "Looking for your first line.";
  try {
    /** @type {import("./answers").PageReady} */
    const said = await ask("/first", { who: one, lane: on, numbers: where });
    location.assign(said.page);
  } catch (why) {
    the("wrong").textContent = why instanceof Error ? why.message : "The server does not answer. Your answers stand: try again.";
    the("wrong").hidden = false;
    paint();
  }
});
paint();
