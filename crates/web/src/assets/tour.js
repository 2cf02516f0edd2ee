// The first walk through the app: five steps on the demo kit, each pointing at the real thing on its own page. It can be left at any
// point and taken again; this device remembers where it was left.

const KEPT = "boardwise.tour";

/**
 * What a step says while the page is as it is.
 * @typedef {{ when?: () => boolean, at: string, say: string, done?: boolean }} Scene
 * A step's page is its path and what is asked there.
 * @typedef {{ page: string, title: string, scenes: Scene[] }} Step
 */

const shown = (/** @type {string} */ path) => {
  const found = document.querySelector(path);
  return found instanceof HTMLElement && !found.hidden && found.getClientRects().length > 0;
};
const words = (/** @type {string} */ path) => document.querySelector(path)?.textContent?.trim() ?? "";
const logged = () => Array.from(document.querySelectorAll("#frames .signs"), (place) => place.textContent).join("");
/** What was on the sheet when the step began. @type {string | null} */
let before = null;

/** @type {Step[]} */
const STEPS = [
  {
    page: "/before/kit/lane/short-32-flat", title: "A pattern, read",
    scenes: [
      { at: "aside", say: "This is the oil you will bowl on: how long, how much, and where. Words with dots under them tell what they mean when you tap them." },
    ],
  },
  {
    page: "/lab?lane=short-32-flat", title: "A line, found",
    scenes: [
      { when: () => shown("#lines"), at: "#lines .sideways", done: true, say: "Best first: where to lay the ball down, what to aim at, and how far you may miss. Tap a number, and the lane shows that line." },
      { when: () => document.querySelector("#finder[aria-busy]") !== null, at: "#find", say: "Some hundred thousand shots, thrown as this bowler sprays them. A few seconds." },
      { at: "#find", say: "Tap Find lines. It tries lines for this ball, bowler and lane until it knows which ones score." },
    ],
  },
  {
    page: "/lanes", title: "A shot, in two taps",
    scenes: [
      { when: () => shown("#begin") && words("#begun") !== "", at: "#start", say: "It looks for the first line on each lane. A few seconds." },
      { when: () => shown("#begin"), at: "#start", say: "Tap Begin. The demo squad's block starts, kept on this machine like one of your own." },
      { when: () => before !== null && logged() !== before, at: "#strip", done: true, say: "Logged: on the sheet, and safe even without a network. Undo takes anything back." },
      { at: "#actions", say: "After each ball two taps: All down, then Done. If pins stand, tap those instead. Try it, or leave your own block as it is and go on." },
    ],
  },
  {
    page: "/lanes", title: "The card",
    scenes: [
      { when: () => !shown("#bowl"), at: "#begin", say: "Once a block has begun, a card stands here that says what to do with the next ball." },
      { at: "#card", say: "What to do with the next ball, why, and what it is worth: a range, since nobody knows exactly. Other choices are below; tap the one you take." },
    ],
  },
  {
    page: "/after", title: "The account",
    scenes: [
      { when: () => shown("#account .verdict"), at: "#account", done: true, say: "What the lanes, the ball, the line, your throws, luck and spares won and lost, each as sure as it is. After a game or two it says what to practise." },
      { when: () => shown("#account"), at: "#account", say: "Where pins were won and lost. It is being worked out; it stands here when it is done." },
      { at: "h1", say: "Once something is bowled, its story stands here: where pins were won and lost, and what to practise." },
    ],
  },
];

/** @typedef {{ step: number, on: boolean }} Kept */

/** @returns {Kept | null} */
function kept() {
  try {
    const said = JSON.parse(localStorage.getItem(KEPT) ?? "null");
    return Number.isInteger(said?.step) && said.step >= 0 && said.step < STEPS.length ? { step: said.step, on: said.on === true } : null;
  } catch {
    return null;
  }
}

/** @param {Kept} now */
function keep(now) {
  try {
    localStorage.setItem(KEPT, JSON.stringify(now));
  } catch {
    // A store that is full keeps shots; the tour then ends with the page.
  }
}

/** @param {string} tag @param {string} [text] @param {string} [id] */
function node(tag, text = "", id = "") {
  const made = document.createElement(tag);
  made.textContent = text;
  if (id) made.id = id;
  return made;
}

/** @param {string} text @param {() => void} does */
function button(text, does) {
  const made = /** @type {HTMLButtonElement} */ (node("button", text));
  made.type = "button";
  made.addEventListener("click", does);
  return made;
}

const panel = node("section", "", "tour");
panel.setAttribute("aria-labelledby", "tour-title");
const count = node("p", "", "tour-count");
const title = node("h2", "", "tour-title");
title.tabIndex = -1;
const says = node("p", "", "tour-says");
says.setAttribute("aria-live", "polite");
const back = button("Back", () => go((kept()?.step ?? 1) - 1));
const next = button("Next", () => {
  const at = kept()?.step ?? 0;
  if (at + 1 < STEPS.length) go(at + 1);
  else leave();
});
const row = node("div");
row.className = "row";
row.append(next, back, button("Leave the tour", leave));
panel.append(count, title, says, row);

