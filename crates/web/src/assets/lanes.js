// The screen at the lanes: log a ball in two taps, then read the card.

import { ask, freshKey, Refused, the } from "./ask.js";
import { Blocks } from "./blocks.js";
import { Card, wide } from "./card.js";
import { Else, inWords, named, throwing } from "./else.js";
import { Frames } from "./frame.js";
import { moving } from "./moved.js";
import { Outbox } from "./outbox.js";
import { Plan } from "./plan.js";
import { after, ALL, sign, told } from "./turn.js";

/** @typedef {import("./answers").LanesState} Screen */
/** @typedef {import("./answers").CardAnswer} CardSaid */
/** @typedef {import("./answers").ChoiceView} Choice */
/** @typedef {import("./turn.js").Turn} Turn */
/** @typedef {number[] | "foul"} Stands */

const KEPT = "boardwise.screen";

/** What the server said last. @type {Screen | null} */
let screen = null;
/** The ball to come, with what is still in the outbox thrown. @type {Turn | null} */
let turn = null;
/** What the bowler has tapped: null before any tap. @type {Stands | null} */
let stands = null;
/** Counts the looks at the block. */
let looked = 0;

const pins = /** @type {HTMLButtonElement[]} */ ([...document.querySelectorAll("#deck [data-pin]")]);
const pinOf = (/** @type {HTMLElement} */ button) => Number(button.dataset.pin);
const details = /** @type {HTMLFormElement} */ (the("details"));
const done = /** @type {HTMLButtonElement} */ (the("done"));

const outbox = new Outbox({
  sent(answer, entry) {
    the("full").hidden = true;
    if (["/lanes/undo", "/lanes/fix"].includes(entry.path)) toast(`${answer.did.slice(0, 1).toUpperCase()}${answer.did.slice(1)}.`);
    hear(answer);
    // What was sent belonged to a block that has been left since: this device follows now that nothing of it waits.
    if (answer.changes === null && outbox.entries().length === 0) ask("/lanes/screen").then(hear, () => paint());
  },
  refused() {
    ask("/lanes/screen").then(hear, () => paint());
  },
  waiting(why) {
    if (!(why instanceof Refused)) reached(false);
    paint();
  },
});

// --- what is known

const plan = new Plan();
const blocks = new Blocks({ outbox, present: () => screen?.block ?? "", hear, paint });

/** What waits of the block that is shown; what an earlier page laid down says no block. */
const mine = () => outbox.entries().filter((one) => (one.body.block ?? screen?.block) === screen?.block);

/** Where the server cannot be reached, it may have another address. @param {boolean} yes */
function reached(yes) {
  the("moved").hidden = yes;
}

/** Takes in what the server says. @param {Screen} said */
function hear(said) {
  reached(true);
  if (screen && said.block !== screen.block) {
    // Shots that wait stay with the block that they were logged to, and so does the screen until they are sent.
    if (mine().length > 0) return paint();
    leave();
  }
  screen = said;
  try {
    localStorage.setItem(KEPT, JSON.stringify(said));
  } catch {
    // A full store keeps the shots that wait in it; this copy is only for a page opened without the server.
  }
  paint();
  if (outbox.entries().length === 0 && said.changes !== null) think();
}

/** Nothing that was tapped for one block, or said of it, is taken for another. */
function leave() {
  stands = null;
  details.reset();
  card.clear();
}

/** @typedef {{ turn: Turn, stands: Stands, key: string }} Waiting */

/** The balls that wait, each with the turn it was thrown in. */
function pending() {
  /** @type {Waiting[]} */
  const thrown = [];
  if (!screen) return thrown;
  let now = told(screen);
  for (const { path, body } of mine()) {
    if (!now) break;
    if (path === "/lanes/undo") {
      const last = thrown.at(-1);
      if (last && body.of === last.key) {
        thrown.pop();
        now = last.turn;
      }
    }
    if (path !== "/lanes/shot") continue;
    const left = body.pins === "foul" ? "foul" : standing(body.pins, now.pins);
    thrown.push({ turn: now, stands: left, key: body.key });
    now = after(now, left, screen);
  }
  turn = now;
  return thrown;
}

/** @param {string} words @param {number[]} before @returns {number[]} */
function standing(words, before) {
  if (words === "none") return [];
  return words === "all" ? before : words.split("-").map(Number);
}

