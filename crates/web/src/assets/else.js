// "I did something else": ball, surface, feet, eyes, speed and hand of the bowler's own, from the next ball on.

import { freshKey, the } from "./ask.js";
import { boards } from "./card.js";

/** @typedef {import("./answers").LanesState} Screen */
/** What is thrown on the lane that is up, with what is not sent yet.
 * @typedef {{ ball: string | null, slide: number, look: number, speed: number, rotation: number, usual: boolean, surface: string }} Throwing */
/** @typedef {import("./outbox.js").Entry} Entry */

/** What is thrown now. @param {Screen} screen @param {number} lane which of the pair @param {Entry[]} waiting @returns {Throwing} */
export function throwing(screen, lane, waiting) {
  const line = screen.lanes[lane];
  const { slide_board, look_board, usual_hand } = screen.throwing[lane];
  const surface = screen.balls.find((one) => one.id === screen.in_hand)?.surface ?? "";
  /** @type {Throwing} */
  const now = {
    ball: screen.in_hand, slide: slide_board, look: look_board, speed: line.speed_mph, rotation: line.rotation_deg, usual: usual_hand, surface,
  };
  for (const { path, body } of waiting) {
    if (body.ball && path !== "/lanes/undo" && path !== "/lanes/fix") now.ball = body.ball;
    if (path !== "/lanes/move" || body.lane !== line.lane) continue;
    if (body.line) {
      now.slide = slide_board + body.line[0] - line.laydown;
      now.look = look_board + body.line[1] - line.arrows;
    }
    now.usual &&= (body.speed ?? now.speed) === now.speed && (body.rotation ?? now.rotation) === now.rotation;
    now.speed = body.speed ?? now.speed;
    now.rotation = body.rotation ?? now.rotation;
  }
  return now;
}

/** The ball's name. @param {Screen} screen @param {string | null} id */
export const named = (screen, id) => screen.balls.find((one) => one.id === id)?.name ?? "ball not known";

/** @param {Screen} screen @param {Throwing} now */
export function inWords(screen, now) {
  const hand = now.usual ? "" : `, ${now.speed.toFixed(1)} mph, rotation ${now.rotation.toFixed(0)}`;
  return `${named(screen, now.ball)}, slide ${boards(now.slide)}, look at ${boards(now.look)}${hand}`;
}

const sheet = /** @type {HTMLDialogElement} */ (the("else"));
const form = /** @type {HTMLFormElement} */ (the("own"));
const field = (/** @type {string} */ name) => /** @type {HTMLInputElement} */ (form.elements.namedItem(name));

/** @typedef {{ screen: () => Screen | null, lane: () => number, now: () => Throwing | null, send: (body: any) => void }} Block */

export class Else {
  /** @param {Block} block */
  constructor(block) {
    this.block = block;
    the("other-throw").addEventListener("click", () => this.open());
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.done();
    });
    form.addEventListener("change", () => this.show());
    for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (form.querySelectorAll("[data-step]"))) {
      button.addEventListener("click", () => {
        const at = field(button.dataset.of ?? "");
        const next = Number(at.value) + Number(button.dataset.step);
        at.value = String(Math.min(Number(at.max), Math.max(Number(at.min), Math.round(2 * next) / 2)));
        this.show();
      });
    }
    the("else-shut").addEventListener("click", () => sheet.close());
  }

  open() {
    const [screen, now] = [this.block.screen(), this.block.now()];
    if (!screen || !now) return;
    this.was = now;
    const balls = screen.balls.map((one) => {
      const label = document.createElement("label");
      label.className = "chip";
      const input = Object.assign(document.createElement("input"), { type: "radio", name: "own-ball", value: one.id, checked: one.id === now.ball });
      const words = document.createElement("span");
      words.textContent = one.name;
      label.append(input, words);
      return label;
    });
    the("own-balls").replaceChildren(...balls);
    field("slide").value = boards(now.slide);
    field("look").value = boards(now.look);
    const reach = (/** @type {string} */ name, /** @type {number[]} */ [least, most], /** @type {number} */ value) => {
      Object.assign(field(name), { min: String(Math.min(least, value)), max: String(Math.max(most, value)), value: String(Math.round(10 * value) / 10) });
    };
    reach("own-speed", screen.range.speed_mph, now.speed);
    reach("own-rotation", screen.range.rotation_deg, now.rotation);
    field("own-surface").value = "";
    this.show();
    sheet.showModal();
  }

  /** The ball that is chosen. */
  ball() {
    const chosen = form.querySelector("[name='own-ball']:checked");
    return chosen instanceof HTMLInputElement ? chosen.value : null;
  }

  /** What is to be minded with what is chosen. */
  show() {
    const [screen, was] = [this.block.screen(), this.was];
    if (!screen || !was) return;
    const ball = screen.balls.find((one) => one.id === this.ball());
    the("own-is").textContent = ball ? `${ball.name}: ${ball.surface}` : "";
    the("own-surface").closest("label")?.toggleAttribute("hidden", ball?.workable === false);
    if (ball?.workable === false) field("own-surface").value = "";
    the("mind-surface").hidden = field("own-surface").value === "";
    const hand = Number(field("own-speed").value) !== Math.round(10 * was.speed) / 10 || Number(field("own-rotation").value) !== Math.round(10 * was.rotation) / 10;
    the("mind-hand").hidden = !hand;
  }

  done() {
    const [screen, was] = [this.block.screen(), this.was];
    if (!screen || !was) return;
    const number = (/** @type {string} */ name) => Number(field(name).value);
    const line = screen.lanes[this.block.lane()];
    /** @type {any} */
    const body = { key: freshKey(), block: screen.block, lane: line.lane };
    const moved = [number("slide") - Number(boards(was.slide)), number("look") - Number(boards(was.look))];
    if (moved.some((by) => by !== 0)) {
      // From where the feet and eyes are now, to the hundredth of a board that the record keeps.
      const start = screen.throwing[this.block.lane()];
      const at = [line.laydown + was.slide - start.slide_board, line.arrows + was.look - start.look_board];
      body.line = at.map((board, k) => Math.round(100 * (board + moved[k])) / 100);
    }
    if (number("own-speed") !== Math.round(10 * was.speed) / 10) body.speed = number("own-speed");
    if (number("own-rotation") !== Math.round(10 * was.rotation) / 10) body.rotation = number("own-rotation");
    const ball = this.ball();
    if (ball && ball !== was.ball) body.ball = ball;
    const surface = field("own-surface").value;
    if (surface !== "") body.surface = surface === "polished" ? { polished: true } : { grit: Number(surface) };
    sheet.close();
    if (Object.keys(body).length > 3) this.block.send(body);
  }
}
