// A form: words, fields, buttons, feedback. What it shows comes from the kernel; what is typed goes there.
const FINE = ["", "Saving…", "Saved"];
const LINE = 200;  // characters of a line
const CUT = 24;  // characters of a choice that a narrow page still shows whole in its list
const LOST = "Your last press was not carried out. Press again.";
const PAUSE = 1500;  // milliseconds without a key, after which a form with `leaving` says how the answer reads

function render({ model, el }) {
  const root = make("div", { class: "sn sn-form" });
  ours(root);
  el.append(root);
  const saved = make("span", { class: "sn-note", role: "status" });
  const picture = make("img", { alt: "" });
  const seen = make("div", { class: "sn-picture", hidden: true }, picture);
  const first = model.get("saved").number;
  let sequence = first, answered = sequence, shape = "", fields = {}, sets = {}, rooms = [], wholes = [], live = {}, address = null, pause = 0, silent = false, lost = "", pressed = null, stood = {};

  // Says to whoever covers cells whether those after this form are open. Said to the page as a whole: a form is drawn
  // before it stands in the lesson.
  function tellCover(cover) {
    if (cover) document.dispatchEvent(new CustomEvent("steadyneedle:prediction", { detail: { ...cover, form: root } }));
  }

  // What is not saved is said in a voice that nobody overlooks.
  function say(words) {
    saved.textContent = lost || words;
    saved.classList.toggle("sn-lost", Boolean(lost) || !FINE.includes(words));
  }
  function tell(message) {
    sequence += 1;
    if (message.what === "act" && message.button !== model.get("view").leaving) {
      lost = "";
      const mild = model.get("view").buttons.some((one) => one.name === message.button && one.mild);
      pressed = mild ? null : { number: sequence, standing: standing() };
    }
    if (!silent && message.what === "typed") say("Saving…");
    else if (!silent && message.button !== model.get("view").leaving) say("");
    const number = sequence;
    model.send({ ...message, number });
    setTimeout(() => {
      if (answered < number) {  // it answers in order: then nothing behind it was heard either
        silent = true;
        say(model.get("unheard"));
        // nobody waits for a kernel to read on
        if (message.what === "act") tellCover(model.get("view").cover && { ...model.get("view").cover, open: true });
      }
    }, 4000);
  }
  function typed() {
    grey();
    rooms.forEach((one) => one.measure());
    wholes.forEach((one) => one());
    tell({ what: "typed", answers: answers() });
    clearTimeout(pause);
    if (model.get("view").leaving) pause = setTimeout(left, PAUSE);
  }
  function left() {
    clearTimeout(pause);
    const { leaving } = model.get("view");
    if (leaving) tell({ what: "act", button: leaving, answers: answers() });
  }
  function chosen() {
    typed();
    left();
  }
  // What a press that is carried out changes, and a kernel that comes in another's place still knows.
  function standing() {
    const { title, stands, question, fields: asked, buttons, message, hints, solution, tables, version } = model.get("view");
    const all = [question, asked.map((one) => ({ ...one, value: 0 })), buttons, message.word, message.lines, hints, solution, tables, version];
    return JSON.stringify([title, stands || all]);
  }
  function answers() {
    const all = {};
    for (const [name, read] of Object.entries(fields)) all[name] = read();
    return all;
  }
  function field(spec) {
    if (spec.kind === "text" || spec.kind === "area") {
      const id = fresh("answer"), area = spec.kind === "area", enter = model.get("view").enter;
      const input = area
        ? make("textarea", { id, rows: spec.lines, "data-field": spec.name }, spec.value)
        : make("input", { type: "text", id, value: spec.value, "data-field": spec.name, autocomplete: "off", spellcheck: "false" });
      const room = makeRoom(input, spec.longest || LINE);
      rooms.push(room);
      input.addEventListener("input", () => typed());
      input.addEventListener("change", left);
      if (!area && enter) input.addEventListener("keydown", (event) => {
        if (event.key === "Enter") tell({ what: "act", button: enter, answers: answers() });
      });
      fields[spec.name] = () => input.value;
      return make("div", { class: area ? "sn-lines" : spec.short ? "sn-answer sn-short" : "sn-answer" }, make("label", { for: id }, spec.label), input, ...room.beside);
    }
    if (spec.kind === "many") return many(spec);
    if (spec.kind === "joined") return joined(spec);
    if (spec.layout === "list") {
      const id = fresh("answer");
      const select = make("select", { id, "data-field": spec.name, disabled: spec.fixed }, make("option", { value: "" }, "choose"),
        ...spec.options.map(([key, words]) => make("option", { value: key, selected: key === spec.value }, words)));
      const whole = make("p", { class: "sn-note sn-whole", "aria-hidden": "true" });
      wholes.push(() => { whole.textContent = select.value && select.selectedOptions[0]?.text.length > CUT ? select.selectedOptions[0].text : ""; });
      wholes.at(-1)();
      select.addEventListener("change", () => chosen());
      fields[spec.name] = () => select.value;
      return make("div", { class: "sn-answer" }, make("label", { for: id }, spec.label), select, whole);
    }
    const group = fresh("one");
    const rows = spec.options.map(([key, words]) => {
      const id = fresh("option");
      const radio = make("input", { type: "radio", id, name: group, value: key, "data-field": spec.name, checked: key === spec.value, disabled: spec.fixed });
      radio.addEventListener("change", () => chosen());
      return make("div", { class: "sn-one" }, radio, make("label", { for: id }, words));
    });
    const box = make("fieldset", {}, make("legend", {}, spec.label), make("div", { class: `sn-${spec.layout}` }, ...rows));
    fields[spec.name] = () => { const on = box.querySelector("input:checked"); return on ? on.value : ""; };
    return box;
  }
  // Several boxes to tick, or several choices: one field, whose value is one text.
  function many(spec) {
    const on = spec.value.split(spec.between);
    const boxes = spec.options.map(([key]) => make("input", { type: "checkbox", id: fresh("option"), value: key, "data-field": spec.name, checked: on.includes(key) }));
    boxes.forEach((one) => one.addEventListener("change", () => chosen()));
    fields[spec.name] = () => boxes.filter((one) => one.checked).map((one) => one.value).join(spec.between);
    sets[spec.name] = (value) => boxes.forEach((one) => { one.checked = value.split(spec.between).includes(one.value); });
    const rows = spec.options.map(([, words], n) => make("div", { class: "sn-one" }, boxes[n], make("label", { for: boxes[n].id }, words)));
    return make("fieldset", {}, make("legend", {}, spec.label), make("div", { class: "sn-rows" }, ...rows));
  }
  function joined(spec) {
    const values = spec.value.split(spec.between);
    const made = spec.parts.map((part, n) => field({ ...part, kind: "one", value: values[n] || "" }));
    const reads = spec.parts.map(({ name }) => fields[name]);
    spec.parts.forEach(({ name }) => { delete fields[name]; });
    fields[spec.name] = () => {
      const now = reads.map((read) => read());
      return now.some((one) => one) ? now.map((one) => one || spec.open).join(spec.between) : "";
    };
    sets[spec.name] = (value) => value.split(spec.between).forEach((one, n) => {
      made[n]?.querySelectorAll("[data-field]").forEach((part) => {
        if (part.type === "radio") part.checked = part.value === one;
        else part.value = one === spec.open ? "" : one;
      });
    });
    return make("fieldset", {}, make("legend", {}, spec.label), ...made);
  }
  function list(title, lines, kind) {
    if (!lines.length) return null;
    return make("div", {}, make("p", {}, make("strong", {}, title)), make(kind, {}, ...lines.map((line) => make("li", {}, unbroken(line)))));
  }
  function table(spec) {
    const row = (kind, cells) => make("tr", {}, ...cells.map((cell) => make(kind, kind === "th" ? { scope: "col" } : {}, cell)));
    return make("div", { class: "sn-table" }, make("table", {}, make("caption", {}, spec.caption),
      make("thead", {}, row("th", spec.head)), make("tbody", {}, ...spec.rows.map((cells) => row("td", cells)))));
  }
  function draw() {
    const view = model.get("view");
    const now = JSON.stringify([view.title, view.question, view.fields.map((f) => ({ ...f, value: view.leaving || f.kind !== "one" || f.value === undefined ? 0 : f.value })), view.tables, view.version]);
    if (now !== shape) {
      const { part, field: of } = root.contains(document.activeElement) ? document.activeElement.dataset : {};
      const held = root.contains(document.activeElement) ? part || "field" : null;
      shape = now;
      fields = {};
      sets = {};
      rooms = [];
      wholes = [];
      live = {
        note: make("p", { class: "sn-note" }),
        feedback: make("div", { class: "sn-feedback", "aria-live": "polite" }),
        hints: make("div", { "aria-live": "polite" }),
        solution: make("div", { "aria-live": "polite" }),
        buttons: make("div", { class: "sn-buttons" }),
      };
      const words = view.question.map((line) => make("p", {}, unbroken(line))), tables = view.tables.map(table);
      const asked = [...view.fields.map(field), live.buttons, live.note, saved, live.feedback];
      root.replaceChildren(
        make("h4", {}, view.title),
        ...(view.beside ? [make("div", { class: "sn-beside" }, make("div", {}, ...words, ...tables, seen), make("div", {}, ...asked))] : [...words, seen, ...asked, ...tables]),
        live.hints, live.solution);
      stood = answers();
      if (view.anchor && root.id !== view.anchor) {
        root.id = view.anchor;
        arrive(root);
      }
      live.pressed = held;
      live.of = of;
    }
    refresh(view);
    tellCover(view.cover);
  }
  function takePicture() {
    const bytes = model.get("picture");
    seen.hidden = !bytes || !bytes.byteLength;
    if (seen.hidden) return;
    const old = address;
    address = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
    picture.src = address;
    if (old) picture.decode().catch(() => {}).then(() => URL.revokeObjectURL(old));
  }
  // What was said of another answer than the one that stands here is greyed, from the first key on.
  function grey() {
    const { about } = model.get("view").message, now = answers();
    const stale = about.some(([name, value]) => name in now && now[name] !== value);
    live.feedback.classList.toggle("sn-stale", stale);
    live.feedback.querySelectorAll(".sn-stale-word").forEach((one) => { one.hidden = !stale; });
  }
  // A button that is off keeps its place and the keyboard; pressing it does nothing.
  function press(name) {
    if (!model.get("view").buttons.find((one) => one.name === name)?.off) tell({ what: "act", button: name, answers: answers() });
  }
  function refresh(view) {
    const old = [...live.buttons.children].map((b) => b.dataset.part).join();
    if (old !== view.buttons.map((b) => b.name).join()) {
      const held = live.buttons.contains(document.activeElement) ? document.activeElement.dataset.part : live.pressed;
      live.buttons.replaceChildren(...view.buttons.map((button) => make("button", {
        type: "button", class: [button.name === view.enter && "sn-first", button.apart && "sn-apart"].filter(Boolean).join(" "),
        "data-part": button.name, onclick: () => press(button.name),
      }, button.label)));
      if (held) {  // the keyboard stays in the form, whatever was redrawn
        const again = [...live.buttons.children].find((b) => b.dataset.part === held);
        const same = [...root.querySelectorAll(`[data-field="${live.of}"]:not(:disabled)`)];
        const field = same.find((one) => one.checked) || same[0] || root.querySelector("input:not(:disabled)"), next = view.focus && root.querySelector(`[data-field="${view.focus}"]:not(:disabled)`);
        (again || next || (held === "field" && field) || live.buttons.firstElementChild || root).focus({ preventScroll: Boolean(next) });
        const { top } = root.getBoundingClientRect();
        if (next && !again && (top < 0 || top > innerHeight / 2)) root.scrollIntoView();
      }
    }
    live.pressed = null;
    [...live.buttons.children].forEach((made, n) => {
      made.textContent = view.buttons[n].label;
      made.setAttribute("aria-disabled", String(view.buttons[n].off));
    });
    picture.alt = view.picture;
    live.note.textContent = unbroken(view.note);
    live.feedback.replaceChildren(...(view.message.word ? [
      make("p", { class: "sn-stale-word", hidden: true }, "This was said of another answer."),
      make("p", {}, make("strong", {}, unbroken(view.message.word))),
      ...view.message.lines.map((line) => make("p", {}, unbroken(line)))] : []));
    grey();
    live.hints.replaceChildren(...[list("Hints", view.hints, "ol")].filter(Boolean));
    live.solution.replaceChildren(...[list(view.solution_title, view.solution, "ol")].filter(Boolean));
  }
  // What a kernel that is gone has not saved, a press that it has not answered, and where the keyboard is, go over to the
  // form that is drawn in this one's place; the lesson view asks for them and gives them on.
  const about = () => JSON.stringify([model.get("view").title, model.get("view").question]);
  root.leave = () => {
    const { dataset, value, selectionStart, selectionEnd } = root.contains(document.activeElement) ? document.activeElement : { dataset: {} };
    const press = pressed && answered < pressed.number ? pressed.standing : lost && standing();
    return { about: about(), unsaved: answered < sequence || press || root.unsaved() ? answers() : null, press, stood, ...dataset, value, selectionStart, selectionEnd };
  };
  root.unsaved = () => Object.keys(fields).length > 0 && (answered < sequence || (sequence > first && !lost && saved.classList.contains("sn-lost")));
  root.take = (left) => {
    // a field that was empty before and is empty again has nothing to give: another window may have filled it meanwhile
    const before = answers(), news = Object.entries(left.unsaved || {}).filter(([name, value]) => value !== before[name] && (value || left.stood?.[name]));
    const every = [...root.querySelectorAll("[data-field]:not(:disabled)")];
    const named = (name, value) => every.filter((one) => one.dataset.field === name && (!["radio", "checkbox"].includes(one.type) || one.value === value));
    if (left.about === about()) {
      news.forEach(([name, value]) => (sets[name] ? sets[name](value) : named(name, value).forEach((one) => {
        if (one.type === "radio") one.checked = true;
        else one.value = value;
      })));
      if (news.length) typed();
    } else if (news.some(([, value]) => value)) {
      say("What was typed last was not kept: the question is another one now.");
    }
    if (left.press && left.press === standing()) {
      lost = LOST;
      say("");
    }
    const field = named(left.field, left.value)[0] || [...live.buttons.children].find((one) => left.part && one.dataset.part === left.part);
    field?.focus({ preventScroll: true });
    if (["text", "textarea"].includes(field?.type)) field.setSelectionRange(left.selectionStart, left.selectionEnd);
  };
  function heard() {
    const answer = model.get("saved");
    answered = Math.max(answered, answer.number);
    if (answer.number === sequence) {
      say(answer.words);
      if (!saved.classList.contains("sn-lost")) stood = answers();
    }
    else if (silent) say("Saving…");
    silent = false;
  }
  root.addEventListener("input", () => { lost = ""; }, true);
  draw();
  takePicture();
  heard();
  const changes = { view: draw, picture: takePicture, saved: heard };
  for (const [name, taken] of Object.entries(changes)) model.on(`change:${name}`, taken);
  return () => {
    clearTimeout(pause);
    for (const [name, taken] of Object.entries(changes)) model.off(`change:${name}`, taken);
    if (address) URL.revokeObjectURL(address);
  };
}
export default { render };
