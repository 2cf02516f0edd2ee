// Which block is bowled in: the open ones to go back to, and another to begin.

import { ask, Refused, the } from "./ask.js";

/** @typedef {import("./outbox.js").Outbox} Outbox */
/**
 * The screen that is bowled on: what waits on it, the name of its block, and what it does with how a block stands.
 * @typedef {{ outbox: Outbox, present: () => string, hear: (said: import("./answers").LanesState) => void, paint: () => void }} Bowling
 */

const pairs = /** @type {HTMLSelectElement} */ (the("pair"));
const allPairs = Array.from(pairs.options);

/** Only the lanes of the event chosen can be. */
function offerPairs() {
  const { value } = /** @type {HTMLSelectElement} */ (the("event"));
  const its = allPairs.filter((one) => one.dataset.event === value);
  for (const one of its) one.hidden = false;
  pairs.replaceChildren(...its);
  pairs.selectedIndex = 0;
}

/** Says how it goes, in sight. @param {string} words */
function say(words) {
  the("begun").textContent = words;
  the("begun").scrollIntoView({ block: "nearest" });
}

export class Blocks {
  /** @param {Bowling} bowling */
  constructor(bowling) {
    this.bowling = bowling;
    /** Whether the blocks are looked at instead of bowling in one. */
    this.choosing = false;
    the("other").addEventListener("click", () => this.list());
    the("stay").addEventListener("click", () => this.choose(false));
    the("blocks").addEventListener("click", (event) => {
      const button = /** @type {HTMLElement} */ (event.target).closest("button");
      if (button?.dataset.skip) this.look(button.dataset.skip);
      if (button?.dataset.back) this.goTo("Going on with it...", "/lanes/back", { block: button.dataset.back });
    });
    the("start").addEventListener("submit", (event) => {
      event.preventDefault();
      const form = new FormData(/** @type {HTMLFormElement} */ (event.target));
      this.goTo("Finding the first lines...", "/lanes/start", {
        event: form.get("event"), pair: Number(form.get("pair") ?? 1), counting: form.get("counting"),
      });
    });
    the("event").addEventListener("change", offerPairs);
    offerPairs();
  }

  /** Shows the blocks, or the one that is bowled in. @param {boolean} now */
  choose(now) {
    this.choosing = now;
    the("begun").textContent = "";
    this.bowling.paint();
    scrollTo(0, 0);
    the(now ? "begin" : "other").focus({ preventScroll: true });
  }

  async list() {
    this.choose(true);
    await this.look("0");
  }

  /** Shows a part of the list. @param {string} skip blocks that are later */
  async look(skip) {
    try {
      const asked = await fetch(`/lanes/blocks?skip=${skip}`, { cache: "no-store" });
      if (!asked.ok) return;
      const part = new DOMParser().parseFromString(await asked.text(), "text/html").body;
      the("blocks").replaceChildren(...Array.from(part.childNodes, (node) => document.importNode(node, true)));
    } catch {
      // Without the server the list is the one that came with the page; it says so when one of them is taken up.
    }
  }

  /** Goes to another block, by what the server answers. @param {string} words said meanwhile @param {string} path @param {object} body */
  async goTo(words, path, body) {
    const { outbox, present, hear } = this.bowling;
    say(words);
    // What waits of this block goes first, so that the screen can follow.
    if (outbox.entries().length > 0) await outbox.send();
    const waits = outbox.entries().length;
    if (waits > 0) {
      say(`${waits} not sent yet for ${present()}. Go on here once the server has ${waits === 1 ? "it" : "them"}.`);
      return;
    }
    try {
      const said = await ask(path, body);
      this.choosing = false;
      hear(said);
      scrollTo(0, 0);
      the("begun").textContent = "";
    } catch (why) {
      say(why instanceof Refused ? why.message : "The server does not answer. Another block needs it.");
    }
  }
}
