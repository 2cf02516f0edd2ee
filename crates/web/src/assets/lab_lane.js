// One lane of the throw lab: the picture once, what moves on it as often as it is answered, and on top what a hand drags.

/** @typedef {"laydown" | "target"} Key */
/** @typedef {{ laydown: number, target: number }} Aim */
/** @typedef {import("./answers").LanePictured} Base */
/** @typedef {import("./answers").LabRails} Rails where boards 1 and 39 lie */
/** @typedef {{ laydown: number, target: number, turn: import("./answers").PlaceView, entry: number | null, words: string }} Drawn */

const SVG = "http://www.w3.org/2000/svg";
/** @type {[number, number]} */
const LANE = [0.5, 39.5];
/** @type {Key[]} */
const KEYS = ["laydown", "target"];
/** @type {Record<Key, string>} */
const NAMES = { laydown: "Laydown", target: "Target at the arrows" };

/** To a tenth of a board, on the lane. @param {number} board */
const tidy = (board) => Math.round(10 * Math.min(LANE[1], Math.max(LANE[0], board))) / 10;

/** @param {string} name @param {Record<string, string | number>} [looks] */
function element(name, looks = {}) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(looks)) made.setAttribute(key, String(value));
  return made;
}

/** @param {string} text */
function drawn(text) {
  const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (svg.nodeName !== "svg") throw new Error("the picture is no picture");
  return /** @type {SVGSVGElement} */ (document.importNode(/** @type {Element} */ (svg), true));
}

/** The board of straight pieces at a distance; beyond their end, the last one. @param {[number, number][]} places @param {number} feet */
function boardAt(places, feet) {
  const next = places.findIndex((place) => place[1] >= feet);
  if (next < 1) return (next < 0 ? places[places.length - 1] : places[0])[0];
  const [[from, near], [to, far]] = [places[next - 1], places[next]];
  return far === near ? to : from + (to - from) * (feet - near) / (far - near);
}

export class LaneView {
  /** @param {(aim: Aim) => void} moved told where the hand is now */
  constructor(moved) {
    this.moved = moved;
    /** @type {Aim} */
    this.aim = { laydown: 17, target: 13 };
    /** @type {Rails | null} */
    this.rails = null;
    this.root = document.createElement("figure");
    this.root.className = "lane";
    this.stack = document.createElement("div");
    this.stack.className = "stack-of-pictures";
    /** @type {Element} */
    this.base = element("svg");
    this.overlay = element("svg", { class: "moving", "aria-hidden": "true" });
    this.hands = element("svg", { class: "hands", role: "group", "aria-label": "Drag laydown and target" });
    this.both = element("line", { class: "both" });
    this.hands.append(this.both);
    this.drag(this.both, KEYS);
    this.handles = { laydown: this.handle("laydown"), target: this.handle("target") };
    this.found = element("svg", { class: "found", role: "group", "aria-label": "Lines found, to choose from" });
    this.stack.append(this.base, this.overlay, this.found, this.hands);
    this.root.append(this.stack);
  }

  /** @param {Key} key */
  handle(key) {
    const made = element("g", {
      class: "handle", role: "slider", tabindex: 0, "aria-label": NAMES[key], "aria-valuemin": LANE[0], "aria-valuemax": LANE[1],
    });
    made.append(element("circle", { r: 24, class: "reach" }), element("circle", { r: 8.5, class: "grip" }), element("circle", { r: 2, class: "middle" }));
    made.addEventListener("keydown", (event) => this.press(/** @type {KeyboardEvent} */ (event), key));
    this.drag(made, [key]);
    this.hands.append(made);
    return made;
  }

  /** Up and down go where they point on the lane; right and Page Up add. @param {KeyboardEvent} event @param {Key} key */
  press(event, key) {
    if (!this.rails) return;
    const upAdds = this.rails[key][1][1] < this.rails[key][0][1] ? 1 : -1;
    const step = event.shiftKey ? 1 : 0.1;
    const by = {
      ArrowUp: upAdds * step, ArrowDown: -upAdds * step, ArrowRight: step, ArrowLeft: -step, PageUp: 1, PageDown: -1,
    }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    this.moved({ ...this.aim, [key]: tidy(this.aim[key] + by) });
  }

  /** Lets a hand drag these by this element. @param {Element} grip @param {Key[]} keys */
  drag(grip, keys) {
    /** @type {{ y: number, aim: Aim } | null} */
    let from = null;
    grip.addEventListener("pointerdown", (event) => {
      const down = /** @type {PointerEvent} */ (event);
      if (down.button !== 0) return;
      grip.setPointerCapture(down.pointerId);
      from = { y: down.clientY, aim: this.aim };
      if (grip instanceof SVGElement) grip.focus({ preventScroll: true });
      down.preventDefault();
    });
    grip.addEventListener("pointermove", (event) => {
      const box = this.hands.getBoundingClientRect();
      if (!from || !this.rails || box.height === 0) return;
      const across = ((/** @type {PointerEvent} */ (event)).clientY - from.y) * this.height / box.height;
      const rail = this.rails.laydown;
      const boards = 38 * across / (rail[1][1] - rail[0][1]);
      const aim = { ...from.aim };
      for (const key of keys) aim[key] = tidy(aim[key] + boards);
      if (aim.laydown !== this.aim.laydown || aim.target !== this.aim.target) this.moved(aim);
    });
    for (const end of ["pointerup", "pointercancel"]) grip.addEventListener(end, () => { from = null; });
  }

