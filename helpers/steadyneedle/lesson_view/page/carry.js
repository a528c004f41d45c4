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
  const left = cell.area ? forms(cell).map((one) => one.leave?.()) : kept[cell.id];
  delete kept[cell.id];
  return left || [];
}

export function take(cell, left) {
  forms(cell).forEach((one, n) => { if (left[n]) one.take?.(left[n]); });
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
