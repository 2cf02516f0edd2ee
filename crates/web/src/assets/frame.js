// A frame of the strip, opened: every ball of it can be put right, however long ago it was.

import { ask, freshKey, the } from "./ask.js";

/** @typedef {import("./answers").LanesState} Screen */
/** @typedef {import("./answers").GameShots} GameShots */
/** @typedef {import("./answers").ShotMeant} Shot */
/** @typedef {{ screen: () => Screen | null, game: () => number, send: (body: any) => void }} Block */

const sheet = /** @type {HTMLDialogElement} */ (the("frame"));
const form = /** @type {HTMLFormElement} */ (the("right"));
const ROWS = [[7, 8, 9, 10], [4, 5, 6], [2, 3], [1]];

export class Frames {
  /** @param {Block} block */
  constructor(block) {
    this.block = block;
    /** @type {GameShots | null} */
    this.shots = null;
    /** Which of the frame's balls is put right. @type {Shot | null} */
    this.shot = null;
    /** @type {number[]} */
    this.stands = [];
    this.frame = 0;
    the("frames").addEventListener("click", (event) => {
      const cell = /** @type {HTMLElement} */ (event.target).closest("li");
      if (cell?.dataset.frame) this.open(this.block.game(), Number(cell.dataset.frame));
    });
    the("frame-shut").addEventListener("click", () => sheet.close());
    the("frame-before").addEventListener("click", () => this.step(-1));
    the("frame-after").addEventListener("click", () => this.step(1));
    the("frame-foul").addEventListener("click", () => {
      const pressed = the("frame-foul").getAttribute("aria-pressed") === "true";
      the("frame-foul").setAttribute("aria-pressed", String(!pressed));
    });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.done();
    });
  }

  /** The frame before or after, over the ends of games. @param {number} by */
  step(by) {
    const games = Math.max(1, this.shots?.games ?? 1);
    let [game, frame] = [this.shots?.game ?? 1, this.frame + by];
    if (game > 0 && frame < 1) [game, frame] = [game - 1, 10];
    if (game > 0 && frame > 10) [game, frame] = [game + 1, 1];
    if (game >= 1 && game <= games) this.open(game, frame);
  }

  /** @param {number} game @param {number} frame */
  async open(game, frame) {
    const say = the("frame-says");
    say.textContent = "";
    if (!sheet.open) {
      this.show(null);
      sheet.showModal();
    }
    try {
      this.shots = await ask(`/lanes/shots?game=${game}`);
      this.frame = frame;
      this.list();
    } catch {
      say.textContent = "A frame opens once the server answers. What you log meanwhile is kept on this device.";
    }
  }

  /** The balls of the frame; where nothing is counted, the last ten, one for each place of the strip. */
  of() {
    if (!this.shots) return [];
    const { game, shots } = this.shots;
    if (game > 0) return shots.filter((one) => one.frame === this.frame);
    const one = shots.slice(-10)[this.frame - 1];
    return one ? [one] : [];
  }

  list() {
    if (!this.shots) return;
    const { game } = this.shots;
    const shots = this.of();
    the("frame-title").textContent = game > 0 ? `Game ${game}, frame ${this.frame}` : "Practice";
    for (const id of ["frame-before", "frame-after"]) the(id).hidden = game === 0;
    const buttons = shots.map((one, k) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = `Ball ${one.ball_of_frame ?? one.shot}: ${left(one)}`;
      button.addEventListener("click", () => this.show(shots[k]));
      return button;
    });
    the("frame-balls").replaceChildren(...buttons);
    the("frame-says").textContent = shots.length === 0 ? "Nothing is logged here yet." : "";
    this.show(shots[0] ?? null);
  }

  /** @param {Shot | null} shot */
  show(shot) {
    this.shot = shot;
    form.hidden = shot === null;
    const screen = this.block.screen();
    if (!shot || !screen) return;
    this.of().forEach((one, k) => the("frame-balls").children[k]?.setAttribute("aria-pressed", String(one === shot)));
    the("frame-meant").textContent = shot.first && shot.meant ? `Meant: ${shot.meant}.` : "";
    this.stands = [...(shot.pins ?? (shot.foul ? shot.before : []) ?? [])];
    const before = shot.before ?? [];
    const rows = ROWS.map((row) => {
      const line = document.createElement("div");
      line.append(...row.map((pin) => this.pin(pin, before.includes(pin))));
      return line;
    });
    the("frame-deck").replaceChildren(...rows);
    the("frame-foul").setAttribute("aria-pressed", String(shot.foul));
    const ball = /** @type {HTMLSelectElement} */ (the("frame-ball"));
    ball.replaceChildren(...screen.balls.map((one) => new Option(one.name, one.id)));
    ball.value = shot.ball_id ?? "";
    for (const [name, value] of Object.entries({ "frame-hit": shot.hit, "frame-felt": shot.felt, "frame-arrows": shot.arrows_board, "frame-breakpoint": shot.breakpoint_board })) {
      /** @type {HTMLInputElement} */ (the(name)).value = value === null ? "" : String(value);
    }
  }

  /** @param {number} pin @param {boolean} there */
  pin(pin, there) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", textContent: String(pin), disabled: !there, ariaLabel: `Pin ${pin} stood`, ariaPressed: String(this.stands.includes(pin)) });
    button.addEventListener("click", () => {
      this.stands = this.stands.includes(pin) ? this.stands.filter((one) => one !== pin) : [...this.stands, pin].sort((a, b) => a - b);
      button.setAttribute("aria-pressed", String(this.stands.includes(pin)));
    });
    return button;
  }

  done() {
    const { shot, shots } = this;
    if (!shot || !shots) return;
    const value = (/** @type {string} */ id) => /** @type {HTMLInputElement} */ (the(id)).value;
    const foul = the("frame-foul").getAttribute("aria-pressed") === "true";
    /** @type {any} */
    const body = { key: freshKey(), block: shots.block, number: shot.shot, pins: foul ? "foul" : this.stands.length > 0 ? this.stands.join("-") : "none" };
    if (value("frame-ball") !== "" && value("frame-ball") !== shot.ball_id) body.ball = value("frame-ball");
    for (const name of ["hit", "felt"]) if (value(`frame-${name}`) !== "") body[name] = value(`frame-${name}`);
    for (const name of ["arrows", "breakpoint"]) if (value(`frame-${name}`) !== "") body[name] = Number(value(`frame-${name}`));
    sheet.close();
    this.block.send(body);
  }
}

/** What a ball left, in a few words. @param {Shot} shot */
function left(shot) {
  if (shot.foul) return "foul";
  if (shot.pins === null) return `${shot.down ?? 0} down`;
  if (shot.pins.length === 0) return shot.before?.length === 10 ? "strike" : "made";
  return `${shot.pins.join("-")} stood`;
}
