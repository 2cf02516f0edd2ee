// A file of the kit: its fields, its text and its picture say the same thing. The text is what counts; the server writes fields into it.

import { ask, Refused, the, theme } from "./ask.js";
import { LaneBoard } from "./before-lane.js";
import { ReadingChart } from "./before-reading.js";

/** Time without typing after which what was typed is looked at. */
const PAUSE_MS = 250;

/** @typedef {{ do: "set", path: string, value: string } | { do: "add", list: string } | { do: "remove", list: string, row: number }} Change */

const bench = the("bench");
const shelf = bench.dataset.shelf ?? "";
const form = /** @type {HTMLFormElement} */ (the("fields"));
const text = /** @type {HTMLTextAreaElement} */ (the("text"));
const name = /** @type {HTMLInputElement} */ (the("name"));
const plain = /** @type {HTMLDetailsElement} */ (the("plain"));
const DRAFT = `boardwise.draft.${location.pathname}`;

/** What was saved, or what the page began with. */
let saved = text.value;
/** What was done in the fields and is not in the text yet. @type {Change[]} */
let changes = [];
/** Counts what was typed into the text, so that an answer to an older one does not take its place. */
let typed = 0;
let pause = 0;
/** One look at a time, in order. */
let looking = false;
let again = false;

// --- looking

function soon() {
  clearTimeout(pause);
  pause = setTimeout(look, PAUSE_MS);
}

async function look() {
  clearTimeout(pause);
  if (looking) {
    again = true;
    return;
  }
  looking = true;
  const mine = changes;
  const before = typed;
  changes = [];
  try {
    const above = /** @type {HTMLInputElement | null} */ (document.querySelector("input[name=view]:checked"));
    const left = /** @type {HTMLInputElement | null} */ (document.getElementById("left"));
    const said = await ask(`/before/look/${shelf}`, {
      name: name.value.trim(), text: text.value, changes: mine, theme: theme(),
      above: above?.value === "above", left: left?.checked ?? false,
    });
    if (typed === before) {
      if (text.value !== said.text) text.value = said.text;
    } else {
      // Somebody wrote into the text meanwhile: the fields' changes are put into that.
      changes = [...mine, ...changes];
      again = true;
    }
    keepDraft();
    show(said);
  } catch (why) {
    changes = [...mine, ...changes];
    fault({ words: why instanceof Refused ? why.message : "The server does not answer. Nothing is lost: what you typed is kept on this device.", help: null, line: null, says: null });
  } finally {
    looking = false;
  }
  if (again) {
    again = false;
    look();
  }
}

/** @param {import("./answers").Looked} said */
function show(said) {
  paintFields(said.fields);
  fault(said.fault ?? null);
  const picture = document.getElementById("picture");
  for (const place of [picture, the("look")]) place?.classList.toggle("old", said.fault !== undefined);
  if (said.fault) return;
  the("look").innerHTML = said.look ?? "";
  for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll("a[data-ask]"))) {
    const event = bench.dataset.own || bench.dataset.from;
    link.search = `?event=${event}`;
  }
  the("warnings").replaceChildren(...(said.warnings ?? []).map((warning) => {
    const line = document.createElement("li");
    line.textContent = warning;
    return line;
  }));
  if (lane && said.picture) {
    lane.list = rows("strokes") > 0 ? "strokes" : rows("readings") > 0 ? "readings" : null;
    lane.put(said.picture, said.rails ?? null);
    offerRows();
  }
}

// --- a lane's picture, taken hold of

/** @param {string} path */
function fieldAt(path) {
  return fieldsOf(form).find((field) => field.name === path);
}

/** How many rows a list has. @param {string} list */
function rows(list) {
  const first = list === "strokes" ? "boards.0" : "feet";
  let count = 0;
  while (fieldAt(`${list}.${count}.${first}`)) count += 1;
  return count;
}

