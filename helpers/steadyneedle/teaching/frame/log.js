// A log of one's own: a file is read in the page and judged by the kernel.
function render({ model, el }) {
  const parts = {};
  function field(name, label, input) {
    const id = fresh(name);
    input.id = id;
    parts[name] = input;
    return make("div", { class: "sn-control" }, make("label", { for: id }, label), make("div", { class: "sn-options" }, input));
  }
  const lines = make("div", { class: "sn-feedback", role: "status" });
  const image = make("img", { alt: "", hidden: true });
  const note = make("span", { class: "sn-note", role: "status" });
  const root = make("div", { class: "sn sn-form" }, make("h4", {}, model.get("title")),
    ...model.get("question").map((line) => make("p", {}, line)),
    field("file", "Log, a CSV file", make("input", { type: "file", accept: ".csv,.txt,text/csv" })),
    field("columns", "Columns, if it has no header", make("input", { type: "text", autocomplete: "off", placeholder: "time_s,pressure_bar", maxlength: 200 })),
    field("sheet", "Specification sheet", make("select", {}, ...model.get("sheets").map((name) => make("option", { value: name }, name)))),
    make("div", { class: "sn-buttons" }, make("button", { type: "button", class: "sn-first", onclick: judge }, "Judge it"), note),
    lines, image);
  let address = null;
  async function judge() {
    const file = parts.file.files[0];
    if (!file) { note.textContent = "Choose a file first."; return; }
    if (file.size > 40e6) { note.textContent = "The file is larger than 40 MB: send a part of it."; return; }
    note.textContent = "Reading and judging …";
    const data = await file.arrayBuffer();
    model.send({ name: file.name, columns: parts.columns.value, sheet: parts.sheet.value }, undefined, [data]);
  }
  function take() {
    note.textContent = model.get("problem");
    const said = model.get("lines");
    lines.replaceChildren(...said.map((line, n) => make(n ? "p" : "strong", {}, line)));
    if (address) URL.revokeObjectURL(address);
    const bytes = model.get("picture");
    image.hidden = !bytes.byteLength;
    image.alt = said.join(" ");
    if (bytes.byteLength) {
      address = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
      image.src = address;
    }
  }
  ours(root);
  el.append(root);
  model.on("change:answered", take);
  return () => { model.off("change:answered", take); if (address) URL.revokeObjectURL(address); };
}
export default { render };
