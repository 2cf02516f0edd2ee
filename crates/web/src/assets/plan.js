// The practice throws of the brief, shown at the lanes until the first ball counts.

import { ask, the } from "./ask.js";
import { boards } from "./card.js";
import { named } from "./else.js";

/** @typedef {import("./answers").LanesState} Screen */
/** @typedef {import("./answers").PracticeAtLanes} Practice */

/** @param {Screen} screen @param {Practice["shots"][number]} shot @returns {string} */
function inWords(screen, shot) {
  const line = `Lane ${shot.lane}, ${named(screen, shot.ball)}: slide ${boards(shot.slide_board)}, look at ${boards(shot.look_board)}.`;
  return `${line} It comes in at ${boards(shot.comes_in_board.mean)}. Higher: ${shot.if_high}. Lighter: ${shot.if_light}.`;
}

export class Plan {
  /** Whether the throws of the block are shown. */
  #shown = false;
  #screen = /** @type {Screen | null} */ (null);
  #place = /** @type {HTMLDetailsElement} */ (the("plan"));

  constructor() {
    this.#place.addEventListener("toggle", () => { if (this.#place.open) this.#show(); });
  }

  /** Offers them before the first ball of a block that counts, and as long as nothing counts. @param {Screen} screen */
  offer(screen) {
    if (this.#screen?.block !== screen.block) {
      this.#place.open = false;
      this.#shown = false;
    }
    this.#screen = screen;
    this.#place.hidden = screen.counting !== "nothing" && screen.sheet.games.length > 0;
  }

  async #show() {
    const screen = this.#screen;
    if (this.#shown || !screen) return;
    const said = the("plan-said");
    said.textContent = "Worked out now; it takes a few seconds ...";
    try {
      const practice = /** @type {Practice} */ (await ask("/lanes/practice"));
      this.#shown = true;
      said.textContent = practice.shots.length ? "These teach most about the pair." : "No throw would teach much.";
      the("plan-throws").replaceChildren(...practice.shots.map((shot) => {
        const item = document.createElement("li");
        item.textContent = inWords(screen, shot);
        return item;
      }));
    } catch (why) {
      said.textContent = why instanceof Error ? why.message : String(why);
    }
  }
}
