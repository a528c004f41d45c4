// Small pieces every form and panel is made of. Native controls, each with a name.
function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "class") element.className = value;
    else if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}
// An id no other widget has: each widget loads a module of its own, so a counter would not do.
function fresh(stem) {
  return `sn-${stem}-${Math.random().toString(36).slice(2)}`;
}
// Keys pressed in our controls are ours: the notebook's own single-key commands stay out.
function ours(el) {
  el.setAttribute("data-lm-suppress-shortcuts", "true");
  el.addEventListener("keydown", (event) => event.stopPropagation());
}
