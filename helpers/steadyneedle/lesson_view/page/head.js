import { make } from "./parts.js";
export function makeHead(page) { return make("header", {class:"sn-head"}, "lesson"); }
