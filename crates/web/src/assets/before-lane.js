// A lane of the kit from above, with what is laid on it or was measured to take hold of: the edges of a stroke, the film of a reading.
// The fields of the page are what counts: a hand writes into them as typing does, and reads them again.

const SVG = "http://www.w3.org/2000/svg";

/** @typedef {import("./answers").LookRails} Rails where boards 1 and 39, as the file counts them, and 0 and 60 ft lie */
/** @typedef {{ read: (path: string) => string, write: (path: string, value: string) => void, rows: (list: string) => number }} Fields */
/** @typedef {{ label: string, least: () => number, most: () => number, now: () => number, set: (value: number) => void, step: number, stride: number, words: (value: number) => string, across: boolean }} Knob */
/** @typedef {{ path: string, name: string, across: boolean, limits: () => [number, number] }} Edge an edge of a stroke, by its field */

/** @param {string} name @param {Record<string, string | number>} [looks] */
function element(name, looks = {}) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(looks)) made.setAttribute(key, String(value));
  return made;
}

/** @param {number} value @param {[number, number]} limits */
const within = (value, [least, most]) => Math.min(most, Math.max(least, value));

/** A number as a file has it: no more places than it needs. @param {number} value */
const written = (value) => String(Math.round(100 * value) / 100);

/** Keeps the page where it is under a finger that takes hold of this: on a part of a picture browsers do not heed touch-action. @param {Element} grip */
export function stayUnder(grip) {
  grip.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
}

export class LaneBoard {
  /** @param {HTMLElement} place @param {Fields} fields */
  constructor(place, fields) {
    this.fields = fields;
    /** @type {Rails | null} */
    this.rails = null;
    /** @type {"strokes" | "readings" | null} */
    this.list = null;
    this.row = 0;
    this.svg = element("svg", { role: "group" });
    this.drawn = element("g", { role: "img" });
    this.outlines = element("g", { class: "outlines", "aria-hidden": "true" });
    this.knobs = element("g", { class: "knobs" });
    this.svg.append(this.drawn, this.outlines, this.knobs);
    place.replaceChildren(this.svg);
    /** @type {{ knob: Knob, grip: Element, key: string }[]} */
    this.held = [];
    this.knobsOf = "";
    /** Told when another row is taken up. @type {() => void} */
    this.chosen = () => {};
  }

  /** The picture anew; what a hand holds stays where it is. @param {string} text @param {Rails | null} rails null: there is nothing to take hold of */
  put(text, rails) {
    const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
    for (const name of ["viewBox", "font-family"]) this.svg.setAttribute(name, svg.getAttribute(name) ?? "");
    this.drawn.setAttribute("aria-label", svg.querySelector("title")?.textContent ?? "");
    this.drawn.replaceChildren(...[...svg.children].map((part) => document.importNode(part, true)));
    this.rails = rails;
    this.paint();
  }

  /** The row that is taken up. @param {number} row */
  choose(row) {
    if (row === this.row) return;
    this.row = row;
    this.paint();
    this.chosen();
  }

  /** @param {number} board */
  x(board) {
    const [one, last] = this.rails?.boards ?? [0, 0];
    return one + (board - 1) / 38 * (last - one);
  }

  /** @param {number} feet */
  y(feet) {
    const [foul, pins] = this.rails?.feet ?? [0, 0];
    return foul + feet / 60 * (pins - foul);
  }

  /** The board and feet under a pointer. @param {PointerEvent} event */
  at(event) {
    const seen = /** @type {SVGSVGElement} */ (this.svg).getScreenCTM();
    if (!seen || !this.rails) return null;
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(seen.inverse());
    const [[one, last], [foul, pins]] = [this.rails.boards, this.rails.feet];
    return { board: 1 + 38 * (x - one) / (last - one), feet: 60 * (y - foul) / (pins - foul) };
  }

  /** @param {string} key */
  number(key) {
    const text = this.fields.read(`${this.list}.${this.row}.${key}`).trim();
    return text === "" ? NaN : Number(text);
  }

  /** @param {string} key @param {number} value */
  write(key, value) {
    this.fields.write(`${this.list}.${this.row}.${key}`, written(value));
    this.paint();
  }