  get height() {
    return Number(this.base.getAttribute("viewBox")?.split(" ")[3] ?? 260);
  }

  /** @param {Base} base */
  show(base) {
    const svg = drawn(base.svg);
    this.base.replaceWith(svg);
    this.base = svg;
    this.rails = base.rails;
    const box = svg.getAttribute("viewBox") ?? "0 0 960 300";
    for (const other of [this.hands, this.found]) other.setAttribute("viewBox", box);
    this.stack.style.aspectRatio = box.split(" ").slice(2).join(" / ");
    this.place(this.aim);
  }

  /** What moves: what of it is as it was stays in the page. @param {string} text */
  put(text) {
    const svg = drawn(text);
    for (const name of ["viewBox", "font-family"]) this.overlay.setAttribute(name, svg.getAttribute(name) ?? "");
    const [now, then] = [[...svg.children], [...this.overlay.children]];
    if (now.length !== then.length || now.some((part, k) => part.nodeName !== then[k].nodeName)) {
      this.overlay.replaceChildren(...now);
      return;
    }
    now.forEach((part, k) => {
      if (!part.isEqualNode(then[k])) then[k].replaceWith(part);
    });
  }

  /** Draws lines that were found, each to be taken by a tap on its number. @param {Drawn[]} lines @param {(k: number) => void} take */
  offer(lines, take) {
    const rails = this.rails;
    if (!rails) return;
    const at = (/** @type {number} */ board, /** @type {number} */ feet) => {
      const part = (board - 1) / 38;
      const [[x0, y1], [, y39]] = rails.laydown;
      return [x0 + (rails.pins[0][0] - x0) * feet / 60, y1 + (y39 - y1) * part];
    };
    // Each number stands on its own line, evenly apart down the lane, so that a thumb finds each.
    const apart = 38 / lines.length;
    const reach = Math.min(22, Math.abs(at(1, apart)[0] - at(1, 0)[0]) / 2);
    const made = lines.map((line, k) => {
      /** @type {[number, number][]} board and feet */
      const places = [[line.laydown, 0], [line.target, 15], [line.turn.board, line.turn.feet], ...(line.entry === null ? [] : [/** @type {[number, number]} */ ([line.entry, 60])])];
      const group = element("g", { class: "choice-line", role: "button", tabindex: 0, "aria-label": `Line ${k + 1}: ${line.words}` });
      const d = `M${places.map(([board, feet]) => at(board, feet).join(" ")).join("L")}`;
      const feet = 17 + (k + 0.5) * apart;
      const [cx, cy] = at(boardAt(places, feet), feet);
      const number = element("text", { x: cx, y: cy + 4.5, "text-anchor": "middle", "font-size": 13, "font-weight": "bold" });
      number.textContent = String(k + 1);
      group.append(element("path", { d, class: "way" }), element("circle", { cx, cy, r: reach, class: "reach" }), element("circle", { cx, cy, r: 10.5, class: "disc" }), number);
      group.addEventListener("click", () => take(k));
      group.addEventListener("keydown", (event) => {
        const key = /** @type {KeyboardEvent} */ (event).key;
        if (key !== "Enter" && key !== " ") return;
        event.preventDefault();
        take(k);
      });
      return group;
    });
    this.found.replaceChildren(...made);
  }

  /** How the balls' paths are drawn, for a sample beside their names. */
  strokes() {
    return Array.from(this.overlay.querySelectorAll(".trace"), (trace) => ({
      stroke: trace.getAttribute("stroke") ?? "", dash: trace.getAttribute("stroke-dasharray") ?? "",
    }));
  }

  /** The handles. @param {Aim} aim */
  place(aim) {
    this.aim = aim;
    if (!this.rails) return;
    const at = (/** @type {Key} */ key) => {
      const [one, last] = /** @type {Rails} */ (this.rails)[key];
      const part = (aim[key] - 1) / 38;
      return [one[0] + part * (last[0] - one[0]), one[1] + part * (last[1] - one[1])];
    };
    for (const key of KEYS) {
      const [x, y] = at(key);
      this.handles[key].setAttribute("transform", `translate(${x} ${y})`);
      this.handles[key].setAttribute("aria-valuenow", String(aim[key]));
      this.handles[key].setAttribute("aria-valuetext", `board ${aim[key]}`);
    }
    const [[x1, y1], [x2, y2]] = [at("laydown"), at("target")];
    for (const [name, value] of Object.entries({ x1, y1, x2, y2 })) this.both.setAttribute(name, String(value));
  }
}
