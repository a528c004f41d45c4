// Carries what the page keeps of a reader to the kernel: where one is, how large the text, which ground.
// Nothing to see. The lesson view takes it up; elsewhere it does nothing.
function render({ model, el }) {
  el.classList.add("sn-companion");
  const page = el.closest(".sn-lesson");
  if (page) page.dispatchEvent(new CustomEvent("steadyneedle:companion", { detail: { keep: (what) => model.send(what) } }));
}
export default { render };
