// What is done and met, with links to what to practise next. The kernel sends new rows after each check.
function render({ model, el }) {
  const root = make("div", { class: "sn-standing" });
  ours(root);
  el.append(root);
  const table = make("div", {}), said = make("p", { class: "sn-note", role: "status" });
  const over = make("div", { class: "sn-buttons" });
  root.append(table, make("div", { class: "sn" }, over, said));
  const button = (words, onclick) => make("button", { type: "button", onclick }, words);

  function link({ next, link: to }) {
    if (!to) return next;
    const made = make("a", { href: to }, next);
    if (to.startsWith("#")) made.addEventListener("click", (event) => { event.preventDefault(); goTo(to.slice(1)); });
    return made;
  }
  function draw() {
    const head = model.get("head").map((words) => make("th", { scope: "col" }, words));
    const rows = model.get("rows").map((row) => make("tr", {}, ...[row.lesson, row.objective, row.words, link(row)].map((cell) => make("td", {}, cell))));
    table.replaceChildren(make("table", {}, make("thead", {}, make("tr", {}, ...head)), make("tbody", {}, ...rows)));
  }
  // Two presses, on two spots: nobody starts over by chance.
  function ask(asked) {
    const held = over.contains(document.activeElement);
    over.replaceChildren(...(asked
      ? [make("span", {}, model.get("warning")), button("No, leave it", () => ask(false)), button("Yes, start over", () => { model.send({ what: "start over" }); ask(false); })]
      : [button("Start this lesson over", () => { said.textContent = ""; ask(true); })]));
    if (held) over.querySelector("button").focus();
  }
  const say = () => { said.textContent = model.get("said").words || ""; };
  draw();
  ask(false);
  model.on("change:rows", draw);
  model.on("change:said", say);
  return () => { model.off("change:rows", draw); model.off("change:said", say); };
}
export default { render };
