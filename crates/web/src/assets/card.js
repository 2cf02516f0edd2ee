// The card: what to do with the next ball, why, how sure that is, and the choices beside it. And the picture of just that.

import { ask, picture, Refused, the, theme } from "./ask.js";

/** @typedef {import("./answers").NextSaid} Said */
/** @typedef {import("./answers").CardAnswer} CardSaid */
/** @typedef {import("./answers").ChoiceView} Choice */

/** At a desk the lane lies on its side. */
export const wide = matchMedia("(min-width: 64rem)");

/** What the page does with a choice that is taken, and with a server that does not answer.
 * @typedef {{ take: (choice: Choice, said: CardSaid) => void, unreached: () => void }} Told */

export class Card {
  /** @param {Told} told */
  constructor(told) {
    this.told = told;
    /** Counts the questions, so that a late answer to an old one is dropped. */
    this.asked = 0;
    /** Ends the question that is on its way. */
    this.unasked = new AbortController();
    /** What is offered as the headline. @type {{ choice: Choice, said: CardSaid } | null} */
    this.offered = null;
    the("take").addEventListener("click", () => {
      if (this.offered) this.told.take(this.offered.choice, this.offered.said);
    });
  }

  /** Nothing is asked any more, and nothing stands there. */
  clear() {
    this.asked++;
    this.write("", "", "");
    the("lane").replaceChildren();
  }

  /** @param {boolean} complete whether the block is over */
  async think(complete) {
    const mine = ++this.asked;
    // What nobody waits for any more must not hold up what comes next: a browser asks few things at a time.
    this.unasked.abort();
    this.unasked = new AbortController();
    const { signal } = this.unasked;
    if (complete) {
      the("card").classList.remove("thinking");
      this.write("That was the block", "Its story stands on the page After. Blocks begins another, or goes on with an open one.", "");
      return;
    }
    the("card").classList.add("thinking");
    try {
      const said = await ask("/lanes/next", undefined, signal);
      if (mine !== this.asked) return;
      this.say(said);
      the("card").classList.remove("thinking");
      const drawn = await picture(`/lanes/picture?${pictured(said)}`, signal);
      if (mine === this.asked) the("lane").replaceChildren(drawn);
    } catch (why) {
      if (mine !== this.asked) return;
      if (why instanceof Refused) this.write(why.status === 422 ? "Nothing to say" : "No advice", why.message, "");
      else {
        this.told.unreached();
        this.write("No server", "What you log is kept on this device and sent later. The card waits for the server.", "");
      }
    } finally {
      if (mine === this.asked) the("card").classList.remove("thinking");
    }
  }

  /** @param {string} verdict @param {string} reason @param {string} worth @param {{ detail?: string, caution?: string | null }} [more] in small print, and what to mind */
  write(verdict, reason, worth, more = {}) {
    the("say").textContent = verdict;
    the("detail").textContent = more.detail ?? "";
    the("mind").textContent = more.caution ?? "";
    the("reason").textContent = reason;
    the("worth").textContent = worth;
    the("take").hidden = true;
    this.offered = null;
    the("choices").replaceChildren();
  }

  /** @param {Said} said */
  say(said) {
    if ("spares" in said) {
      const [first] = said.spares;
      const way = first ? `Slide ${boards(first.slide_board)}, look at ${boards(first.look_board)}` : said.say;
      const made = first && `Made ${first.make_pct.toFixed(0)} in 100, give or take ${Math.max(1, first.make_se_pct).toFixed(0)}.`;
      const worth = first && said.takes_sure ? `About ${first.mean_pins.toFixed(1)} pins; trying for all is worth less.` : made;
      this.write(way, first ? `${said.say}.` : "No line makes it often: take the pins it gives.", worth ?? "");
      return;
    }
    const shown = said.choices.filter((one) => one.on_card !== null).sort((a, b) => (a.on_card ?? 0) - (b.on_card ?? 0));
    const [advised, ...further] = shown;
    this.write(said.say, said.reason, said.worth, said);
    if (advised && advised.kind !== "stay") {
      this.offered = { choice: advised, said };
      the("take").hidden = false;
    }
    the("choices").replaceChildren(...further.map((one) => this.chip(one, said)));
  }

  /** A choice, whole: what changes, where to stand and look, what it is worth. @param {Choice} choice @param {CardSaid} said */
  chip(choice, said) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "choice";
    const [head, ...rest] = choice.say.split(": ");
    const line = `slide ${boards(choice.slide_board)}, look at ${boards(choice.look_board)}`;
    const strike = choice.strike_pct;
    const half = 1.28 * strike.sd;
    const low = Math.max(0, strike.mean - half).toFixed(0);
    const high = Math.min(100, strike.mean + half).toFixed(0);
    const hand = choice.kind === "hand" ? `${choice.speed_mph.toFixed(1)} mph, rotation ${choice.rotation_deg.toFixed(0)}; ` : "";
    part(button, "b", rest.length > 0 || choice.kind === "stay" ? head : "Move");
    part(button, "span", line);
    part(button, "small", `${hand}strikes ${low}-${high} in 100`).title = "eight in ten of what may be";
    button.addEventListener("click", () => {
      for (const other of the("choices").children) other.setAttribute("aria-pressed", String(other === button));
      this.told.take(choice, said);
    });
    return button;
  }
}

/** @param {Element} into @param {string} tag @param {string} text */
function part(into, tag, text) {
  const made = document.createElement(tag);
  made.textContent = text;
  into.append(made, " ");
  return made;
}

/** A board in whole or half boards. @param {number} board */
export const boards = (board) => String(Math.round(2 * board) / 2);

/** What the picture is to show: what the card says. @param {Said} said */
function pictured(said) {
  const asked = new URLSearchParams({ theme: theme(), lying: String(wide.matches) });
  const show = (/** @type {import("./answers").LineMeantView} */ line) => {
    asked.set("laydown", String(line.laydown));
    asked.set("arrows", String(line.arrows));
    asked.set("speed", String(line.speed_mph));
    asked.set("rotation", String(line.rotation_deg));
  };
  if ("spares" in said) {
    asked.set("spare", String(said.spares.length > 0));
    if (said.spares.length > 0) show(said.spares[0].line);
    return asked;
  }
  const advised = said.choices.find((one) => one.on_card === 1);
  if (advised && advised.kind !== "stay") {
    show(advised.line);
    asked.set("ball", advised.ball);
  }
  return asked;
}
