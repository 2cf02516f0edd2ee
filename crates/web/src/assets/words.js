// The trade's words where scripts write them: marked like those of the page, opening the same slips.

/** Every form of a word, and the slip it opens. @type {Map<string, string>} */
const known = new Map();
for (const slip of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".slip"))) {
  for (const form of (slip.dataset.says ?? "").split("|")) known.set(form, slip.id);
}
// Longer forms first, so that "miss room" is not taken for "room".
const forms = [...known.keys()].sort((a, b) => b.length - a.length).map((form) => form.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
/** In running text only what is no everyday word. */
const EVERYDAY = new Set(["in", "out", "hit", "open", "length", "volume", "feet", "eyes", "likely", "at most", "speed", "chance", "room", "hold", "leave", "leaves", "strike", "strikes", "boards", "board"]);
const anyOf = (/** @type {string[]} */ some) => new RegExp(`(?<![\\w-])(${some.join("|")})(?![\\w-])`, "gi");
const rare = anyOf(forms.filter((form) => !EVERYDAY.has(form)));
const every = anyOf(forms);

/** @param {string} text @param {string} slip */
function button(text, slip) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "asked";
  made.textContent = text;
  made.setAttribute("popovertarget", slip);
  return made;
}

/** A text that is one of the words, to be asked for; any other is text. @param {string} text @returns {Node} */
export function explained(text) {
  const whole = text.trim().toLowerCase();
  const slip = known.get(whole) ?? known.get(whole.split(",")[0]);
  return slip ? button(text, slip) : document.createTextNode(text);
}

/** Marks the words of a running text, each once. @param {HTMLElement} place */
function mark(place) {
  const said = new Set();
  const walker = document.createTreeWalker(place, NodeFilter.SHOW_TEXT);
  /** @type {Text[]} */
  const texts = [];
  while (walker.nextNode()) {
    const text = /** @type {Text} */ (walker.currentNode);
    if (!text.parentElement?.closest("button, a, svg")) texts.push(text);
  }
  for (const text of texts) {
    const parts = text.data.split(place.dataset.words === "all" ? every : rare);
    if (parts.length < 2) continue;
    text.replaceWith(...parts.map((part, k) => {
      const slip = k % 2 === 1 ? known.get(part.toLowerCase()) : undefined;
      if (!slip || said.has(slip)) return document.createTextNode(part);
      said.add(slip);
      return button(part, slip);
    }));
  }
}

for (const place of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-words]"))) {
  const watch = new MutationObserver(() => {
    watch.disconnect();
    mark(place);
    watch.observe(place, { childList: true, subtree: true, characterData: true });
  });
  watch.observe(place, { childList: true, subtree: true, characterData: true });
}
