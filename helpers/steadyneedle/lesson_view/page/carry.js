// What stands in a form and is not saved yet goes over to the form that is drawn in its place: that of a new kernel, or of
// the page loaded again. Each form has `leave`, which gives it, and `take`; what it is, only the form knows.
const forms = (cell) => [...cell.node.querySelectorAll(".sn-live .sn-form")];
const NAME = "sn-unsaved";
let kept = {};  // by cell
try {
  const { path, cells } = JSON.parse(sessionStorage.getItem(NAME) || "{}");
  sessionStorage.removeItem(NAME);
  if (path === location.pathname) kept = cells;
} catch { /* then it is lost, as it would be with a closed window */ }

export function leave(cell) {
  const left = cell.waiting || (cell.area ? forms(cell).map((one) => one.leave?.()) : kept[cell.id]);
  delete cell.waiting;
  delete kept[cell.id];
  return left || [];
}

// Whether anything that was typed or chosen would be gone with this page.
export const holdsUnsaved = (page) => page.cells.some((cell) => forms(cell).some((one) => one.unsaved?.()));

// On a busy machine a form may be drawn only after its output stands in the page: it is given what was left once it is there.
export function take(cell, left) {
  const give = () => {
    delete cell.waiting;
    forms(cell).forEach((one, n) => { if (left[n]) one.take?.(left[n]); });
  };
  if (forms(cell).length >= left.length) { give(); return; }
  cell.waiting = left;
  const { area } = cell, watcher = new MutationObserver(() => {
    const drawn = forms(cell).length >= left.length;
    if (drawn || cell.area !== area) watcher.disconnect();
    if (drawn && cell.area === area) give();
  });
  watcher.observe(cell.node, { childList: true, subtree: true });
}

// The browser asks before the page goes where something typed would go with it, and only then. JupyterLab would ask always:
// a notebook counts as changed once its cells have run, though nothing is ever written into a lesson.
export function askBeforeLeaving(page) {
  const { model } = page.context;
  const clean = () => { model.dirty = false; };
  model.stateChanged.connect((_, { name, newValue }) => { if (name === "dirty" && newValue) queueMicrotask(clean); });
  clean();
  window.addEventListener("beforeunload", (event) => {
    if (!page.loadsAgain && holdsUnsaved(page)) event.preventDefault();
  });
}

// A page that is loaded again, by itself or by hand, begins with what this one has not saved.
export function keepForNext(page) {
  window.addEventListener("pagehide", () => {
    const all = page.cells.filter((cell) => cell.area).map((cell) => [cell.id, leave(cell)]);
    const cells = Object.fromEntries([...Object.entries(kept), ...all.filter(([, left]) => left.some((one) => one?.unsaved))]);
    try {
      if (Object.keys(cells).length) sessionStorage.setItem(NAME, JSON.stringify({ path: location.pathname, cells }));
    } catch { /* as above */ }
  });
}
