// Where one is in the lesson: found again when the page opens, kept while one reads. The kernel writes it into the
// learner's file; the companion, a widget of the first cell, carries it there.
import { heading } from "./early.js";

const QUIET = 400;  // milliseconds without scrolling
const ABOVE = 3;  // an edge above the line counts as so many times farther away
const FEW = 3;  // cells after the one at the line: the next that begins is among them, unless some are empty

export class Place {
  constructor(page, left) {
    this.page = page;
    this.kept = (left.places || {})[page.mark.lesson] || null;
    this.companion = null;
    this.waiting = {};
    this.said = {};
    this.still = false;
    page.root.addEventListener("steadyneedle:companion", (event) => {
      this.companion = event.detail;
      this.keep({ ...this.said, ...this.waiting });  // what the one before it was told may have got lost
    });
    history.scrollRestoration = "manual";
    // What grows or shrinks above, when it comes alive or is uncovered, moves nothing that one reads.
    this.anchor = null;
    this.y = 0;
    new ResizeObserver(() => this.hold()).observe(page.body);
    window.addEventListener("scroll", () => this.scrolled(), { passive: true });
    // Whoever acts in a cell keeps it where it stands: what the act uncovers comes below it.
    for (const act of ["pointerdown", "focusin"]) page.body.addEventListener(act, ({ target }) => this.remember(target), true);
  }

  remember(acted = document.activeElement) {
    const cell = this.page.cells.find((one) => one.node.contains(acted) && this.spans(one)) || this.nearest();
    if (cell) this.holdTo(cell.node);
  }

  holdTo(node) {
    this.anchor = { node, top: node.getBoundingClientRect().top };
    this.y = window.scrollY;
  }

  hold() {
    if (!this.anchor || this.anchor.node.hidden) return;
    const top = () => this.anchor.node.getBoundingClientRect().top;
    const by = top() - this.anchor.top;
    if (Math.abs(by) < 1) return;
    window.scrollBy({ top: by, behavior: "instant" });
    this.y = window.scrollY;
    if (Math.abs(top() - this.anchor.top) >= 1) this.anchor.top = top();  // at the page's end it does not get there
  }

  // The event comes a moment after the scrolling, also after our own: what has grown above meanwhile is taken back
  // first, and only what somebody else has scrolled is a new place.
  scrolled() {
    const moved = window.scrollY - this.y;
    this.y = window.scrollY;
    if (this.anchor) this.anchor.top -= moved;
    this.hold();
    if (moved) this.remember();
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
    const cell = this.kept && this.page.cells.find((one) => one.id === this.kept.cell && !one.node.hidden);
    const node = named || cell?.node;
    const offset = named || !cell ? 0 : Number(this.kept.offset || 0);
    const top = node ? node.getBoundingClientRect().top + window.scrollY - this.line() + offset : 0;
    window.scrollTo({ top, behavior: "instant" });
    if (node) this.holdTo(node);
    else this.remember();
  }

  // The cell at that line.
  current() {
    return this.page.cells.find((cell) => this.below(cell)) || this.page.cells[0];
  }

  below(cell) {
    return cell.node.getBoundingClientRect().bottom > this.line() + 1;
  }

  spans(cell) {
    return this.below(cell) && cell.node.getBoundingClientRect().top < this.line();
  }

  // The cell whose upper edge lies nearest that line, one below it rather than one above: a cell that reaches up over
  // the line is of another height once it is live, and what one reads after it would move.
  nearest() {
    const line = this.line(), from = this.page.cells.indexOf(this.current());
    const away = (cell) => {
      const below = cell.node.getBoundingClientRect().top - line;
      return below < 0 ? -ABOVE * below : below;
    };
    const [first, ...others] = this.page.cells.slice(from).filter((cell) => !cell.node.hidden);
    return others.slice(0, FEW).reduce((best, cell) => (away(cell) < away(best) ? cell : best), first);
  }

  begin() {
    let timer = 0;
    const look = () => {
      clearTimeout(timer);
      timer = 0;
      this.look();
    };
    window.addEventListener("scroll", () => {
      clearTimeout(timer);
      timer = setTimeout(look, QUIET);
    }, { passive: true });
    window.addEventListener("pagehide", () => { if (timer) look(); });  // closed while the page still moved
  }

  look() {
    const cell = this.nearest();
    const offset = Math.round(this.line() - cell.node.getBoundingClientRect().top);
    this.keep({ cell: cell.id, offset: window.scrollY ? offset : 0 });
  }

  keep(what) {
    Object.assign(this.waiting, what);
    if (!this.companion || this.still) return;
    this.companion.keep(this.waiting);
    Object.assign(this.said, this.waiting);
    this.waiting = {};
  }
}
