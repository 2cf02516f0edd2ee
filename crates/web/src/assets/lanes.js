// The screen at the lanes: log a ball in two taps, then read the card.

import { ask, freshKey, picture, Refused, the, theme } from "./ask.js";
import { Blocks } from "./blocks.js";
import { moving } from "./moved.js";
import { Outbox } from "./outbox.js";
import { after, ALL, sign, told } from "./turn.js";

/** @typedef {import("./answers").LanesState} Screen */
/** @typedef {import("./answers").NextSaid} Said */
/** @typedef {import("./answers").CardAnswer} Card */
/** @typedef {import("./answers").ChoiceView} Choice */
/** @typedef {import("./turn.js").Turn} Turn */
/** @typedef {number[] | "foul"} Stands */

const KEPT = "boardwise.screen";

/** At a desk the lane lies on its side. */
const wide = matchMedia("(min-width: 64rem)");

/** What the server said last. @type {Screen | null} */
let screen = null;
/** The ball to come, with what is still in the outbox thrown. @type {Turn | null} */
let turn = null;
/** What the bowler has tapped: null before any tap. @type {Stands | null} */
let stands = null;
/** Counts the looks at the block. */
let looked = 0;
/** Counts the questions about the next shot, so that a late answer to an old one is dropped. */
let asked = 0;

const pins = /** @type {HTMLButtonElement[]} */ ([...document.querySelectorAll("#deck [data-pin]")]);
const pinOf = (/** @type {HTMLElement} */ button) => Number(button.dataset.pin);
const details = /** @type {HTMLFormElement} */ (the("details"));
const done = /** @type {HTMLButtonElement} */ (the("done"));

