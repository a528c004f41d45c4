// Runs the cells of a lesson and puts each live output in the place of its still picture once it can be seen.
import { leave, take } from "./carry.js";

const AT_ONCE = 4;  // with fewer the kernel waits for the page, with many more a control moved meanwhile waits for them all
const PATIENCE = 5000;
const ATTEMPTS = 5;
// The opening cell once more would take everything else off the page: this is run in its stead.
const INSTEAD = { "open_lesson(": "lesson.begin()", "open_paper(": "paper.begin()" };
const BROKEN = ".jupyter-widgets-error-widget";
const VIEW = "application/vnd.jupyter.widget-view+json";

export class Runner {
  constructor(page) {
    this.page = page;
    this.turn = 0;
    this.answered = false;  // whether the kernel has answered in this turn
    this.stopped = false;
    this.broken = false;  // whether a cell of this turn has not run to its end: its kernel is gone
    this.waiting = new Set();  // output areas of the cells that the kernel has not answered
  }

  // Run every cell, first those that one sees. Gives a promise for the section that one sees.
  start() {
    const turn = ++this.turn;
    this.answered = this.broken = false;
    this.waiting.forEach((area) => area.dispose());  // a kernel that is gone answers no more
    this.waiting.clear();
    this.page.root.dataset.state = "still";
    const [first, rest] = this.order();
    const early = this.run(first, turn);
    early.then(() => this.reached(turn, "first")).then(() => this.run(rest, turn)).then(() => this.reached(turn, "live"))
      .then(() => this.page.cover.settle())
      .catch(() => { this.broken = turn === this.turn; });  // else a newer run has begun
    return early.catch(() => {});
  }

  again() {
    if (this.turn && !this.stopped) this.start();  // a page that runs nothing goes on running nothing
  }

  stop() {
    this.stopped = true;
    this.turn += 1;
  }

  reached(turn, state) {
    if (turn !== this.turn) throw new Error("not the newest run");
    this.page.root.dataset.state = state;
    performance.mark(`sn-${state}`);
  }

  // The first cell, which opens the lesson, and the section one is in; then what follows; then what lies above.
  order() {
    const { cells, place } = this.page;
    const code = cells.filter((cell) => cell.kind === "code");
    const [opening, ...others] = code;
    const here = cells.indexOf(place.current());
    const below = others.filter((cell) => cells.indexOf(cell) >= here);
    const above = others.filter((cell) => cells.indexOf(cell) < here);
    const headings = cells.map((cell, n) => (cell.kind === "markdown" && /^##? /m.test(cell.source) ? n : -1)).filter((n) => n >= 0);
    const next = below.length ? cells.indexOf(below[0]) : 0;
    const end = headings.find((n) => n > next) ?? cells.length;
    const seen = below.filter((cell) => cells.indexOf(cell) < end);
    return [[opening, ...seen].filter(Boolean), [...below.slice(seen.length), ...above]];
  }

  async run(cells, turn) {
    await this.page.context.sessionContext.ready;
    const waiting = [];
    const shown = [];
    for (const cell of cells) {
      if (waiting.length >= AT_ONCE) await waiting.shift();
      if (turn !== this.turn) return;
      const one = this.execute(cell);
      waiting.push(one.done);
      shown.push(one.shown);
    }
    if (!(await Promise.all(shown)).every(Boolean)) throw new Error("a cell has not run to its end");
  }

  // On a busy machine a widget may give up before it has loaded: its cell is run again, a few times.
  execute(cell, attempt = 1) {
    const { lab, context } = this.page;
    const holder = document.createElement("div");
    holder.className = "sn-next";
    cell.node.append(holder);
    const area = this.page.area(new lab.outputarea.OutputAreaModel({ trusted: true }));
    lab.lumino.Widget.attach(area, holder);
    const opens = Object.keys(INSTEAD).find((one) => cell.source.includes(one));
    const code = attempt > 1 && opens ? INSTEAD[opens] : cell.source;
    const request = { code, silent: false, store_history: false, allow_stdin: false, stop_on_error: false };
    area.future = context.sessionContext.session.kernel.requestExecute(request, true, { cellId: cell.id });
    this.waiting.add(area);
    const done = area.future.done.then(() => { this.answered = true; return true; }, () => false)
      .finally(() => this.waiting.delete(area));
    const turn = this.turn;
    const shown = done.then(async (whole) => {
      if (whole) await drawn(area);
      const fits = whole && turn === this.turn;
      const again = fits && area.node.querySelector(BROKEN) && attempt < ATTEMPTS;
      if (fits && !again) { this.swap(cell, area, holder); return true; }
      area.dispose();
      holder.remove();
      return again ? this.execute(cell, attempt + 1).shown : false;
    });
    return { done, shown };
  }

  // The live output takes the place of what stood there. What one reads stays where it is.
  swap(cell, area, holder) {
    const left = leave(cell);
    if (cell.area) {
      cell.area.dispose();
      cell.holder.remove();
    }
    cell.still.hidden = true;
    holder.className = "sn-live";
    Object.assign(cell, { area, holder });
    take(cell, left);
    this.page.place.hold();
  }
}

// Until every widget of an output area has drawn itself.
function drawn(area) {
  const complete = () => area.isDisposed || area.widgets.every((one, n) => {
    const output = area.model.get(n);
    return !output || !(VIEW in output.data) || one.node.querySelector(`.sn, .sn-companion, ${BROKEN}`);
  });
  if (complete()) return Promise.resolve();
  return new Promise((done) => {
    const watcher = new MutationObserver(() => { if (complete()) finish(); });
    const timer = setTimeout(finish, PATIENCE);
    function finish() { watcher.disconnect(); clearTimeout(timer); done(); }
    watcher.observe(area.node, { childList: true, subtree: true, attributes: true, attributeFilter: ["class"] });
  });
}