/** What the hand reads and writes: the same fields that are typed into. */
const byHand = {
  rows,
  read: (/** @type {string} */ path) => fieldAt(path)?.value ?? "",
  write(/** @type {string} */ path, /** @type {string} */ value) {
    const field = fieldAt(path);
    if (!field || field.value === value) return;
    field.value = value;
    changes = changes.filter((change) => change.do !== "set" || change.path !== path);
    changes.push({ do: "set", path, value });
    // The picture follows the hand: no pause, but one look at a time.
    look();
  },
};
const lane = document.getElementById("picture") ? new LaneBoard(the("picture"), byHand) : null;
const film = document.getElementById("film") ? new ReadingChart(the("film"), byHand) : null;

/** The rows above the picture, and the amount of the one in hand. */
function offerRows() {
  if (!lane) return;
  const shown = lane.rails !== null && lane.list !== null;
  the("hand").hidden = the("how").hidden = !shown;
  if (!shown) return;
  const strokes = lane.list === "strokes";
  const which = /** @type {HTMLSelectElement} */ (the("which"));
  const named = Array.from({ length: rows(lane.list ?? "") }, (_, k) => {
    const read = (/** @type {string} */ key) => byHand.read(`${lane.list}.${k}.${key}`);
    return strokes ? `${k + 1}: boards ${read("boards.0")} to ${read("boards.1")}, ${read("feet.0")} to ${read("feet.1")} ft, ${read("direction")}` : `${k + 1}: at ${read("feet")} ft`;
  });
  named.forEach((words, k) => {
    if (which.options[k]) which.options[k].text = words;
    else which.append(new Option(words, String(k)));
  });
  which.options.length = named.length;
  which.selectedIndex = lane.row;
  the("kind").textContent = strokes ? "Stroke" : "Reading";
  the("oil").hidden = !strokes;
  the("film").hidden = strokes;
  const amount = /** @type {HTMLInputElement} */ (the("amount"));
  if (strokes && amount !== document.activeElement) amount.value = byHand.read(`strokes.${lane.row}.microlitres`);
  if (!strokes && lane.rails) film?.show(lane.row, lane.rails.boards[0] > lane.rails.boards[1]);
}

if (lane) {
  lane.chosen = offerRows;
  the("which").addEventListener("change", (event) => lane.choose(/** @type {HTMLSelectElement} */ (event.target).selectedIndex));
  the("amount").addEventListener("input", () => byHand.write(`strokes.${lane.row}.microlitres`, /** @type {HTMLInputElement} */ (the("amount")).value));
  // Who fills in a row sees it on the picture.
  form.addEventListener("focusin", (event) => {
    const [list, row] = /** @type {HTMLInputElement} */ (event.target).name?.split(".") ?? [];
    if (list === lane.list && lane.rails) lane.choose(Number(row));
  });
}

/** @param {import("./answers").FaultView | null} wrong */
function fault(wrong) {
  the("fault").hidden = wrong === null;
  if (!wrong) return;
  the("words").textContent = wrong.words;
  the("help").textContent = wrong.help ?? "";
  /** @type {HTMLElement} */ (the("says").firstElementChild).textContent = wrong.says ?? "";
  the("there").hidden = wrong.line === null;
  the("there").dataset.line = String(wrong.line ?? "");
}

/** The fields as the text has them; one that is being typed into stays as it is. @param {string | null} html */
function paintFields(html) {
  for (const field of fieldsOf(form)) field.disabled = html === null;
  if (html === null) {
    plain.open = true;
    return;
  }
  const fresh = document.createElement("template");
  fresh.innerHTML = html;
  const [now, then] = [fieldsOf(fresh.content), fieldsOf(form)];
  const waits = new Set(changes.map((change) => (change.do === "set" ? change.path : "")));
  if (now.length === then.length && now.every((field, k) => field.name === then[k].name)) {
    now.forEach((field, k) => {
      if (then[k] !== document.activeElement && !waits.has(field.name)) then[k].value = field.value;
    });
    return;
  }
  const at = /** @type {HTMLInputElement | null} */ (document.activeElement)?.name;
  const open = new Set([...form.querySelectorAll("details[open]")].map((card) => /** @type {HTMLElement} */ (card).dataset.card));
  const before = form.querySelectorAll("details").length;
  form.replaceChildren(fresh.content);
  const cards = [...form.querySelectorAll("details")];
  cards.forEach((card, k) => {
    card.open = open.has(card.dataset.card) || before > 0 && k >= before;
  });
  if (at) fieldsOf(form).find((field) => field.name === at)?.focus();
}