const outbox = new Outbox({
  sent(answer) {
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
  asked++;
  card("", "", "");
  the("lane").replaceChildren();
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

/** @param {Screen} screen */
function paintBalls(screen) {
  const select = /** @type {HTMLSelectElement} */ (the("ball"));
  const now = `${screen.block} ${screen.in_hand}`;
  if (select.dataset.for === now) return;
  select.dataset.for = now;
  const chosen = select.value;
  const same = new Option(screen.in_hand ? `${screen.in_hand}, in hand` : "the same", "");
  const others = screen.balls.filter((one) => one.id !== screen.in_hand);
  select.replaceChildren(same, ...others.map((one) => new Option(one.id, one.id)));
  // One that is taken in hand meanwhile is the same.
  select.value = others.some((one) => one.id === chosen) ? chosen : "";
}

function paintRefused() {
  const place = the("refused");
  const aside = outbox.aside();
  place.hidden = aside.length === 0;
  place.replaceChildren(...aside.map((entry) => {
    const line = document.createElement("p");
    const what = entry.path === "/lanes/shot"
      ? `A ball of frame ${entry.body.turn?.frame}${elsewhere(entry)} (${entry.body.pins === "none" ? "all down" : entry.body.pins}) was not logged: the sheet has gone on without it. `
      : "A change was not logged: the sheet has gone on without it. ";
    const drop = document.createElement("button");
    drop.type = "button";
    drop.textContent = "Let it go";
    drop.addEventListener("click", () => {
      outbox.drop(entry);
      paint();
    });
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Log it now";
    again.addEventListener("click", () => {
      outbox.drop(entry);
      const { turn: _, ...body } = entry.body;
      outbox.add(entry.path, { ...body, key: freshKey() });
      paint();
    });
    line.append(what, again, " ", drop);
    return line;
  }));
}

/** @param {import("./outbox.js").Entry} entry */
const elsewhere = ({ body }) => (body.block === undefined || body.block === screen?.block ? "" : ` of ${body.block}`);

// --- the card

/** Ends the question about the next shot that is on its way. */
let unasked = new AbortController();

async function think() {
  const mine = ++asked;
  // What nobody waits for any more must not hold up what comes next: a browser asks few things at a time.
  unasked.abort();
  unasked = new AbortController();
  const { signal } = unasked;
  if (turn === null) {
    the("card").classList.remove("thinking");
    return card("That was the block", "Its story stands on the page After. Blocks begins another, or goes on with an open one.", "");
  }
  the("card").classList.add("thinking");
  try {
    const said = await ask("/lanes/next", undefined, signal);
    if (mine !== asked) return;
    say(said);
    const lane = the("lane");
    const drawn = await picture(`/lanes/picture?theme=${theme()}&lying=${wide.matches}`, signal);
    if (mine === asked) lane.replaceChildren(drawn);
  } catch (why) {
    if (mine !== asked) return;
    if (why instanceof Refused) card(why.status === 422 ? "Nothing to say" : "No advice", why.message, "");
    else {
      reached(false);
      card("No server", "Shots are kept on this device and sent later. The card waits for the server.", "");
    }
  } finally {
    if (mine === asked) the("card").classList.remove("thinking");
  }
}

/** @param {string} verb @param {string} reason @param {string} worth @param {{ detail?: string, caution?: string | null }} [more] in small print, and what to mind */
function card(verb, reason, worth, more = {}) {
  the("say").textContent = verb;
  the("detail").textContent = more.detail ?? "";
  the("mind").textContent = more.caution ?? "";
  the("reason").textContent = reason;
  the("worth").textContent = worth;
  the("now").textContent = "";
  offer([]);
}

/** What can be done instead, or as the card says. @param {Element[]} choices */
function offer(choices) {
  the("doing").hidden = choices.length === 0;
  the("choices").replaceChildren(...choices);
}

/** @param {Said} said */
function say(said) {
  if ("spares" in said) {
    const [first] = said.spares;
    const way = first
      ? `Lay it down on ${first.line.laydown.toFixed(0)}, look at ${first.line.arrows.toFixed(0)} at the arrows.`
      : "No line makes it often: take the pins it gives.";
    const made = first && `Made ${first.make_pct.toFixed(0)} in 100, give or take ${Math.max(1, first.make_se_pct).toFixed(0)}`;
    const worth = first && said.takes_sure ? `About ${first.mean_pins.toFixed(1)} pins; trying for all is worth less` : made;
    card(said.say, way, worth ?? "");
    return;
  }
  card(said.say, said.reason, said.worth, said);
  const { line } = said;
  the("now").textContent = `${said.ball}, ${line.laydown.toFixed(0)} to ${line.arrows.toFixed(0)} at the arrows, ${line.speed_mph.toFixed(1)} mph`;
  const buttons = said.choices.filter((one) => one.kind !== "stay").slice(0, 3).map((one) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = one.say.replace(/ target (\S+)$/, " target\u00a0$1");
    const strike = one.strike_pct;
    const half = 1.28 * strike.sd;
    const price = document.createElement("small");
    price.textContent = ` ${Math.max(0, strike.mean - half).toFixed(0)}-${Math.min(100, strike.mean + half).toFixed(0)}`;
    price.title = "strikes in 100, eight in ten of what may be";
    button.append(price);
    button.addEventListener("click", () => take(one, said));
    return button;
  });
  offer(buttons);
}

/** The bowler did what a choice says. @param {Choice} choice @param {Card} said */
function take(choice, said) {
  const { laydown, arrows, speed_mph, rotation_deg } = choice.line;
  /** @type {any} */
  const body = {
    key: freshKey(), block: screen?.block, line: [laydown, arrows], speed: speed_mph, rotation: rotation_deg, lane: said.lane,
  };
  if (choice.ball !== said.ball) body.ball = choice.ball;
  outbox.add("/lanes/move", body);
  offer([]);
  paint();
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
  const { game, frame, ball } = turn;
  const words = stands === "foul" ? "foul"
    : stands.length === 0 ? "none" : stands.length === turn.pins.length ? "all" : stands.join("-");
  /** @type {any} */
  const body = { key: freshKey(), block: screen.block, turn: { game, frame, ball }, pins: words };
  for (const [name, value] of new FormData(details)) {
    if (value === "") continue;
    body[name] = ["arrows", "breakpoint"].includes(name) ? Number(value) : value;
  }
  stands = null;
  details.reset();
  outbox.add("/lanes/shot", body);
  paint();
  // The pins are tapped next.
  if (!details.hidden && !wide.matches) scrollTo(0, 0);
});

the("unsent").addEventListener("click", () => outbox.send());

the("undo").addEventListener("click", () => {
  const last = mine().filter((one) => one.path !== "/lanes/undo").at(-1);
  // What waits is taken back by its own name, so that nobody else's shot is.
  const of = last?.body.key ?? screen?.sheet.deliveries.at(-1)?.key;
  stands = null;
  outbox.add("/lanes/undo", { key: freshKey(), block: screen?.block, ...(of === undefined ? {} : { of }) });
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
