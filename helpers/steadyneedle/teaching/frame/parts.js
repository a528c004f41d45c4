// Small pieces every form and panel is made of. Native controls, each with a name.
// An id no other widget has: each widget loads a module of its own, so a counter would not do.
function fresh(stem) {
  return `sn-${stem}-${Math.random().toString(36).slice(2)}`;
}
// Keys pressed in our controls are ours: the notebook's own single-key commands stay out.
function ours(el) {
  el.setAttribute("data-lm-suppress-shortcuts", "true");
  el.addEventListener("keydown", (event) => event.stopPropagation());
}
