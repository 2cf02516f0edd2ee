// The handout builder: what cannot stand on the page as it is chosen says so, and a paper under way too.

import { the } from "./ask.js";

const form = /** @type {HTMLFormElement} */ (the("handout"));
const make = /** @type {HTMLButtonElement} */ (form.querySelector("button[type=submit]"));

/** @param {string} name */
const chosen = (name) => /** @type {HTMLSelectElement} */ (form.elements.namedItem(name)).value !== "";

/** Parts that need an event or a block; lines stand there with either. */
const NEEDS = { brief: ["event"], lines: ["event", "sheet"], pattern: ["event"], spares: ["event"], story: ["sheet"], notes: ["sheet"] };

function check() {
  const parts = /** @type {NodeListOf<HTMLInputElement>} */ (form.querySelectorAll("[name=part]"));
  let any = false;
  for (const part of parts) {
    const wants = NEEDS[/** @type {keyof typeof NEEDS} */ (part.value)];
    const there = wants.some(chosen);
    part.closest("label")?.classList.toggle("missing", part.checked && !there);
    any ||= part.checked && there;
  }
  make.disabled = !any;
}

form.addEventListener("change", check);
check();