// --- what is shown

function paint() {
  the("begin").hidden = screen !== null && !blocks.choosing;
  the("bowl").hidden = screen === null || blocks.choosing;
  the("stay").hidden = screen === null;
  the("other").setAttribute("aria-expanded", String(blocks.choosing));
  if (!screen) return;
  const tail = Math.max(0, screen.block.lastIndexOf(", "));
  write(the("name"), "span:first-child", screen.block.slice(0, tail));
  write(the("name"), "span:last-child", screen.block.slice(tail));
  const waiting = pending();
  paintSheet(screen, waiting);
  paintDeck();
  paintBalls(screen);
  paintThrow(screen);
  plan.offer(screen);
  const unsent = the("unsent");
  unsent.hidden = waiting.length === 0 && outbox.entries().length === 0;
  unsent.textContent = `${outbox.entries().length} unsent`;
  paintRefused();
}

/** @param {Screen} screen @param {Waiting[]} waiting */
function paintSheet(screen, waiting) {
  const number = turn?.game ?? screen.sheet.games.length;
  const game = screen.sheet.games[number - 1];
  for (const cell of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("#frames li"))) {
    const place = Number(cell.dataset.frame);
    const frame = game?.frames[place - 1];
    const mine = waiting.filter((one) => one.turn.game === number && one.turn.frame === place);
    const more = mine.map((one) => sign(one.turn, one.stands, screen)).join("");
    write(cell, ".signs", (frame?.signs ?? "") + more);
    write(cell, ".total", frame?.cumulative ?? "");
    cell.classList.toggle("now", turn !== null && turn.frame === place);
    cell.classList.toggle("waits", mine.length > 0);
  }
  const { games, total, maximum, pace, forecast } = screen.sheet;
  const all = games.length > 1 ? `, total ${total}` : "";
  if (!turn) {
    the("score").textContent = "Block complete";
    the("need").textContent = games.map((one) => one.score).join(", ") + all;
    return;
  }
  const lane = `lane ${screen.lanes[turn.lane].lane}`;
  const certain = game && number === games.length && screen.so_far ? `: ${screen.so_far}` : "";
  the("score").textContent = turn.game > 0 ? `Game ${turn.game}, ${lane}${certain}` : `Practice, ${lane}`;
  if (turn.game > games.length && games.length > 0) {
    // What is told of the game before is no outlook on this one.
    the("need").textContent = `game ${games.length}: ${games[games.length - 1].score}${all}`;
    return;
  }
  const words = [];
  if (maximum !== null && turn.game) words.push(`at most ${maximum}`);
  if (pace) words.push(`pace ${Math.round(pace)}`);
  if (forecast?.median) words.push(`likely ${forecast.low}-${forecast.high}`);
  the("need").textContent = words.join(", ");
}

/** @param {Element} cell @param {string} part @param {any} words */
function write(cell, part, words) {
  const place = cell.querySelector(part);
  // What stays is not written again: a screen reader would say it again.
  if (place && place.textContent !== String(words)) place.textContent = String(words);
}

function paintDeck() {
  const before = turn?.pins ?? [];
  for (const button of pins) {
    const there = before.includes(pinOf(button));
    button.disabled = !there;
    const up = Array.isArray(stands) && stands.includes(pinOf(button));
    button.setAttribute("aria-pressed", String(there && up));
  }
  the("down").setAttribute("aria-pressed", String(Array.isArray(stands) && stands.length === 0));
  the("down").textContent = before.length === 10 || turn === null ? "All down" : "Made it";
  the("foul").setAttribute("aria-pressed", String(stands === "foul"));
  done.disabled = stands === null || turn === null;
}

/** What the next ball is logged as, and what an undo takes back. @param {Screen} screen */
function paintThrow(screen) {
  const is = now();
  const spare = turn !== null && turn.pins.length < 10 && screen.spare_ball;
  the("now").textContent = spare ? `Logged as: ${named(screen, screen.spare_ball)}` : is ? `Logged as: ${inWords(screen, is)}` : "";
  const last = mine().filter((one) => one.path !== "/lanes/undo").at(-1);
  const words = last ? WAITING[last.path] ?? "what waits" : screen.newest?.words ?? "";
  the("undoes").textContent = words;
  the("undo").setAttribute("aria-label", words ? `Undo: ${words}` : "Undo");
}

