// The throw lab. What is asked stands in the address, so that a reload or a link brings it back. One request at a time; while one
// is under way, only the newest wish waits.

import { Refused, ask, the, theme } from "./ask.js";
import { LaneView } from "./lab_lane.js";
import { Finder } from "./lab_lines.js";
import { explained } from "./words.js";

/** @typedef {"laydown" | "target" | "speed" | "revs" | "rotation" | "tilt"} Dial */
/** @typedef {import("./answers").LabThrows} Throws */
/** @typedef {{ bag: string, surface: string, id: string }} Ball */
/** @typedef {Record<Dial, number | null>} Dials null: the bowler's own */

/** @type {Dial[]} */
const DIALS = ["laydown", "target", "speed", "revs", "rotation", "tilt"];
const SURFACES = ["as-it-is", "360", "500", "800", "1000", "1500", "2000", "3000", "4000", "5000", "polished"];
const MOST_BALLS = 4;
const LETTERS = "ABCD";

/** @type {{ lanes: string[], bowler: string, beside: string, balls: Ball[], dials: Dials }} */
const state = {
  lanes: [], bowler: "", beside: "", balls: [], dials: { laydown: null, target: null, speed: null, revs: null, rotation: null, tilt: null },
};
/** @type {LaneView[]} */
let views = [];
/** @type {any} */
let last = null;
let drawnBase = "";

/** @param {string} tag @param {string} [name] @param {string} [text] */
function node(tag, name = "", text = "") {
  const made = document.createElement(tag);
  if (name) made.className = name;
  made.textContent = text;
  return made;
}

/** The question as a link says it. */
function query() {
  const parts = new URLSearchParams();
  for (const lane of state.lanes) parts.append("lane", lane);
  parts.append("bowler", state.bowler);
  if (state.beside) parts.append("beside", state.beside);
  for (const ball of state.balls) parts.append("ball", `${ball.bag}/${ball.surface}/${ball.id}`);
  for (const dial of DIALS) if (state.dials[dial] !== null) parts.append(dial, String(state.dials[dial]));
  return parts;
}

/** How wide a lane is shown, in letters' own size: where the reader's letters are larger, less fits. In steps, so that a window that
 * is dragged does not ask for every pixel. */
function wide() {
  const letters = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) / 16 || 1;
  return Math.max(300, 4 * Math.floor(the("lanes").clientWidth / letters / 4));
}

// --- asking

let busy = false;
let newer = false;
/** Whether a hand drags just now: fewer shots then, and all of them once it rests. */
let inHand = false;
/** After which the hand counts as resting, ms: longer than two places of a drag lie apart. */
const REST_MS = 180;
/** @type {number | undefined} */
let resting;

/** Throws what is chosen now. @param {boolean} [dragged] whether by a hand that may well go on */
async function throwIt(dragged = false) {
  newer = true;
  inHand = dragged;
  clearTimeout(resting);
  if (busy) return;
  busy = true;
  while (newer) {
    newer = false;
    const quick = inHand;
    const parts = query();
    parts.append("theme", theme());
    parts.append("width", String(wide()));
    if (quick) parts.append("in_hand", "true");
    try {
      await base(parts);
      hear(await ask(`/lab/throw?${parts}`));
      the("trouble").textContent = "";
    } catch (why) {
      the("trouble").textContent = why instanceof Refused ? why.message : "The server does not answer; what you chose is kept in the address.";
    }
    if (quick && !newer) resting = setTimeout(() => throwIt(), REST_MS);
  }
  busy = false;
}

/** The lanes themselves, where they are others than those drawn. @param {URLSearchParams} parts */
async function base(parts) {
  const wanted = JSON.stringify([state.lanes, state.bowler, state.beside, state.balls.length, theme(), parts.get("width")]);
  if (wanted === drawnBase) return;
  const told = await ask(`/lab/lanes?${parts}`);
  while (views.length > told.lanes.length) views.pop()?.root.remove();
  while (views.length < told.lanes.length) {
    const view = new LaneView((aim) => change(aim));
    views.push(view);
    the("lanes").append(view.root);
  }
  told.lanes.forEach((/** @type {any} */ one, /** @type {number} */ k) => views[k].show(one));
  the("desk").classList.toggle("two", told.lanes.length > 1);
  finder.draw(views);
  drawnBase = wanted;
}

