// The film of one reading, board by board, with a point to take hold of at each board that was measured.

import { stayUnder } from "./before-lane.js";

/** @typedef {{ read: (path: string) => string, write: (path: string, value: string) => void }} Fields */

const SVG = "http://www.w3.org/2000/svg";
const [WIDTH, HEIGHT, LEFT, RIGHT, TOP, FOOT] = [360, 150, 34, 348, 10, 128];
/** As much as a field takes. */
const MOST = 1000;

/** @param {string} name @param {Record<string, string | number>} [looks] @param {string} [text] */
function element(name, looks = {}, text = "") {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(looks)) made.setAttribute(key, String(value));
  if (text) made.textContent = text;
  return made;
}

/** @param {string} text */
const numbers = (text) => text.trim().split(/[\s,]+/).filter((word) => word !== "").map(Number);

export class ReadingChart {
  /** @param {HTMLElement} place @param {Fields} fields */
  constructor(place, fields) {
    this.fields = fields;
    this.row = 0;
    /** Whether board 1, as the file counts, is drawn on the right. */
    this.oneOnRight = true;
    this.scale = 50;
    /** @type {Element[]} */
    this.points = [];
    this.svg = element("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "group", "aria-label": "Film of the reading, by board" });
    this.back = element("g", { "aria-hidden": "true" });
    this.line = element("polyline", { class: "film", "aria-hidden": "true" });
    this.front = element("g");
    this.svg.append(this.back, this.line, this.front);
    place.replaceChildren(this.svg);
  }

  /** Boards and units of the reading as the fields have them; null where they do not belong together. */
  read() {
    const units = numbers(this.fields.read(`readings.${this.row}.units`));
    const text = this.fields.read(`readings.${this.row}.boards`);
    const boards = text.trim() === "" ? units.map((_, k) => k + 1) : numbers(text);
    const fits = boards.length === units.length && units.length > 0 && [...boards, ...units].every(Number.isFinite);
    return fits ? { boards, units } : null;
  }

  /** @param {number} board */
  x(board) {
    const part = (board - 1) / 38;
    return this.oneOnRight ? RIGHT - part * (RIGHT - LEFT) : LEFT + part * (RIGHT - LEFT);
  }

  /** @param {number} units */
  y(units) {
    return FOOT - units / this.scale * (FOOT - TOP);
  }

  /** @param {number} row @param {boolean} oneOnRight */
  show(row, oneOnRight) {
    const other = row !== this.row || oneOnRight !== this.oneOnRight;
    [this.row, this.oneOnRight] = [row, oneOnRight];
    this.paint(other);
  }

  /** @param {boolean} [anew] with a scale of its own */
  paint(anew = false) {
    const read = this.read();
    this.svg.setAttribute("display", read ? "inline" : "none");
    if (!read) return;
    const most = Math.max(...read.units);
    // The scale stays while a hand drags, unless the hand leaves it.
    if (anew || most > this.scale || this.points.length !== read.units.length) this.scale = Math.max(20, 10 * Math.ceil(1.25 * most / 10));
    this.ground();
    if (this.points.length !== read.units.length) {
      this.points = read.units.map((_, k) => this.point(k));
      this.front.replaceChildren(...this.points);
    }
    this.line.setAttribute("points", read.boards.map((board, k) => `${this.x(board)},${this.y(read.units[k])}`).join(" "));
    this.points.forEach((point, k) => {
      const [board, units] = [read.boards[k], read.units[k]];
      point.setAttribute("transform", `translate(${this.x(board)} ${this.y(units)})`);
      for (const [name, told] of Object.entries({ label: `Film at board ${board}`, valuenow: units, valuetext: `${units} units` })) {
        point.setAttribute(`aria-${name}`, String(told));
      }
    });
  }

  ground() {
    const parts = [];
    for (const share of [0, 0.5, 1]) {
      const y = this.y(share * this.scale);
      parts.push(element("line", { x1: LEFT, x2: RIGHT, y1: y, y2: y }), element("text", { x: LEFT - 5, y: y + 3.5, "text-anchor": "end" }, String(share * this.scale)));
    }
    for (let board = 5; board <= 35; board += 5) {
      parts.push(element("text", { x: this.x(board), y: HEIGHT - 6, "text-anchor": "middle" }, String(board)));
    }
    this.back.replaceChildren(...parts);
  }

  /** @param {number} k @param {number} value */
  set(k, value) {
    const read = this.read();
    if (!read) return;
    read.units[k] = Math.min(MOST, Math.max(0, value));
    this.fields.write(`readings.${this.row}.units`, read.units.join(" "));
    this.paint();
  }

  /** A point; one of them at a time is reached by the tab key, the others from it by left and right. @param {number} k */
  point(k) {
    const made = element("g", {
      class: "knob", role: "slider", tabindex: k === 0 ? 0 : -1, "aria-orientation": "vertical", "aria-valuemin": 0, "aria-valuemax": MOST,
    });
    made.append(element("circle", { r: 14, class: "reach" }), element("circle", { r: 4.5, class: "grip" }));
    made.addEventListener("focus", () => this.points.forEach((point, n) => point.setAttribute("tabindex", n === k ? "0" : "-1")));
    made.addEventListener("keydown", (event) => {
      const { key, shiftKey } = /** @type {KeyboardEvent} */ (event);
      const to = { ArrowLeft: this.oneOnRight ? 1 : -1, ArrowRight: this.oneOnRight ? -1 : 1 }[key];
      const by = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[key];
      if (to === undefined && by === undefined) return;
      event.preventDefault();
      if (to !== undefined) /** @type {SVGElement | undefined} */ (this.points[k + to])?.focus();
      else if (by !== undefined) this.set(k, (this.read()?.units[k] ?? 0) + by * (shiftKey ? 10 : 1));
    });
    stayUnder(made);
    let held = false;
    made.addEventListener("pointerdown", (event) => {
      const down = /** @type {PointerEvent} */ (event);
      if (down.button !== 0) return;
      made.setPointerCapture(down.pointerId);
      /** @type {SVGElement} */ (made).focus({ preventScroll: true });
      held = true;
      down.preventDefault();
    });
    made.addEventListener("pointermove", (event) => {
      const seen = /** @type {SVGSVGElement} */ (this.svg).getScreenCTM();
      if (!held || !seen) return;
      const { clientX, clientY } = /** @type {PointerEvent} */ (event);
      const { y } = new DOMPoint(clientX, clientY).matrixTransform(seen.inverse());
      const value = Math.max(0, Math.round((FOOT - y) / (FOOT - TOP) * this.scale));
      if (value !== this.read()?.units[k]) this.set(k, value);
    });
    for (const end of ["pointerup", "pointercancel"]) made.addEventListener(end, () => { held = false; });
    return made;
  }
}
