// Small pieces that every part of the page uses.
import { make, unbroken } from "./make.js";  // laid beside this file: the same that forms and panels use

export { make };

export function button(words, pressed, attributes = {}) {
  return make("button", { type: "button", onclick: pressed, ...attributes }, words);
}

// What a promise gives, or `otherwise` when that takes too long.
export function waitAtMost(promise, milliseconds, otherwise) {
  return Promise.race([promise, new Promise((done) => { setTimeout(done, milliseconds, otherwise); })]);
}

// In prose as in forms; source text stays as it is.
export function holdUnits(node) {
  const walker = document.createTreeWalker(node, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode, words = unbroken(text.data);
    if (words !== text.data && !text.parentElement.closest("pre, code")) text.data = words;
  }
}
