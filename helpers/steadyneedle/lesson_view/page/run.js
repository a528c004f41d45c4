// Runs the cells of a lesson and puts each live output in the place of its still picture once it can be seen.
const AT_ONCE = 2;  // so many cells wait in the kernel: a control that is moved meanwhile does not wait for all the others
const VIEW = "application/vnd.jupyter.widget-view+json";
const PATIENCE = 5000;

export class Runner {
  constructor(page) {
    this.page = page;
    this.turn = 0;
  }

  async start() {
    const { context, cells, root } = this.page;
    const turn = ++this.turn;
    await context.sessionContext.ready;
    performance.mark("sn-kernel");
    const code = cells.filter((cell) => cell.kind === "code");
    const waiting = [];
    const shown = [];
    for (const cell of code) {
      if (waiting.length >= AT_ONCE) await waiting.shift();
      if (turn !== this.turn) return;
      const run = this.run(cell);
      waiting.push(run.done);
      shown.push(run.shown);
    }
    await Promise.all(shown);
    if (turn !== this.turn) return;
    performance.mark("sn-live");
    root.dataset.state = "live";
    document.body.dataset.snLive = "1";
  }

  run(cell) {
    const { lab, context } = this.page;
    const kernel = context.sessionContext.session.kernel;
    const outputs = new lab.outputarea.OutputAreaModel({ trusted: true });
    const area = this.page.area(outputs);
    const holder = document.createElement("div");
    holder.className = "sn-next";
    cell.live.parentNode.append(holder);
    lab.lumino.Widget.attach(area, holder);
    const future = kernel.requestExecute(
      { code: cell.source, silent: false, store_history: false, allow_stdin: false, stop_on_error: false }, true, { cellId: cell.id });
    area.future = future;
    const done = future.done.catch(() => {});
    return { done, shown: done.then(() => seen(area)).then(() => this.swap(cell, area, holder)) };
  }

  swap(cell, area, holder) {
    cell.live.remove();
    cell.still.hidden = true;
    holder.className = "sn-live";
    cell.live = holder;
    if (cell.area) cell.area.dispose();
    cell.area = area;
  }
}

// Until every widget of an output area has drawn itself.
function seen(area) {
  const complete = () => area.widgets.every((one, n) => !(VIEW in area.model.get(n).data) || one.node.querySelector(".sn"));
  if (complete()) return Promise.resolve();
  return new Promise((done) => {
    const watcher = new MutationObserver(() => { if (complete()) finish(); });
    const timer = setTimeout(finish, PATIENCE);
    function finish() { watcher.disconnect(); clearTimeout(timer); done(); }
    watcher.observe(area.node, { childList: true, subtree: true });
  });
}
