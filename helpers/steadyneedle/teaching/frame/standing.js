// What is done and met, with links to what to practise next. The kernel sends new rows after each check.
function render({ model, el }) {
  const root = make("div", { class: "sn sn-standing" });
  ours(root);
  el.append(root);
  const table = make("div", {}), said = make("p", { class: "sn-note", role: "status" });
  const over = make("div", { class: "sn-buttons" });
  root.append(table, over, said);
  const button = (words, onclick) => make("button", { type: "button", onclick }, words);

  function link({ next, link: to }) {
    if (!to) return next;
    const [file, id] = to.split("#");
    const made = make("a", { href: file || `#${id}` }, next);
    made.addEventListener("click", (event) => {
      if (file) return goNext(id);
      event.preventDefault();
      goTo(id);
    });
    return made;
  }
  function draw() {
    const head = model.get("head").map((words) => make("th", { scope: "col" }, words));
    const rows = model.get("rows").map((row, n, all) => make("tr", { class: n && row.lesson !== all[n - 1].lesson ? "sn-apart" : "" }, ...[row.lesson, row.objective, row.words, link(row)].map((cell) => make("td", {}, cell))));
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
  // Told once that somebody has had it before their eyes.
  const eyes = new IntersectionObserver((seen) => {
    if (!seen.some((one) => one.isIntersecting)) return;
    eyes.disconnect();
    model.send({ what: "seen" });
  });
  draw();
  ask(false);
  eyes.observe(table);
  model.on("change:rows", draw);
  model.on("change:said", say);
  return () => { eyes.disconnect(); model.off("change:rows", draw); model.off("change:said", say); };
}
export default { render };
