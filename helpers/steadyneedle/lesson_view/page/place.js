// Where one is in the lesson: found again when the page opens, kept while one reads. The kernel writes it into the
// learner's file; the companion, a widget of the first cell, carries it there.
import { heading } from "./early.js";

const QUIET = 400;  // milliseconds without scrolling

export class Place {
  constructor(page, left) {
    this.page = page;
    this.kept = (left.places || {})[page.mark.lesson] || null;
    this.companion = null;
    this.waiting = {};
    this.still = false;
    page.root.addEventListener("steadyneedle:companion", (event) => {
      this.companion = event.detail;
      this.keep({});
    });
    history.scrollRestoration = "manual";
    // What grows or shrinks above, when it comes alive or is uncovered, moves nothing that one reads.
    this.anchor = null;
    new ResizeObserver(() => this.hold()).observe(page.body);
    window.addEventListener("scroll", () => this.remember(), { passive: true });
  }

  remember() {
    const cell = this.current();
    this.anchor = cell ? { node: cell.node, top: cell.node.getBoundingClientRect().top } : null;
  }

  hold() {
    if (!this.anchor || this.anchor.node.hidden) return;
    const by = this.anchor.node.getBoundingClientRect().top - this.anchor.top;
    if (Math.abs(by) >= 1) window.scrollBy({ top: by, behavior: "instant" });
  }

  // The first cell that one sees, as far as its upper edge lies above the line under the head.
  line() {
    return this.page.root.querySelector(".sn-head").getBoundingClientRect().height;
  }

  // The heading that the address names, as a link to a word of the glossary does.
  named() {
    const same = (one) => one.textContent.replace("¶", "").trim().replaceAll(" ", "-") === heading;
    return heading ? [...this.page.body.querySelectorAll("h1, h2, h3")].find(same) : undefined;
  }

  find() {
    const named = this.named();
    const cell = this.kept && this.page.cells.find((one) => one.id === this.kept.cell);
    const node = named || cell?.node;
    const offset = named || !cell ? 0 : Number(this.kept.offset || 0);
    const top = node ? node.getBoundingClientRect().top + window.scrollY - this.line() + offset : 0;
    window.scrollTo({ top, behavior: "instant" });
    this.remember();
  }

  // The cell at that line.
  current() {
    const line = this.line() + 1;
    return this.page.cells.find((cell) => cell.node.getBoundingClientRect().bottom > line) || this.page.cells[0];
  }

  begin() {
    let timer = 0;
    window.addEventListener("scroll", () => {
      clearTimeout(timer);
      timer = setTimeout(() => this.look(), QUIET);
    }, { passive: true });
  }

  look() {
    const cell = this.current();
    const offset = Math.round(this.line() - cell.node.getBoundingClientRect().top);
    this.keep({ cell: cell.id, offset: window.scrollY ? offset : 0 });
  }

  keep(what) {
    Object.assign(this.waiting, what);
    if (!this.companion || this.still) return;
    this.companion.keep(this.waiting);
    this.waiting = {};
  }
}