/** @param {Throws} answer */
function hear(answer) {
  last = answer;
  for (const [key, value] of answer.question) {
    const dial = /** @type {Dial} */ (key);
    if (DIALS.includes(dial) && state.dials[dial] === null) state.dials[dial] = Number(value);
  }
  answer.lanes.forEach((lane, k) => views[k]?.put(lane.overlay));
  paintDials();
  paintSamples();
  readout(answer);
  const side = answer.launch_deg < -0.05 ? "away from" : "toward";
  the("launch").textContent = `Launch ${Math.abs(answer.launch_deg).toFixed(1)}° ${side} the hand side; board 1 on the ${answer.boards_from}.`;
  say(answer);
}

/** @type {number | undefined} */
let quiet;

/** For those who hear the page: once the hand rests. @param {Throws} answer */
function say(answer) {
  clearTimeout(quiet);
  quiet = setTimeout(() => {
    const told = answer.lanes.flatMap((lane) => lane.balls.map((ball, k) =>
      `${LETTERS[k]} on ${lane.lane}: ${ball.strike_pct.toFixed(0)} percent strikes, ${entry(ball)}`));
    the("said").textContent = told.join("; ");
  }, 800);
}

// --- what is chosen

/** @type {number | undefined} */
let writing;

function keep() {
  clearTimeout(writing);
  // Browsers let an address change only so often.
  writing = setTimeout(write, 300);
  /** @type {HTMLInputElement} */ (the("link")).value = `${location.origin}/lab?${query()}`;
  /** @type {HTMLAnchorElement} */ (the("file")).href = `/lab/file?${query()}`;
  /** @type {HTMLAnchorElement} */ (the("parcel")).href = `/lab/parcel?${query()}`;
}

function write() {
  clearTimeout(writing);
  history.replaceState(null, "", `/lab?${query()}`);
}

/** @param {Partial<Dials>} dials */
function change(dials) {
  Object.assign(state.dials, dials);
  paintDials();
  keep();
  throwIt(true);
}

function paintDials() {
  for (const dial of DIALS) {
    const value = state.dials[dial];
    if (value === null) continue;
    const text = String(Math.round(100 * value) / 100);
    const slide = /** @type {HTMLInputElement} */ (the(`slide-${dial}`));
    const number = /** @type {HTMLInputElement} */ (the(`number-${dial}`));
    if (document.activeElement !== slide) slide.value = text;
    if (document.activeElement !== number) number.value = text;
  }
  const { laydown, target } = state.dials;
  if (laydown !== null && target !== null) for (const view of views) view.place({ laydown, target });
}

for (const dial of DIALS) {
  for (const id of [`slide-${dial}`, `number-${dial}`]) {
    const input = /** @type {HTMLInputElement} */ (the(id));
    input.addEventListener("input", () => {
      if (input.value !== "" && Number.isFinite(input.valueAsNumber)) change({ [dial]: input.valueAsNumber });
    });
    input.addEventListener("blur", paintDials);
  }
}

for (const k of [0, 1]) {
  const select = /** @type {HTMLSelectElement} */ (the(`lane-${k}`));
  select.addEventListener("change", () => {
    if (select.value) state.lanes[k] = select.value;
    else state.lanes.length = k;
    again();
  });
}
/** @type {HTMLSelectElement} */ (the("bowler")).addEventListener("change", (event) => {
  state.bowler = /** @type {HTMLSelectElement} */ (event.target).value;
  // Another bowler lets go in another way.
  Object.assign(state.dials, { speed: null, revs: null, rotation: null, tilt: null });
  again();
});
/** @type {HTMLSelectElement} */ (the("beside")).addEventListener("change", (event) => {
  state.beside = /** @type {HTMLSelectElement} */ (event.target).value;
  again();
});

function again() {
  finder.offer(state.balls.map((ball, k) => `${LETTERS[k]} ${ball.id}`), state.lanes);
  keep();
  throwIt();
}

// --- balls

/** @param {string} surface */
function surfaceWords(surface) {
  if (surface === "as-it-is") return "as in the bag";
  return surface === "polished" ? "polished" : `sanded at ${surface}`;
}