/** @param {ParentNode} place @returns {(HTMLInputElement | HTMLSelectElement)[]} */
function fieldsOf(place) {
  return [...place.querySelectorAll("input, select")].map((field) => /** @type {HTMLInputElement} */ (field));
}

// --- what is typed and tapped

form.addEventListener("submit", (event) => event.preventDefault());
form.addEventListener("input", (event) => {
  const field = /** @type {HTMLInputElement} */ (event.target);
  changes = changes.filter((change) => change.do !== "set" || change.path !== field.name);
  changes.push({ do: "set", path: field.name, value: field.value });
  const card = field.closest("details")?.querySelector("summary");
  if (card && field.name.endsWith(".id")) card.textContent = field.value;
  soon();
});
form.addEventListener("click", (event) => {
  const button = /** @type {HTMLElement} */ (event.target).closest("button");
  if (!button) return;
  const { add, remove, row } = button.dataset;
  if (add) changes.push({ do: "add", list: add });
  if (remove) changes.push({ do: "remove", list: remove, row: Number(row) });
  look();
});
text.addEventListener("input", () => {
  typed += 1;
  soon();
});
for (const choice of document.querySelectorAll("aside input[name=view], #left")) choice.addEventListener("change", look);
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", look);

the("there").addEventListener("click", () => {
  plain.open = true;
  const line = Number(the("there").dataset.line) - 1;
  const lines = text.value.split("\n");
  const start = lines.slice(0, line).reduce((sum, one) => sum + one.length + 1, 0);
  text.focus();
  text.setSelectionRange(start, start + (lines[line] ?? "").length);
  text.scrollTop = Math.max(0, (text.scrollHeight / lines.length) * (line - 3));
});

// --- kept on this device until it is saved

function keepDraft() {
  try {
    if (text.value === saved) localStorage.removeItem(DRAFT);
    else localStorage.setItem(DRAFT, text.value);
  } catch {
    // A full store: the page still has it.
  }
}

/** @param {string} other */
function put(other) {
  text.value = other;
  typed += 1;
  changes = [];
  look();
}

the("discard").addEventListener("click", () => {
  the("restored").hidden = true;
  put(saved);
});

// --- saving, downloading, opening

/** @param {boolean} replace */
async function save(replace) {
  the("replace").hidden = true;
  // What is still in the fields alone belongs to it.
  if (changes.length > 0 || looking) {
    await look();
    while (looking) await new Promise((done) => setTimeout(done, 30));
  }
  const id = name.value.trim();
  try {
    const said = await ask(`/before/keep/${shelf}`, { id, text: text.value, replace });
    saved = text.value;
    keepDraft();
    the("saved").textContent = `Saved as ${id}.`;
    the("restored").hidden = true;
    if (bench.dataset.own !== id) location.assign(said.page);
  } catch (why) {
    the("saved").textContent = why instanceof Error ? why.message : String(why);
    the("replace").hidden = !(why instanceof Refused && why.status === 409);
  }
}

the("save").addEventListener("submit", (event) => {
  event.preventDefault();
  save(name.value.trim() === bench.dataset.own);
});
the("replace").addEventListener("click", () => save(true));
name.addEventListener("input", () => {
  the("replace").hidden = true;
});

the("download").addEventListener("click", () => {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text.value], { type: "application/toml" }));
  link.download = `${name.value.trim() || bench.dataset.from}.toml`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
});

the("open").addEventListener("change", async (event) => {
  const field = /** @type {HTMLInputElement} */ (event.target);
  const file = field.files?.[0];
  field.value = "";
  if (!file) return;
  if (!bench.dataset.own) name.value = file.name.replace(/\.toml$/i, "").toLowerCase().replace(/[^a-z0-9-]+/g, "-").replace(/^-+/, "");
  the("title").textContent = file.name;
  the("replace").hidden = true;
  put(await file.text());
  the("saved").textContent = `${file.name} is open and not saved yet.`;
});

const draft = localStorage.getItem(DRAFT);
if (draft !== null && draft !== text.value) {
  text.value = draft;
  the("restored").hidden = false;
}
look();
