function rounded(control, value) {
  const steps = Math.round((value - control.low) / control.step);
  const last = Math.floor((control.high - control.low) / control.step + 1e-9);
  return Number((control.low + Math.min(Math.max(steps, 0), last) * control.step).toFixed(9));
}
function written(control, value, mark) {
  return value.toFixed(control.decimals).replace(".", mark);
}
const NUMBER = /^[-+−]?(\d+\.?\d*|\.\d+)$/;
function slider(control, value, mark, changed) {
  const id = fresh("range");
  const name = control.unit ? `${control.label} (${control.unit})` : control.label;
  const range = make("input", {
    type: "range", id, min: control.low, max: control.high, step: control.step, value,
    "aria-valuetext": `${written(control, value, mark)} ${control.unit}`,
  });
  const typed = make("input", {
    type: "text", inputmode: "decimal", autocomplete: "off", value: written(control, value, mark),
    "aria-label": `${control.label}, typed, ${written(control, control.low, mark)} to ${written(control, control.high, mark)} ${control.unit}`,
  });
  const show = (now) => {
    range.value = now;
    range.setAttribute("aria-valuetext", `${written(control, now, mark)} ${control.unit}`);
    typed.value = written(control, now, mark);
    typed.removeAttribute("aria-invalid");
  };
  range.addEventListener("input", () => {
    const now = rounded(control, Number(range.value));
    show(now);
    changed(now);
  });
  typed.addEventListener("change", () => {
    const text = typed.value.trim();
    const plain = (control.unit && text.endsWith(control.unit) ? text.slice(0, -control.unit.length) : text).trim().replace(",", ".");
    if (control.unit && !NUMBER.test(plain) && /\d.*\D/.test(plain)) { changed(text); return; }  // Python reads units
    const number = NUMBER.test(plain) ? Number(plain.replace("−", "-")) : NaN;
    if (!(number >= control.low && number <= control.high)) {
      refuse();
      const other = control.unit ? ` ${control.unit}, or one with another unit` : "";
      changed(null, `${control.label}: type a number from ${written(control, control.low, mark)} to ${written(control, control.high, mark)}${other}.`);
      return;
    }
    show(rounded(control, number));
    changed(rounded(control, number));
  });
  const refuse = () => typed.setAttribute("aria-invalid", "true");
  const row = make("div", { class: "sn-control" },
    make("label", { for: id }, name), range, typed, make("span", { class: "sn-note", "aria-hidden": "true" }, control.unit));
  return { row, show, refuse };
}
function choice(control, value, mark, changed) {
  const id = fresh("choice");
  const select = make("select", { id, class: "sn-options" },
    ...control.options.map((option) => make("option", { value: option, selected: option === value }, option)));
  select.addEventListener("change", () => changed(select.value));
  const row = make("div", { class: "sn-control" }, make("label", { for: id }, control.label), make("div", { class: "sn-options" }, select));
  return { row, show: (now) => { select.value = now; } };
}
function entry(control, value, mark, changed) {
  const id = fresh("entry");
  const typed = make("input", { type: "text", id, value, autocomplete: "off", class: "sn-wide", maxlength: 400 });
  typed.addEventListener("change", () => changed(typed.value));
  const row = make("div", { class: "sn-control" }, make("label", { for: id }, control.label), typed);
  return { row, show: (now) => { typed.value = now; } };
}
const makers = { slider, choice, entry };