/** The list anew: its rows are made for good, so that a slider is not taken from under the finger. */
function paintBalls() {
  const rows = state.balls.map((ball, k) => {
    const copy = /** @type {HTMLTemplateElement} */ (document.getElementById("ball")).content.cloneNode(true);
    const row = /** @type {HTMLLIElement} */ (/** @type {DocumentFragment} */ (copy).firstElementChild);
    /** @template {Element} T @param {string} path @returns {T} */
    const part = (path) => /** @type {T} */ (row.querySelector(path));
    part(".letter").textContent = LETTERS[k];
    const which = /** @type {HTMLSelectElement} */ (part(".which"));
    which.setAttribute("aria-label", `Ball ${LETTERS[k]}`);
    which.value = `${ball.bag}/${ball.id}`;
    which.addEventListener("change", () => {
      const at = which.value.indexOf("/");
      state.balls[k] = { bag: which.value.slice(0, at), surface: "as-it-is", id: which.value.slice(at + 1) };
      paintBalls();
      again();
    });
    const away = /** @type {HTMLButtonElement} */ (part(".away"));
    away.hidden = state.balls.length < 2;
    away.setAttribute("aria-label", `Remove ball ${LETTERS[k]}`);
    away.addEventListener("click", () => {
      state.balls.splice(k, 1);
      paintBalls();
      again();
    });
    surface(ball, part(".surface input"), part(".surface output"));
    return row;
  });
  the("balls").replaceChildren(...rows);
  /** @type {HTMLButtonElement} */ (the("add")).disabled = state.balls.length >= MOST_BALLS;
  paintSamples();
}

/** @param {Ball} ball @param {HTMLInputElement} slide @param {HTMLOutputElement} words */
function surface(ball, slide, words) {
  const grits = [...SURFACES];
  // A link may name any grit.
  if (!grits.includes(ball.surface)) {
    const after = grits.findIndex((grit) => Number(grit) > Number(ball.surface));
    grits.splice(after < 0 ? grits.length - 1 : after, 0, ball.surface);
  }
  const paint = () => {
    words.textContent = surfaceWords(ball.surface);
    slide.setAttribute("aria-valuetext", surfaceWords(ball.surface));
  };
  slide.max = String(grits.length - 1);
  slide.value = String(grits.indexOf(ball.surface));
  paint();
  slide.addEventListener("input", () => {
    ball.surface = grits[slide.valueAsNumber];
    paint();
    keep();
    throwIt(true);
  });
}

the("add").addEventListener("click", () => {
  const template = /** @type {HTMLTemplateElement} */ (document.getElementById("ball"));
  const all = Array.from(template.content.querySelectorAll("option"), (option) => option.value);
  const here = state.balls.map((ball) => `${ball.bag}/${ball.id}`);
  const next = all.find((one) => !here.includes(one)) ?? all[0];
  if (!next) return;
  const at = next.indexOf("/");
  state.balls.push({ bag: next.slice(0, at), surface: "as-it-is", id: next.slice(at + 1) });
  paintBalls();
  again();
});

/** Beside each ball's name its line as it is drawn. */
function paintSamples() {
  const strokes = views[0]?.strokes() ?? [];
  document.querySelectorAll("#balls .ball").forEach((row, k) => {
    const line = row.querySelector(".stroke line");
    if (!line || !strokes[k]) return;
    line.setAttribute("stroke", strokes[k].stroke);
    line.setAttribute("stroke-dasharray", strokes[k].dash);
  });
}

// --- numbers

/** @param {import("./answers").LabBall} ball */
function entry(ball) {
  if (ball.gutter) return `gutter, ${ball.gutter.side} side, ${ball.gutter.feet.toFixed(0)} ft`;
  if (!ball.entry) return "touches no pin";
  return `${ball.entry.board.toFixed(1)} at ${ball.entry.angle_deg.toFixed(1)}°`;
}

/** @param {import("./answers").PlaceView | null} place */
const place = (place) => (place ? `${place.board.toFixed(1)} at ${place.feet.toFixed(0)} ft` : "–");

const TOLD = ["Entry", "Breakpoint", "Exit", "Pins left"];
let toldOf = "";

/** The numbers, written into the places made for them. @param {Throws} answer */
function readout(answer) {
  const of = JSON.stringify(answer.lanes.map((lane) => [lane.lane, lane.balls.map((ball) => [ball.ball, ball.finish])]));
  if (of !== toldOf) makeReadout(answer);
  toldOf = of;
  const parts = the("readout").querySelectorAll(".on-lane");
  const lanes = answer.lanes.length;
  answer.lanes.forEach((lane, l) => lane.balls.forEach((ball, k) => {
    const turn = ball.breakpoint.feet < 0.5 ? "foul line" : place(ball.breakpoint);
    const strikes = `${ball.strike_pct.toFixed(0)} ± ${Math.max(1, ball.strike_se_pct).toFixed(0)} %`;
    const places = parts[k * lanes + l].querySelectorAll("b, dd");
    [strikes, entry(ball), turn, place(ball.exit), ball.likely].forEach((words, n) => {
      if (places[n].textContent !== words) places[n].textContent = words;
    });
  }));
}

