// Scrolls the notebook to its beginning once. A view that is drawn again later leaves the page alone.
function render({ model, el }) {
  if (model.get("used")) return;
  model.set("used", true);
  model.save_changes();
  setTimeout(() => {
    const panel = el.closest(".jp-WindowedPanel-outer") || el.closest(".jp-Notebook");
    if (panel) panel.scrollTop = 0;
  }, 400);
}
export default { render };