  /** Everything that can be taken hold of, by what the fields say now. */
  paint() {
    const rows = this.list ? this.fields.rows(this.list) : 0;
    const shown = this.rails !== null && rows > 0;
    for (const part of [this.outlines, this.knobs]) part.setAttribute("display", shown ? "inline" : "none");
    if (!shown) return;
    this.row = within(this.row, [0, rows - 1]);
    const of = `${this.list} ${this.row}`;
    if (of !== this.knobsOf) {
      this.held = this.list === "strokes" ? this.edges() : [this.distance()];
      this.knobs.replaceChildren(...this.held.map((one) => one.grip));
    }
    this.knobsOf = of;
    this.outline(rows);
    for (const { knob, grip, key } of this.held) {
      const value = knob.now();
      const [x, y] = this.list === "strokes" ? this.middleOf(knob, key) : [this.x(39), this.y(value)];
      grip.setAttribute("display", Number.isFinite(value) && Number.isFinite(x) && Number.isFinite(y) ? "inline" : "none");
      if (!Number.isFinite(x) || !Number.isFinite(y)) continue;
      grip.setAttribute("transform", `translate(${x} ${y})`);
      for (const [name, told] of Object.entries({ valuemin: knob.least(), valuemax: knob.most(), valuenow: value, valuetext: knob.words(value) })) {
        grip.setAttribute(`aria-${name}`, String(told));
      }
    }
  }

  // --- strokes

  /** A stroke's corners in the picture: it covers its boards whole. @param {number} row */
  box(row) {
    const read = (/** @type {string} */ key) => Number(this.fields.read(`strokes.${row}.${key}`).trim() || "NaN");
    const [a, b] = [this.x(read("boards.0") - 0.5), this.x(read("boards.1") + 0.5)];
    const [near, far] = [this.y(read("feet.0")), this.y(read("feet.1"))];
    return { x: Math.min(a, b), y: Math.min(near, far), width: Math.abs(b - a), height: Math.abs(near - far) };
  }

  /** @param {number} rows */
  outline(rows) {
    const parts = [];
    for (let row = 0; row < rows; row++) {
      const here = row === this.row;
      if (this.list === "strokes") {
        const box = this.box(row);
        if (!Object.values(box).every(Number.isFinite)) continue;
        parts.push({ here, size: box.width * box.height, row, make: () => element("rect", { ...box }) });
      } else {
        const feet = Number(this.fields.read(`readings.${row}.feet`).trim() || "NaN");
        if (!Number.isFinite(feet)) continue;
        parts.push({ here, size: 0, row, make: () => element("line", { x1: this.x(0.5), x2: this.x(39.5), y1: this.y(feet), y2: this.y(feet) }) });
      }
    }
    // The one in hand and small ones on top, where a finger finds them.
    parts.sort((a, b) => Number(a.here) - Number(b.here) || b.size - a.size);
    if (parts.length !== this.outlines.children.length) {
      this.outlines.replaceChildren(...parts.map((part) => this.body(part.make())));
    }
    parts.forEach((part, k) => {
      const old = this.outlines.children[k];
      const fresh = part.make();
      for (const { name, value } of fresh.attributes) old.setAttribute(name, value);
      old.setAttribute("class", part.here ? "outline here" : "outline");
      old.setAttribute("data-row", String(part.row));
    });
  }

  /** An outline: touched, it is taken up; the one in hand can be moved as a whole with the mouse. @param {Element} made */
  body(made) {
    /** @type {{ board: number, feet: number, was: number[] } | null} */
    let from = null;
    const keys = ["boards.0", "boards.1", "feet.0", "feet.1"];
    made.addEventListener("pointerdown", (event) => {
      const down = /** @type {PointerEvent} */ (event);
      const row = Number(made.getAttribute("data-row"));
      if (down.button !== 0) return;
      // A finger between the handles goes on to move the page.
      if (row !== this.row || this.list !== "strokes" || down.pointerType === "touch") {
        this.choose(row);
        return;
      }
      const place = this.at(down);
      if (!place) return;
      made.setPointerCapture(down.pointerId);
      from = { ...place, was: keys.map((key) => this.number(key)) };
      down.preventDefault();
    });
    made.addEventListener("pointermove", (event) => {
      const place = from && this.at(/** @type {PointerEvent} */ (event));
      if (!from || !place) return;
      const [low, high, near, far] = from.was;
      const across = within(Math.round(place.board - from.board), [1 - low, 39 - high]);
      const along = within(Math.round(2 * (place.feet - from.feet)) / 2, [-near, 60 - far]);
      [low + across, high + across, near + along, far + along].forEach((value, k) => {
        if (value !== this.number(keys[k])) this.write(keys[k], value);
      });
    });
    for (const end of ["pointerup", "pointercancel"]) made.addEventListener(end, () => { from = null; });
    return made;
  }