function render({ model, el }) {
  const spec = model.get("spec");
  const mark = spec.mark;
  const values = { ...model.get("values") };
  const main = spec.controls[0];
  const holder = make("div", { class: "sn-picture", role: "img" });
  const image = spec.table ? null : make("img", { width: spec.width, height: spec.height, alt: "" });
  const sentence = make("p", { class: "sn-sentence", "aria-live": "polite" });
  const note = make("span", { class: "sn-note", role: "status" });
  let move = null, table = null, address = null, waiting = null, told = false, asked = null;

  function paint() {
    if (spec.table) {
      const index = Math.round((values[main.name] - main.low) / main.step);
      move(table.rows[index]);
      say(table.sentences[index]);
    }
  }
  function say(text) {
    if (sentence.textContent !== text) sentence.textContent = text;
    if (image) image.alt = text;
    else holder.setAttribute("aria-label", `${spec.title}. ${text}`);
  }
  function takeTable() {
    table = model.get("table");
    move = gauge(holder, table.svg, table.motions);
    paint();
  }
  function takePicture() {
    const bytes = model.get("picture");
    if (!bytes || !bytes.byteLength) return;
    const old = address;
    address = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
    image.src = address;
    if (old) image.decode().catch(() => {}).then(() => URL.revokeObjectURL(old));
  }
  function takeAnswer() {
    clearTimeout(waiting);
    note.textContent = model.get("problem");
    if (asked) takeRead(asked);
    if (!spec.table) say(model.get("sentence"));
  }
  // What was typed with a unit of its own, as Python has read it.
  function takeRead(control) {
    const one = shown[spec.controls.indexOf(control)];
    asked = null;
    if (note.textContent) { one.refuse(); return; }
    values[control.name] = model.get("read")[control.name];
    one.show(values[control.name]);
    if (spec.table) paint();
  }
  function send(typed = {}) {
    model.set("values", { ...values, ...typed });
    model.save_changes();
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      note.textContent = "The picture is still waiting. If it stays so, load this page again.";
    }, 4000);
  }
  function changed(control, value, problem) {
    if (problem) { note.textContent = problem; return; }
    note.textContent = "";
    if (!told) model.send({ what: "moved" });  // a gauge moves without the kernel
    told = true;
    asked = control.kind === "slider" && typeof value === "string" ? control : null;
    if (asked) { send({ [control.name]: value }); return; }
    values[control.name] = value;
    if (spec.table && control === main) paint();
    else send();
  }
  const shown = spec.controls.map((control) =>
    makers[control.kind](control, values[control.name], mark, (value, problem) => { pause(); changed(control, value, problem); }));

  // Moves the main control by itself to its end, from the beginning where it stands there already.
  const running = main.plays ? make("button", { type: "button", class: "sn-first", onclick: () => (playing ? pause() : play()) }, "Let time run") : null;
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");
  let playing = 0;
  function play() {
    const end = rounded(main, main.high), whole = end - main.low;
    const from = values[main.name] >= end ? main.low : values[main.name];
    let begin = null, drawn = -Infinity;
    sentence.setAttribute("aria-live", "off");  // a reader hears where it ends, not each step
    running.textContent = "Pause";
    const step = (now) => {
      if (begin === null) begin = now;
      const there = from + whole * (now - begin) / (1000 * main.plays);
      if (there < end && (!still.matches || now - drawn >= 1000)) { drawn = now; at(rounded(main, there)); }
      if (there < end) { playing = requestAnimationFrame(step); return; }
      pause();
      at(end);
    };
    playing = requestAnimationFrame(step);
  }
  function at(value) {
    shown[0].show(value);
    changed(main, value);
  }
  function pause() {
    if (!playing) return;
    cancelAnimationFrame(playing);
    playing = 0;
    sentence.setAttribute("aria-live", "polite");
    running.textContent = "Let time run";
  }
  function back() {
    pause();
    const others = spec.controls.some((control) => control !== main && values[control.name] !== control.start);
    spec.controls.forEach((control, n) => { values[control.name] = control.start; shown[n].show(control.start); });
    note.textContent = "";
    if (spec.table) paint();
    if (others || !spec.table) send();
  }
  const controls = make("fieldset", { class: shown.length > 2 ? "sn-many" : "" }, make("legend", {}, spec.title), ...shown.map((one) => one.row));
  if (image) {
    holder.removeAttribute("role");
    holder.append(image);
  }
  const body = make("div", { class: "sn-layout" }, controls, holder, sentence,
    make("div", { class: "sn-foot" }, running, make("button", { type: "button", onclick: back }, "Back to the start (Esc)"), note));
  const root = make("div", { class: "sn sn-panel" }, body);
  ours(root);
  root.addEventListener("keydown", (event) => { if (event.key === "Escape") back(); });
  el.append(root);
  if (spec.table) takeTable(); else { takePicture(); say(model.get("sentence")); }
  model.on("change:table", takeTable);
  model.on("change:picture", takePicture);
  model.on("change:answered", takeAnswer);
  return () => {
    pause();
    model.off("change:table", takeTable);
    model.off("change:picture", takePicture);
    model.off("change:answered", takeAnswer);
    clearTimeout(waiting);
    if (address) URL.revokeObjectURL(address);
  };
}
export default { render };
