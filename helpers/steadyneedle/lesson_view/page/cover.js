// Covers the cells that answer a prediction until it is recorded. A cell tagged `after:NAME` waits for prediction NAME;
// one tagged for several waits for all of them. Python outputs every cell, and nothing is covered but by this file: where
// it is missing, or the kernel is gone, every word is there.
//
// `cover(cells, given)` is called once, in the same turn in which the cells are laid, so that nothing covered is ever
// painted. Each cell is `{ node, tags }`. Given:
//   lesson   its number
//   work     what `my-work.json` holds, or a promise of it; what it says counts until the forms themselves have spoken
//   session  the notebook's sessionContext: while its kernel is gone or out of reach nothing is covered
//   patience milliseconds after which a prediction whose form has not spoken covers nothing
// The forms of predictions speak by the event `steadyneedle:prediction` on the document.
const TAG = "after:";
const PATIENCE = 90000;
const GRACE = 5000;  // a kernel that is started again within it was never gone, as far as a reader can tell
const GONE = ["dead", "terminating", "unknown"];
const NOTE = "What follows is covered. It answers the question above: record your prediction, or have it shown without.";

export function cover(cells, { lesson, work = null, session = null, patience = PATIENCE }) {
  const told = new Map();  // name to whether it is open, as its form said last
  let kept = {}, all = false, gone = false, broken = false, late = false, grace = 0;

  const covering = [...cells].map(({ node, tags }) => ({
    node, names: (tags || []).filter((tag) => tag.startsWith(TAG)).map((tag) => tag.slice(TAG.length)), note: null,
  }));
  const names = [...new Set(covering.flatMap((one) => one.names))];

  function isOpen(name) {
    if (told.has(name)) return told.get(name);
    const entry = kept[name];
    return late || Boolean(entry && (entry.recorded || entry.shown));
  }
  function apply() {
    let before = false;
    for (const one of covering) {
      const covered = !all && !gone && !broken && one.names.some((name) => !isOpen(name));
      one.node.hidden = covered;
      one.node.classList.toggle("sn-covered", covered);
      note(one, covered && !before);  // one note for all that is covered in a row
      before = covered;
    }
  }
  function note(one, shown) {
    if (shown && !one.note) {
      one.note = document.createElement("p");
      one.note.className = "sn-cover-note";
      one.note.textContent = NOTE;
      one.node.before(one.note);
    }
    if (one.note) one.note.hidden = !shown;
  }
  function hear(event) {
    const { lesson: which, name, open } = event.detail || {};
    if (which !== lesson || !names.includes(name)) return;
    told.set(name, Boolean(open));
    apply();
  }
  function settle() {
    late = true;
    apply();
  }
  function isGone() {
    const kernel = session.session?.kernel;
    return !kernel || GONE.includes(kernel.status) || kernel.connectionStatus !== "connected";
  }
  function watch() {
    clearTimeout(grace);
    if (isGone()) {
      grace = setTimeout(() => { gone = isGone(); apply(); }, GRACE);
    } else if (gone) {
      gone = false;
      apply();
    }
  }
  const signals = session ? [session.statusChanged, session.connectionStatusChanged, session.kernelChanged] : [];

  apply();
  document.addEventListener("steadyneedle:prediction", hear);
  const timer = setTimeout(settle, patience);
  Promise.resolve(work).then((content) => {
    kept = content?.lessons?.[lesson]?.predictions || {};
    apply();
  }).catch(() => {});
  if (session) {
    Promise.resolve(session.ready).then(() => {
      signals.forEach((one) => one.connect(watch));
      watch();
    }, settle);
  }

  return {
    // Nothing is covered, or all is as recorded again: for whoever teaches.
    uncoverAll(on = true) { all = on; apply(); },
    // Every cell has run: a prediction whose form has not spoken by now will not speak.
    settle,
    // The lesson does not run, for example because its code is not ours; or it runs after all.
    fault(on = true) { broken = on; apply(); },
    // Names of the predictions that still cover something.
    covered: () => names.filter((name) => covering.some((one) => one.node.hidden && one.names.includes(name))),
    close() {
      document.removeEventListener("steadyneedle:prediction", hear);
      clearTimeout(timer);
      clearTimeout(grace);
      signals.forEach((one) => one.disconnect(watch));
    },
  };
}
