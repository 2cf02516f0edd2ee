// The search for lines: asked once, some seconds later a table and a map; it can be stopped. A line is put into the lab by its button.

import { Refused, ask, the, theme } from "./ask.js";
import { explained } from "./words.js";

/** @typedef {{ laydown: number, target: number, speed: number, rotation: number }} Line */
/** @typedef {{ query: () => URLSearchParams, take: (line: Line) => void }} Lab */

/** @param {string} tag @param {string} [text] */
function node(tag, text = "") {
  const made = document.createElement(tag);
  made.textContent = text;
  return made;
}

/** @param {number | null | undefined} value @param {number} digits */
const fixed = (value, digits) => (value === null || value === undefined ? "–" : value.toFixed(digits));

/** A number with its error, which is never less than one of its last digit. @param {number | null} value @param {number | null} error */
const unsure = (value, error) => (value === null ? "–" : `${value.toFixed(0)} ± ${Math.max(1, error ?? 0).toFixed(0)}`);

/** @param {import("./answers").LabLine} line @returns {string[]} */
function cells(line) {
  const turn = line.breakpoint.feet < 0.5 ? "foul line" : `${fixed(line.breakpoint.board, 1)} at ${fixed(line.breakpoint.feet, 0)} ft`;
  const room = `${fixed(line.miss_room.hand_boards, 1)} / ${fixed(line.miss_room.away_boards, 1)}`;
  return [
    unsure(line.strike_pct, line.strike_se_pct), unsure(line.expected_score, line.expected_score_se),
    fixed(line.laydown, 1), fixed(line.target, 1), fixed(line.speed_mph, 1), fixed(line.rotation_deg, 0), turn,
    line.entry ? `${fixed(line.entry.board, 1)} at ${fixed(line.entry.angle_deg, 1)}°` : "–",
    room, line.misses_words,
  ];
}

const HEAD = [
  "", "Strikes, %", "Score", "Laydown", "Target", "Speed, mph", "Rotation, °", "Breakpoint", "Entry", "Room, boards", "Misses",
];

export class Finder {
  /** @param {Lab} lab */
  constructor(lab) {
    this.lab = lab;
    this.button = /** @type {HTMLButtonElement} */ (the("find").querySelector("button"));
    this.halt = the("halt");
    /** What was found last, and on which lane. @type {import("./answers").LabLine[]} */
    this.lines = [];
    this.on = 0;
    /** @type {import("./lab_lane.js").LaneView[]} */
    this.views = [];
    /** Ends the search; the server hears that nobody waits for it. @type {AbortController | null} */
    this.search = null;
    this.halt.addEventListener("click", () => {
      this.search?.abort();
      // The button goes; whoever walks by keys goes on where it stood.
      this.button.disabled = false;
      this.button.focus();
    });
    the("find").addEventListener("submit", (event) => {
      event.preventDefault();
      this.find();
    });
  }

  /** Which balls and lanes a search may be for. @param {string[]} balls @param {string[]} lanes */
  offer(balls, lanes) {
    for (const [id, names] of /** @type {[string, string[]][]} */ ([["find-ball", balls], ["find-lane", lanes]])) {
      const select = /** @type {HTMLSelectElement} */ (the(id));
      const known = Array.from(select.options, (option) => option.text);
      if (known.join("\n") === names.join("\n")) continue;
      const chosen = Math.min(select.selectedIndex, names.length - 1);
      select.replaceChildren(...names.map((name, k) => new Option(name, String(k))));
      select.selectedIndex = Math.max(0, chosen);
    }
    the("find-where").hidden = lanes.length < 2;
  }

  /** Draws what was found on its lane. @param {import("./lab_lane.js").LaneView[]} [views] the lanes, where they are drawn anew */
  draw(views) {
    if (views) this.views = views;
    const lines = this.lines.map((line) => ({
      laydown: line.laydown, target: line.target, turn: line.breakpoint, entry: line.entry?.board ?? null,
      words: `laydown ${line.laydown.toFixed(1)}, target ${line.target.toFixed(1)}, ${fixed(line.strike_pct, 0)} percent strikes`,
    }));
    this.views.forEach((view, k) => view.offer(k === this.on ? lines : [], (which) => this.choose(which)));
  }

  /** Puts a line into the lab. @param {number} k */
  choose(k) {
    const line = this.lines[k];
    document.querySelectorAll("#lines tbody tr").forEach((row, other) => row.classList.toggle("taken", other === k));
    this.views[this.on]?.found.querySelectorAll(".choice-line").forEach((one, other) => one.classList.toggle("taken", other === k));
    this.lab.take({ laydown: line.laydown, target: line.target, speed: line.speed_mph, rotation: line.rotation_deg });
  }

  async find() {
    const asked = this.lab.query();
    const value = (/** @type {string} */ id) => /** @type {HTMLSelectElement} */ (the(id)).value || "0";
    asked.append("of_ball", value("find-ball"));
    asked.append("on_lane", value("find-lane"));
    asked.append("theme", theme());
    this.button.disabled = true;
    this.halt.hidden = false;
    this.search = new AbortController();
    the("finder").setAttribute("aria-busy", "true");
    the("found").textContent = "Throwing some hundred thousand shots…";
    the("searching").hidden = false;
    try {
      this.show(await ask(`/lab/lines?${asked}`, undefined, this.search.signal));
    } catch (why) {
      if (this.search.signal.aborted) the("found").textContent = "Stopped. Nothing of it is kept; “Find lines” begins anew.";
      else the("found").textContent = why instanceof Refused ? why.message : "The server does not answer.";
    } finally {
      the("searching").hidden = true;
      this.halt.hidden = true;
      this.button.disabled = false;
      the("finder").removeAttribute("aria-busy");
    }
  }

  /** @param {import("./answers").LabLines} found */
  show(found) {
    const thrown = `${found.throws.toLocaleString("en")} throws in ${found.seconds.toFixed(1)} s`;
    the("found").textContent = found.lines.length > 0
      ? `${found.ball} on ${found.lane}: ${thrown}`
      : `No line of this bowler with ${found.ball} strikes on ${found.lane}: try another ball. ${thrown}`;
    the("lines").hidden = false;
    this.lines = found.lines;
    this.on = Number(/** @type {HTMLSelectElement} */ (the("find-lane")).value || 0);
    this.draw();
    const table = node("table");
    const head = node("tr");
    for (const words of HEAD) {
      const cell = node("th");
      cell.append(explained(words));
      head.append(cell);
    }
    const body = node("tbody");
    found.lines.forEach((line, k) => {
      const row = node("tr");
      const use = /** @type {HTMLButtonElement} */ (node("button", String(k + 1)));
      use.type = "button";
      use.setAttribute("aria-label", `Put line ${k + 1} into the lab`);
      row.addEventListener("click", () => this.choose(k));
      const first = node("td");
      first.append(use);
      row.append(first, ...cells(line).map((words) => node("td", words)));
      body.append(row);
    });
    const top = node("thead");
    top.append(head);
    table.append(top, body);
    the("lines").querySelector(".sideways")?.replaceChildren(table);
    const map = new DOMParser().parseFromString(found.map, "image/svg+xml").documentElement;
    the("map").replaceChildren(document.importNode(map, true));
  }
}
