// The clock of a paper: when it was started, how long it takes, how many minutes have gone. It stands in the page's head.
// It stops nothing. Every few seconds, and whenever one comes back to this window, it asks who holds the paper; what could
// not be saved is tried again then.
const PAUSE = 100, TRIES = 100;  // milliseconds; on a busy machine it is made some time before it is in the page
const MINUTE = 60000, TICK = 1000, LOOK = 5000;
const KEPT = "steadyneedle:paper";  // the lesson view reads it

function render({ model, el }) {
  el.classList.add("sn-companion");
  const root = make("span", { class: "sn-clock", role: "timer" });
  el.append(root);
  let asked = 0;

  function meet(tries) {
    const head = el.closest(".sn-lesson")?.querySelector(".sn-head");
    if (head) {
      head.querySelectorAll(".sn-clock").forEach((old) => old.remove());
      head.querySelector(".sn-tools").before(root);
      const page = el.closest(".sn-lesson");
      page.dispatchEvent(new CustomEvent("steadyneedle:companion", { detail: { keep: (what) => keep(page.dataset.lesson, what) } }));
    } else if (!el.isConnected && tries) setTimeout(meet, PAUSE, tries - 1);
  }
  // Where one is, text size and ground: kept with this window, for they are no part of what is handed in.
  function keep(lesson, { cell, offset, text, ground }) {
    try {
      const kept = JSON.parse(sessionStorage.getItem(KEPT) || "{}");
      if (cell) kept.places = { [lesson]: { cell, offset } };
      sessionStorage.setItem(KEPT, JSON.stringify({ ...kept, ...(text && { text }), ...(ground && { ground }) }));
    } catch { /* then the page opens as it did first */ }
  }
  function ask() {
    asked = Date.now();
    model.send({ what: "look" });
  }
  function tick() {
    const { started, minutes, during, over } = model.get("clock");
    const gone = Math.max(0, Math.floor((Date.now() - started) / MINUTE));
    const told = (gone > minutes ? over : during).replaceAll("{gone}", gone).replaceAll("{more}", gone - minutes);
    const words = model.get("said") || told;
    if (root.textContent !== words) root.textContent = words;
    root.toggleAttribute("data-over", words !== told || gone >= minutes);
    if (Date.now() - asked >= LOOK) ask();
  }
  meet(TRIES);
  asked = Date.now();
  tick();
  const timer = setInterval(tick, TICK);
  window.addEventListener("focus", ask);
  model.on("change:clock", tick);
  model.on("change:said", tick);
  return () => {
    clearInterval(timer);
    window.removeEventListener("focus", ask);
    model.off("change:clock", tick);
    model.off("change:said", tick);
    root.remove();
  };
}
export default { render };
