// Small pieces that every part of the page uses.
import { make } from "./make.js";  // laid beside this file: the same that forms and panels use

export { make };

export function button(words, pressed, attributes = {}) {
  return make("button", { type: "button", onclick: pressed, ...attributes }, words);
}

// What a promise gives, or `otherwise` when that takes too long.
export function waitAtMost(promise, milliseconds, otherwise) {
  return Promise.race([promise, new Promise((done) => { setTimeout(done, milliseconds, otherwise); })]);
}