/** Places for the numbers of each ball on each lane. @param {Throws} answer */
function makeReadout(answer) {
  const many = answer.lanes.length > 1;
  const parts = answer.lanes[0].balls.map((first, k) => {
    const part = node("section", "told");
    const name = node("h3", "", `${LETTERS[k]} ${first.ball}`);
    if (first.finish) name.append(node("span", "finish", ` (${first.finish})`));
    part.append(name);
    for (const lane of answer.lanes) {
      const one = node("div", "on-lane");
      if (many) one.append(node("p", "quiet", lane.lane));
      const strikes = node("p", "strikes");
      strikes.append(node("b"), " strikes");
      const list = node("dl");
      for (const name of TOLD) {
        const term = node("dt");
        // Asked for once: the same words stand at each ball.
        term.append(k === 0 ? explained(name) : name);
        list.append(term, node("dd"));
      }
      one.append(strikes, list);
      part.append(one);
    }
    return part;
  });
  the("readout").replaceChildren(...parts);
}

// --- the rest

const finder = new Finder({ query, take: (line) => change({ ...line, revs: null, tilt: null }) });

the("where").addEventListener("submit", (event) => event.preventDefault());
the("copy").addEventListener("click", async () => {
  const link = /** @type {HTMLInputElement} */ (the("link"));
  link.select();
  try {
    await navigator.clipboard.writeText(link.value);
    the("copied").textContent = "Copied.";
  } catch {
    // Pages of the local network may not write there.
    the("copied").textContent = "The link is marked: copy it by hand.";
  }
});
the("open").addEventListener("change", async (event) => {
  const field = /** @type {HTMLInputElement} */ (event.target);
  const file = field.files?.[0];
  // The same file can be chosen again.
  field.value = "";
  if (!file) return;
  the("opened").textContent = "Opening it.";
  try {
    const { page } = await ask("/lab/open", parcelOf(await file.text()));
    // The next page is not to write this one's throw over its address.
    removeEventListener("pagehide", write);
    clearTimeout(writing);
    location.assign(page);
  } catch (why) {
    the("opened").textContent = `Not opened: ${why instanceof Error ? why.message : why}`;
  }
});

/** @param {string} text @returns {object} */
function parcelOf(text) {
  try {
    return JSON.parse(text);
  } catch {
    throw new Error("this file holds no throw");
  }
}

addEventListener("pagehide", write);
const sizes = new ResizeObserver(() => {
  if (last && !drawnBase.includes(`"${wide()}"`)) throwIt();
});
// The second changes where only the reader's letters do.
for (const id of ["lanes", "where"]) sizes.observe(the(id));
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => last && throwIt());

/** @param {Throws} answer */
function take(answer) {
  const parts = new URLSearchParams(answer.question);
  state.lanes = parts.getAll("lane");
  state.bowler = parts.get("bowler") ?? "";
  state.beside = parts.get("beside") ?? "";
  state.balls = parts.getAll("ball").map((text) => {
    const [bag, surface, ...id] = text.split("/");
    return { bag, surface, id: id.join("/") };
  });
  for (const dial of DIALS) state.dials[dial] = Number(parts.get(dial));
  for (const k of [0, 1]) /** @type {HTMLSelectElement} */ (the(`lane-${k}`)).value = state.lanes[k] ?? "";
  /** @type {HTMLSelectElement} */ (the("bowler")).value = state.bowler;
  /** @type {HTMLSelectElement} */ (the("beside")).value = state.beside;
}

async function begin() {
  try {
    take(await ask(`/lab/throw${location.search}`));
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    if (why.status === 401) location.assign("/pair");
    take(await ask("/lab/throw"));
    the("found").textContent = "";
    alertOnce(why.message);
  }
  paintBalls();
  again();
}

/** A link that cannot be is said, and the demo kit shown instead. @param {string} words */
function alertOnce(words) {
  const note = node("p", "", `This link cannot be thrown: ${words}. Below is the demo kit's throw.`);
  note.setAttribute("role", "alert");
  the("where").before(note);
}

begin();
