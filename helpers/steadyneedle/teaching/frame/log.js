// A log of one's own: a file or a typed table is read in the page and judged by the kernel.
const MOST_BYTES = 32e6;
const MOST_SENT = 100000;  // characters to keep; the kernel says whether a table may be so long
function render({ model, el }) {
  const parts = {};
  function field(name, label, input) {
    const id = fresh(name);
    input.id = id;
    parts[name] = input;
    return make("div", { class: "sn-control" }, make("label", { for: id }, label), make("div", { class: "sn-options" }, input));
  }
  const kept = model.get("kept");
  function choice(names, was) {
    return make("select", {}, ...names.map((name) => make("option", { value: name, selected: name === was }, name)));
  }
  const lines = make("div", { class: "sn-feedback", role: "status" });
  const image = make("img", { alt: "" });
  const seen = make("div", { class: "sn-picture", hidden: true }, image);
  const note = make("span", { class: "sn-note", role: "status" });
  const saved = make("p", { class: "sn-saved", role: "status" });
  const from = field("from", "Readings from", choice(["a file", "a table typed or pasted"], kept.from));
  const file = field("file", "Log, a file of text", make("input", { type: "file", accept: ".csv,.txt,.tsv,.log,text/plain,text/csv" }));
  const table = field("table", "Table", make("textarea", { rows: 8, spellcheck: "false", placeholder: "time_s,pressure_bar\n0,9.8\n15,9.8\n30,9.9" }));
  const root = make("div", { class: "sn sn-form" }, make("h4", {}, model.get("title")),
    ...model.get("question").map((line) => make("p", {}, line)),
    from, file, table,
    field("columns", "Columns, if it has no header", make("input", { type: "text", autocomplete: "off", placeholder: "time_s,pressure_bar", maxlength: 200 })),
    field("decimal", "Decimal mark", choice(model.get("decimals"), kept.decimal)),
    field("sheet", "Specification sheet", choice(model.get("sheets"), kept.sheet)),
    make("div", { class: "sn-buttons" }, make("button", { type: "button", class: "sn-first", onclick: judge }, "Judge it"), note),
    saved, lines, seen);
  parts.table.value = kept.table ?? "";
  parts.columns.value = kept.columns ?? "";
  function uncover() {
    const typed = parts.from.selectedIndex === 1;
    file.hidden = typed;
    table.hidden = !typed;
  }
  parts.from.addEventListener("change", uncover);
  uncover();
  // What was typed is kept a moment after the last key: a whole table goes along each time.
  const KEPT = ["from", "table", "columns", "decimal", "sheet"];
  let sequence = 0, answered = 0, waiting = null;
  function keep() {
    clearTimeout(waiting);
    waiting = null;
    sequence += 1;
    const number = sequence;
    model.send({ what: "keep", number, ...Object.fromEntries(KEPT.map((name) => [name, parts[name].value.slice(0, MOST_SENT)])) });
    setTimeout(() => {
      if (number === sequence && answered < number) saved.textContent = "Not saved yet: nothing answers. Load this page again, then type it once more.";
    }, 4000);
  }
  function keepSoon() {
    saved.textContent = "Saving…";
    clearTimeout(waiting);
    waiting = setTimeout(keep, 300);
  }
  for (const name of KEPT) parts[name].addEventListener("input", keepSoon);
  const keepNow = () => { if (waiting !== null) keep(); };
  window.addEventListener("pagehide", keepNow);
  // As a form does: what a kernel that is gone has not kept goes over to what is drawn in this one's place.
  root.leave = () => {
    const unkept = waiting !== null || answered < sequence, { files } = parts.file;
    return { unsaved: unkept ? Object.fromEntries(KEPT.map((name) => [name, parts[name].value])) : null, files, name: KEPT.find((name) => parts[name] === document.activeElement) };
  };
  root.take = (left) => {
    if (left.files instanceof FileList) parts.file.files = left.files;
    Object.entries(left.unsaved || {}).forEach(([name, value]) => { parts[name].value = value; });
    uncover();
    if (left.unsaved) keepSoon();
    parts[left.name]?.focus({ preventScroll: true });
  };
  function heard() {
    const answer = model.get("saved");
    answered = Math.max(answered, answer.number);
    if (answer.number === sequence && waiting === null && sequence) saved.textContent = answer.words;
  }
  let address = null;
  async function judge() {
    const how = { columns: parts.columns.value, sheet: parts.sheet.value, decimal: parts.decimal.value };
    if (parts.from.selectedIndex === 1) {
      if (!parts.table.value.trim()) { note.textContent = "Type or paste a table first."; return; }
      return send({ name: "", ...how }, new TextEncoder().encode(parts.table.value));
    }
    const chosen = parts.file.files[0];
    if (!chosen) { note.textContent = "Choose a file first."; return; }
    if (chosen.size > MOST_BYTES) { note.textContent = "The file is larger than 32 MB: send a part of it."; return; }
    let data;
    try { data = await chosen.arrayBuffer(); } catch { note.textContent = "The file cannot be read any more. Choose it again."; return; }
    send({ name: chosen.name, ...how }, data);
  }
  function send(message, data) {
    if (data.byteLength > MOST_BYTES) { note.textContent = "The table is larger than 32 MB: send a part of it."; return; }
    note.textContent = "Reading and judging …";
    model.send(message, undefined, [data.buffer ?? data]);
  }
  function take() {
    note.textContent = model.get("problem");
    const said = model.get("lines");
    lines.replaceChildren(...said.map((line, n) => make(n ? "p" : "strong", {}, line)));
    if (address) URL.revokeObjectURL(address);
    const bytes = model.get("picture");
    seen.hidden = !bytes.byteLength;
    image.alt = said.join(" ");
    if (bytes.byteLength) {
      address = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
      image.src = address;
    }
  }
  ours(root);
  el.append(root);
  model.on("change:answered", take);
  model.on("change:saved", heard);
  return () => {
    keepNow();
    window.removeEventListener("pagehide", keepNow);
    model.off("change:answered", take);
    model.off("change:saved", heard);
    if (address) URL.revokeObjectURL(address);
  };
}
export default { render };