/** What waits, in a word. @type {Record<string, string>} */
const WAITING = { "/lanes/shot": "last ball", "/lanes/move": "move", "/lanes/fix": "correction" };

/** @param {Screen} screen */
function paintBalls(screen) {
  const select = /** @type {HTMLSelectElement} */ (the("ball"));
  const spare = turn !== null && turn.pins.length < 10 ? screen.spare_ball : null;
  const of = `${screen.block} ${screen.in_hand} ${spare}`;
  if (select.dataset.for === of) return;
  select.dataset.for = of;
  const chosen = select.value;
  const usual = spare ?? screen.in_hand;
  const first = usual ? `${named(screen, usual)}${spare ? ", for spares" : ", in hand"}` : "the same";
  const others = screen.balls.filter((one) => one.id !== usual);
  select.replaceChildren(new Option(first, ""), ...others.map((one) => new Option(one.name, one.id)));
  // One that is taken in hand meanwhile is the same.
  select.value = others.some((one) => one.id === chosen) ? chosen : "";
}

function paintRefused() {
  const place = the("refused");
  const aside = outbox.aside();
  place.hidden = aside.length === 0;
  place.replaceChildren(...aside.slice(0, 1).map((entry) => {
    const line = document.createElement("div");
    const words = document.createElement("p");
    const what = entry.path === "/lanes/shot"
      ? `A ball of frame ${entry.body.turn?.frame}${elsewhere(entry)} (${entry.body.pins === "none" ? "all down" : entry.body.pins})`
      : "A change";
    // What cannot be logged as it is must not be offered as it is.
    const wrong = entry.status === 400 || entry.status === 422;
    words.textContent = `${what} was not logged: ${wrong ? entry.why : "the sheet has gone on without it."}`;
    const buttons = document.createElement("div");
    buttons.className = "row";
    const { turn: _, ...body } = entry.body;
    if (wrong && entry.path === "/lanes/shot") {
      buttons.append(act("Log the pins alone", entry, { key: body.key, block: body.block, pins: body.pins, at: body.at }));
    } else if (!wrong) buttons.append(act("Log it now", entry, body));
    buttons.append(act("Let it go", entry));
    line.append(words, buttons);
    return line;
  }));
}

/** Lets go of what was refused, or logs this of it. @param {string} words @param {import("./outbox.js").Entry} entry @param {any} [body] */
function act(words, entry, body) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = words;
  button.addEventListener("click", () => {
    outbox.drop(entry);
    if (body) log(entry.path, { ...body, key: freshKey() });
    paint();
  });
  return button;
}

/** @param {import("./outbox.js").Entry} entry */
const elsewhere = ({ body }) => (body.block === undefined || body.block === screen?.block ? "" : ` of ${body.block}`);

// --- what is taken, said and shown

const card = new Card({ take, unreached: () => reached(false) });
const think = () => card.think(turn === null);

/** What is thrown on the lane that is up, with what is not sent yet. */
const now = () => (screen ? throwing(screen, turn?.lane ?? 0, mine()) : null);

new Else({ screen: () => screen, lane: () => turn?.lane ?? 0, now, send: (body) => move(body) });
new Frames({
  screen: () => screen,
  game: () => (screen?.rules ? turn?.game ?? screen.sheet.games.length : 0),
  send(body) {
    log("/lanes/fix", body);
    paint();
  },
});

/** The bowler did what a choice says, all of it. @param {Choice} choice @param {CardSaid} said */
function take(choice, said) {
  if (choice.kind === "stay") return toast("You stay: nothing changes.");
  const { laydown, arrows, speed_mph, rotation_deg } = choice.line;
  /** @type {any} */
  const body = {
    key: freshKey(), block: screen?.block, line: [laydown, arrows], speed: speed_mph, rotation: rotation_deg, lane: said.lane,
  };
  if (choice.ball !== said.ball) body.ball = choice.ball;
  if (choice.surface) body.surface = choice.surface;
  move(body);
}

/** @param {any} body */
function move(body) {
  log("/lanes/move", body);
  paint();
  const is = now();
  if (screen && is) toast(`From the next ball on: ${inWords(screen, is)}.`);
}

