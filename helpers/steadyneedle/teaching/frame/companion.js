// Carries what the page keeps of a reader to the kernel: where one is, how large the text, which ground.
// Nothing to see. The lesson view takes it up; elsewhere it does nothing.
const PAUSE = 100, TRIES = 100;  // milliseconds; on a busy machine it is made some time before it is in the page

function render({ model, el }) {
  el.classList.add("sn-companion");
  const keep = (what) => model.send(what);
  function meet(tries) {
    const page = el.closest(".sn-lesson");
    if (page) page.dispatchEvent(new CustomEvent("steadyneedle:companion", { detail: { keep } }));
    else if (!el.isConnected && tries) setTimeout(meet, PAUSE, tries - 1);
  }
  meet(TRIES);
}
export default { render };