  /** Handles on the four edges of the stroke in hand. */
  edges() {
    const here = `Stroke ${this.row + 1}`;
    /** @type {Edge[]} */
    const edges = [
      { path: "boards.0", name: "from board", across: true, limits: () => [1, this.number("boards.1")] },
      { path: "boards.1", name: "to board", across: true, limits: () => [this.number("boards.0"), 39] },
      { path: "feet.0", name: "from feet", across: false, limits: () => [0, this.number("feet.1") - 0.5] },
      { path: "feet.1", name: "to feet", across: false, limits: () => [this.number("feet.0") + 0.5, 60] },
    ];
    return edges.map((edge) => this.handle({
      label: `${here}, ${edge.name}`,
      least: () => edge.limits()[0],
      most: () => edge.limits()[1],
      now: () => this.number(edge.path),
      set: (value) => this.write(edge.path, within(value, edge.limits())),
      step: edge.across ? 1 : 0.5,
      stride: 5,
      words: (value) => (edge.across ? `board ${value}` : `${value} feet`),
      across: edge.across,
    }, edge.path));
  }

  /** Where a handle of the stroke lies: in the middle of its edge. @param {Knob} knob @param {string} key @returns {[number, number]} */
  middleOf(knob, key) {
    const { x, y, width, height } = this.box(this.row);
    if (!knob.across) return [x + width / 2, this.y(knob.now())];
    return [this.x(knob.now() + (key === "boards.0" ? -0.5 : 0.5)), y + height / 2];
  }

  // --- readings

  /** The handle that moves a reading along the lane, between its neighbours. */
  distance() {
    const beside = (/** @type {number} */ row, /** @type {number} */ edge) => {
      const text = this.fields.read(`readings.${row}.feet`).trim();
      return text === "" ? edge : Number(text);
    };
    const limits = () => /** @type {[number, number]} */ ([
      this.row > 0 ? beside(this.row - 1, 0) + 0.5 : 0,
      this.row + 1 < this.fields.rows("readings") ? beside(this.row + 1, 60) - 0.5 : 60,
    ]);
    return this.handle({
      label: `Reading ${this.row + 1}, at feet`,
      least: () => limits()[0],
      most: () => limits()[1],
      now: () => this.number("feet"),
      set: (value) => this.write("feet", within(value, limits())),
      step: 0.5,
      stride: 5,
      words: (value) => `${value} feet`,
      across: false,
    }, "feet");
  }

  // --- hands

  /** @param {Knob} knob @param {string} key */
  handle(knob, key) {
    const grip = element("g", {
      class: knob.across ? "knob across" : "knob", role: "slider", tabindex: 0, "aria-label": knob.label,
      "aria-orientation": knob.across ? "horizontal" : "vertical", "data-edge": key,
    });
    grip.append(element("circle", { r: 22, class: "reach" }), element("circle", { r: 7.5, class: "grip" }));
    this.keys(grip, knob);
    stayUnder(grip);
    /** The value when it was taken hold of, and how far off the middle. @type {{ was: number, off: number } | null} */
    let from = null;
    const under = (/** @type {Event} */ event) => {
      const place = this.at(/** @type {PointerEvent} */ (event));
      return place && (knob.across ? place.board : place.feet);
    };
    grip.addEventListener("pointerdown", (event) => {
      const down = /** @type {PointerEvent} */ (event);
      const place = under(down);
      if (down.button !== 0 || place === null) return;
      grip.setPointerCapture(down.pointerId);
      from = { was: knob.now(), off: knob.now() - place };
      /** @type {SVGElement} */ (grip).focus({ preventScroll: true });
      down.preventDefault();
    });
    grip.addEventListener("pointermove", (event) => {
      const place = from && under(event);
      if (!from || place === null) return;
      const value = within(Math.round((place + from.off) / knob.step) * knob.step, [knob.least(), knob.most()]);
      if (value !== knob.now()) knob.set(value);
    });
    for (const end of ["pointerup", "pointercancel"]) grip.addEventListener(end, () => { from = null; });
    grip.addEventListener("keydown", (event) => {
      if (/** @type {KeyboardEvent} */ (event).key !== "Escape" || !from) return;
      knob.set(from.was);
      from = null;
    });
    return { knob, grip, key };
  }

  /** Arrows go where they point; with shift, further. @param {Element} grip @param {Knob} knob */
  keys(grip, knob) {
    grip.addEventListener("keydown", (event) => {
      const { key, shiftKey } = /** @type {KeyboardEvent} */ (event);
      const leftAdds = knob.across && this.rails !== null && this.rails.boards[1] < this.rails.boards[0] ? 1 : -1;
      const by = { ArrowLeft: leftAdds, ArrowRight: -leftAdds, ArrowUp: 1, ArrowDown: -1, PageUp: knob.stride / knob.step, PageDown: -knob.stride / knob.step }[key];
      const to = by === undefined ? { Home: knob.least(), End: knob.most() }[key] : knob.now() + by * (shiftKey ? knob.stride : knob.step);
      if (to === undefined) return;
      event.preventDefault();
      knob.set(within(to, [knob.least(), knob.most()]));
    });
  }
}
