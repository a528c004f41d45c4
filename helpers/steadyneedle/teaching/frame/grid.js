// A grid of short answers: the cell that has the keyboard, or was pointed at, says its reason below.
function render({ model, el }) {
  const root = make("div", { class: "sn sn-grid" });
  ours(root);
  el.append(root);
  const { title, corner, groups, rows, reasons, cells } = model.get("spec");
  const name = fresh("group"), table = make("div", { class: "sn-cells" }), column = make("select", { id: fresh("column") });
  const sentence = make("p", { class: "sn-sentence", "aria-live": "polite" });
  let group = 0, here = [0, 0], buttons = [];

  function go(row, at, focus) {
    here = [Math.min(Math.max(row, 0), rows.length - 1), Math.min(Math.max(at, 0), groups[group].columns.length - 1)];
    buttons.forEach((line, r) => line.forEach((one, c) => {
      one.tabIndex = r === here[0] && c === here[1] ? 0 : -1;
      one.setAttribute("aria-pressed", String(r === here[0] && c === here[1]));
    }));
    table.querySelectorAll("[data-column]").forEach((one) => one.classList.toggle("sn-here", Number(one.dataset.column) === here[1]));
    column.value = String(here[1]);
    sentence.textContent = reasons[group][here[0]][here[1]];
    if (focus) buttons[here[0]][here[1]].focus();
  }
  function key(event) {
    const step = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] }[event.key];
    if (event.key === "Home") go(here[0], 0, true);
    else if (event.key === "End") go(here[0], groups[group].columns.length - 1, true);
    else if (step) go(here[0] + step[0], here[1] + step[1], true);
    else return;
    event.preventDefault();
  }
  function draw() {
    const columns = groups[group].columns;
    column.replaceChildren(...columns.map((words, n) => make("option", { value: String(n) }, words)));
    buttons = rows.map((_, r) => columns.map((_, c) => make("button", {
      type: "button", "aria-describedby": sentence.id, onclick: () => go(r, c, true), onfocus: () => go(r, c, false), onkeydown: key,
    }, cells[group][r][c])));
    table.replaceChildren(make("table", {},
      make("thead", {}, make("tr", {}, make("th", { scope: "col" }, corner), ...columns.map((words, n) => make("th", { scope: "col", "data-column": n }, words)))),
      make("tbody", {}, ...rows.map((words, r) => make("tr", {}, make("th", { scope: "row" }, words),
        ...buttons[r].map((one, c) => make("td", { "data-column": c }, one)))))));
    go(0, 0, false);
  }
  sentence.id = fresh("reason");
  column.addEventListener("change", () => go(here[0], Number(column.value), false));
  const choice = groups.map((one, n) => {
    const id = fresh("one"), radio = make("input", { type: "radio", name, id, checked: n === 0 });
    radio.addEventListener("change", () => { group = n; draw(); });
    return make("div", { class: "sn-one" }, radio, make("label", { for: id }, one.name));
  });
  root.append(
    make("h4", {}, title),
    make("fieldset", {}, make("legend", {}, "Parts"), make("div", { class: "sn-line" }, ...choice)),
    make("div", { class: "sn-answer sn-narrow" }, make("label", { for: column.id }, "Part"), column),
    table, sentence);
  draw();
}
export default { render };