/** @type {Element | null} */
let pointed = null;
/** @type {Scene | null} */
let scene = null;
const main = /** @type {HTMLElement} */ (document.getElementById("main"));
const watch = new MutationObserver(() => play());
/** Whether the page was touched since something new was pointed at: then it is not scrolled any more. */
let touched = false;
for (const kind of ["pointerdown", "keydown", "wheel"]) addEventListener(kind, () => { touched = true; }, { passive: true });
// Pages fill up after they are opened; what is pointed at stays in sight.
new ResizeObserver(() => {
  if (panel.isConnected && !touched) point(pointed);
}).observe(main);

const isHere = (/** @type {Step} */ step) => location.pathname === step.page.split("?")[0];

/** To a step, on whichever page it stands. @param {number} step */
function go(step) {
  keep({ step, on: true });
  if (isHere(STEPS[step])) show();
  else location.assign(STEPS[step].page);
}

/** The step that is on, if its page is this one; elsewhere the way to it. */
function show() {
  const now = kept();
  if (!now?.on) return;
  const step = STEPS[now.step];
  const here = isHere(step);
  count.textContent = `Tour, ${now.step + 1} of ${STEPS.length}`;
  title.textContent = here ? step.title : "The tour waits";
  back.hidden = !here || now.step === 0;
  before = null;
  scene = null;
  point(null);
  if (!panel.isConnected) document.body.append(panel);
  document.documentElement.classList.add("touring");
  if (here) {
    next.textContent = now.step + 1 < STEPS.length ? "Next" : "Done";
    play();
    watch.observe(main, { childList: true, subtree: true, attributes: true, attributeFilter: ["hidden", "aria-busy"] });
    title.focus({ preventScroll: true });
  } else {
    says.textContent = `It goes on at "${step.title}", on another page.`;
    next.textContent = "Next";
    next.onclick = null;
    row.replaceChildren(button("Go there", () => go(now.step)), button("Leave the tour", leave));
  }
}

/** Says what fits the page as it is now. */
function play() {
  const now = kept();
  if (!now?.on) return;
  // The sheet is known once its score stands there.
  if (before === null && shown("#bowl") && words("#score") !== "") before = logged();
  const fits = STEPS[now.step].scenes.find((one) => one.when?.() ?? true);
  if (!fits) return;
  if (fits !== scene) {
    scene = fits;
    touched = false;
    says.textContent = fits.say;
    // What is to be tapped on the page is the first thing there; what goes on is the first thing here.
    next.classList.toggle("main", fits.done === true || now.step === 0 || now.step === 3);
  }
  const found = document.querySelector(fits.at);
  if (found !== pointed) point(found);
}

/** @param {Element | null} what */
function point(what) {
  pointed?.classList.remove("pointed");
  pointed = what;
  if (!what) return;
  what.classList.add("pointed");
  panel.classList.remove("up");
  const tall = what.getBoundingClientRect().height > innerHeight / 2;
  what.scrollIntoView({ block: tall ? "start" : "nearest" });
  if (tall) return;
  const covered = () => {
    const [mine, its] = [panel.getBoundingClientRect(), what.getBoundingClientRect()];
    return Math.max(0, Math.min(mine.bottom, its.bottom) - Math.max(mine.top, its.top));
  };
  const below = covered();
  if (below === 0) return;
  panel.classList.add("up");
  if (covered() >= below) panel.classList.remove("up");
}

/** Ends it, here and on the other pages, until it is asked for again. */
function leave() {
  const now = kept();
  keep({ step: now?.step ?? 0, on: false });
  watch.disconnect();
  panel.remove();
  document.documentElement.classList.remove("touring");
  const at = pointed instanceof HTMLElement ? pointed : main;
  point(null);
  offer();
  // Who walks by keys goes on from what was pointed at.
  const first = at.matches("button, a[href], [tabindex]") ? at : at.querySelector("button:enabled, a[href], input, select");
  (first instanceof HTMLElement ? first : main).focus({ preventScroll: true });
}

document.addEventListener("keydown", (event) => {
  // A word that is open is closed first, by the browser.
  if (event.key === "Escape" && panel.isConnected && !document.querySelector(".slip:popover-open")) leave();
});

/** On the first page: what is offered depends on what was seen. */
function offer() {
  const place = document.getElementById("offered");
  const now = kept();
  if (!place || !now) return;
  const on = /** @type {HTMLElement} */ (document.querySelector("[data-tour='on']"));
  const begun = !now.on && now.step > 0 && now.step + 1 < STEPS.length;
  on.hidden = !begun;
  on.textContent = `Go on at step ${now.step + 1}`;
  place.textContent = begun ? "You left the tour on the way." : now.on ? "The tour is on." : "The tour can be taken again at any time.";
}

for (const one of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-tour]"))) {
  one.addEventListener("click", () => go(one.dataset.tour === "on" ? kept()?.step ?? 0 : 0));
}
offer();
show();