/** Lays it down to be sent, and says where the store of the browser holds no more. @param {string} path @param {any} body */
function log(path, body) {
  the("full").hidden = outbox.add(path, body);
}

/** @type {number | undefined} */
let quiet;
/** Says in passing what was done. @param {string} words */
function toast(words) {
  the("said").textContent = words;
  clearTimeout(quiet);
  quiet = setTimeout(() => { the("said").textContent = ""; }, 6000);
}

// --- what is tapped

for (const button of pins) {
  button.addEventListener("click", () => {
    const pin = pinOf(button);
    const up = Array.isArray(stands) ? stands : [];
    stands = up.includes(pin) ? up.filter((one) => one !== pin) : [...up, pin].sort((a, b) => a - b);
    if (stands.length === 0) stands = null;
    paintDeck();
  });
}
the("down").addEventListener("click", () => {
  stands = [];
  paintDeck();
});
the("foul").addEventListener("click", () => {
  stands = stands === "foul" ? null : "foul";
  paintDeck();
});
the("none").addEventListener("click", () => {
  stands = turn?.pins ?? ALL;
  paintDeck();
});
the("clear").addEventListener("click", () => {
  stands = null;
  details.reset();
  paintDeck();
});
the("more").addEventListener("click", () => {
  details.hidden = !details.hidden;
  the("more").setAttribute("aria-expanded", String(!details.hidden));
  if (!details.hidden) the(wide.matches ? "details" : "actions").scrollIntoView({ block: wide.matches ? "nearest" : "start" });
});
details.addEventListener("submit", (event) => event.preventDefault());

the("done").addEventListener("click", () => {
  if (stands === null || !turn || !screen) return;
  // A board that no lane has is said here, where it can still be typed again.
  if (!details.reportValidity()) return;
  const { game, frame, ball } = turn;
  const words = stands === "foul" ? "foul"
    : stands.length === 0 ? "none" : stands.length === turn.pins.length ? "all" : stands.join("-");
  /** @type {any} */
  const body = { key: freshKey(), block: screen.block, turn: { game, frame, ball }, pins: words };
  for (const [name, value] of new FormData(details)) {
    if (value === "") continue;
    body[name] = ["arrows", "breakpoint"].includes(name) ? Number(value) : value;
  }
  // Spares are thrown with the ball for spares, unless another is said.
  if (body.ball === undefined && turn.pins.length < 10 && screen.spare_ball) body.ball = screen.spare_ball;
  stands = null;
  details.reset();
  log("/lanes/shot", body);
  paint();
  // The pins are tapped next.
  if (!details.hidden && !wide.matches) scrollTo(0, 0);
});

the("unsent").addEventListener("click", () => outbox.send());

the("undo").addEventListener("click", () => {
  const last = mine().filter((one) => one.path !== "/lanes/undo").at(-1);
  // The newest thing, whatever it was, by its own name: so that nobody else's is taken back.
  const of = last?.body.key ?? screen?.newest?.key;
  stands = null;
  if (of === undefined) return toast("There is nothing to take back.");
  log("/lanes/undo", { key: freshKey(), block: screen?.block, of });
  paint();
});

// --- beginning

function listen() {
  const live = new EventSource("/live");
  live.addEventListener("block", (event) => {
    const changes = Number(event.data);
    if (screen && screen.changes === changes) return;
    if (outbox.entries().length > 0) {
      outbox.send();
      return;
    }
    // Answers may overtake each other: the one asked for last is the one that counts.
    const mine = ++looked;
    ask("/lanes/screen").then((said) => mine === looked && hear(said), () => {});
  });
}

async function begin() {
  const known = localStorage.getItem(KEPT);
  if (known) {
    try {
      screen = JSON.parse(known);
      paint();
    } catch {
      localStorage.removeItem(KEPT);
    }
  }
  try {
    hear(await ask("/lanes/screen"));
  } catch (why) {
    if (why instanceof Refused && why.status === 404) {
      screen = null;
      paint();
    } else if (why instanceof Refused && why.status === 401) {
      location.assign("/pair");
    }
  }
  outbox.send();
  listen();
}

for (const look of [matchMedia("(prefers-color-scheme: dark)"), wide]) look.addEventListener("change", () => screen && think());
moving(outbox, paint);
begin();
