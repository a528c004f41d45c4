import { CODE } from "./shipped.js";
export const isOurs = (source) => CODE.includes(source);
export function sayStrange(page) { page.say("This page holds code that is not ours."); }
