// A bench through time. The kernel computes what will be; the page plays it, and goes on while the kernel is busy.
const SPEEDS = [1, 5, 20];
const STILL = 0.02;  // bar; a needle that has moved by less stands, to the eye

function between(times, values, now, hint) {
  let k = hint;
  while (k > 0 && times[k] > now) k -= 1;
  while (k < times.length - 2 && times[k + 1] <= now) k += 1;
  if (times.length < 2) return [values[0], 0];
  const span = times[k + 1] - times[k];
  const part = span > 0 ? Math.min(Math.max((now - times[k]) / span, 0), 1) : 1;
  return [values[k] + (values[k + 1] - values[k]) * part, k];
}

function render({ model, el }) {
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");
  let clock = 0, playing = false, speed = 1, sent = 0, waiting = null;
  let last = null, hint = 0, rest = 0, told = "", noticed = "";
  let run = null, times = null, ip = null, supply = null, scene = null, move = null;

  const holder = make("div", { class: "sn-picture", role: "img" });
  const notice = make("p", { class: "sn-sentence sn-notice", role: "status" });
  const note = make("span", { class: "sn-note", role: "status" });
  const playButton = make("button", { type: "button", class: "sn-first", onclick: () => play(!playing) }, "Play");
  const speedSelect = labelled("Speed", SPEEDS.map((one) => [String(one), `${one} ×`]), "1", (value) => { speed = Number(value); });
  const buttons = {};
  const keys = {};  // single keys, shown on their buttons; they act while the bench has the focus
  const keyed = (words, key, pressed) => {
    const made = make("button", { type: "button", onclick: pressed, "aria-keyshortcuts": key });
    made.show = (now) => { made.textContent = `${now} (${key})`; };
    made.show(words);
    keys[key.toLowerCase()] = made;
    return made;
  };
  const actions = [
    ["valve", "Open the valve", "V", () => (run.valve ? 0 : 1)], ["purge", "Purge 1 s", "P", () => 1], ["breathe", "Breathe 12 s", "B", () => 12],
    ["bleed", "Bleed supply", "S", () => (run.bleeding ? 0 : 1)], ["tap", "Tap gauge", "T", () => 0],
  ].map(([what, words, key, value]) => {
    buttons[what] = keyed(words, key, () => act(what, value()));
    return buttons[what];
  });
  const BETWEEN = 4;  // seconds from one purge of five to the next
  let purges = [];
  actions.splice(2, 0, keyed("Purge five times", "F", () => {
    purges = [1, 2, 3, 4].map((n) => clock + n * BETWEEN);
    act("purge", 1);
  }));
  let reads = false;
  const readButton = keyed("Show the reading", "R", () => {
    reads = !reads;
    readButton.show(reads ? "Hide the reading" : "Show the reading");
    paint();
  });
  const supplyChoice = labelled("Supply (bar)", model.get("supplies").map((one) => [String(one), String(one)]), "200", (value) => act("supply", Number(value)));

  const depthChoice = labelled("Depth (m)", model.get("depths").map((one) => [String(one), String(one)]), "0", (value) => act("depth", Number(value)));

  function labelled(name, options, value, changed) {
    const id = fresh("choice");
    const select = make("select", { id }, ...options.map(([key, words]) => make("option", { value: key, selected: key === value }, words)));
    select.addEventListener("change", () => changed(select.value));
    return { row: make("span", { class: "sn-pair" }, make("label", { for: id }, name), select), select };
  }
  function send(message) {
    sent += 1;
    model.send({ number: sent, time: clock, ...message });
    clearTimeout(waiting);
    waiting = setTimeout(() => { note.textContent = "The kernel is busy: what you did waits for it. The needle goes on as it would without."; }, 1500);
  }
  function act(what, value) {
    send({ kind: "do", what, value });
    if (!playing) play(true);
  }
  function ask(values) { send({ kind: "new", values }); }

  const pick = {
    design: labelled("Regulator", [], "", (value) => ask({ design: value })),
    fault: labelled("Fault", [], "", (value) => ask({ fault: value })),
    other: labelled("and", [], "", (value) => ask({ other: value })),
    severity: labelled("Severity", [], "", (value) => ask({ severity: value })),
    range: labelled("Trace", [], "", (value) => ask({ range: value })),
  };
  const tellButton = make("button", { type: "button", onclick: () => ask({ told: !run.told }) }, "");
  function begin() {
    purges = [];
    reads = false;
    readButton.show("Show the reading");
    speed = 1;
    speedSelect.select.value = "1";
    ask({ again: true });
  }
  const again = make("button", { type: "button", onclick: begin }, "Start again (Esc)");
  const another = make("button", { type: "button", onclick: () => { ask({ another: true }); } }, "Another surprise");
  const wrong = make("span", { class: "sn-note" });

  function fill(one, options, value) {
    const words = options.map(([, name]) => name).join("\n");
    if (one.filled !== words) {
      one.select.replaceChildren(...options.map(([key, name]) => make("option", { value: key }, name)));
      one.filled = words;
    }
    one.select.value = value;
  }
  function numbers(name) {
    const bytes = model.get(name);
    return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
  }
  function point(second, bar) {
    const scale = scene.scales.trace;
    return `${(scale.x_at_zero + scale.per_second * second).toFixed(2)},${(scale.y_at_zero + scale.per_bar * bar).toFixed(2)}`;
  }
  function take() {
    run = model.get("run");
    times = numbers("times");
    ip = numbers("ip");
    supply = numbers("supply");
    if (scene !== model.get("scene")) {
      scene = model.get("scene");
      move = gauge(holder, scene.svg, scene.motions);
    }
    const line = Array.from(times, (second, k) => point(second, ip[k])).join(" ");
    holder.querySelector('[data-part="trace"] polyline').setAttribute("points", line);
    for (const name of Object.keys(pick)) fill(pick[name], run.options[name], run.chosen[name]);
    supplyChoice.select.value = String(run.supply);
    depthChoice.select.value = String(run.depth);
    buttons.valve.show(run.valve ? "Shut the valve" : "Open the valve");
    buttons.bleed.show(run.bleeding ? "Shut bleed" : "Bleed supply");
    tellButton.textContent = run.told ? "Hide what is wrong" : "Show what is wrong";
    another.hidden = !run.surprising;
    for (const name of ["fault", "other", "severity"]) pick[name].row.hidden = !run.told;
    wrong.textContent = run.wrong;
    if (run.answers === sent || run.answers === 0) {
      clearTimeout(waiting);
      note.textContent = run.problem;
      clock = run.time;
      if (run.fresh) play(false);
    }
    hint = 0;
    paint();
    tell(!playing);
  }
  function degrees(scale, bar) { return scale.at_zero + scale.per_bar * bar; }
  // Readings now, in bar.
  function read() {
    let now, high;
    [now, hint] = between(times, ip, clock, hint);
    [high] = between(times, supply, clock, hint);
    return { ip: now, supply: high };
  }
  function paint() {
    const now = read();
    const seconds = Math.floor(clock + 1e-6);
    move({
      ip: degrees(scene.scales.ip, now.ip), supply: degrees(scene.scales.supply, now.supply),
      trace: -clock * scene.scales.trace.per_second,
      clock: `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`, valves: run.valves,
      reading: reads ? `${now.ip.toFixed(2).replace(".", run.mark)} bar` : "",
    });
    let words = "";
    for (const [from, sentence] of run.noticed) if (from <= clock) words = sentence;
    if (words !== noticed) { noticed = words; notice.textContent = words; }
    return now.ip;
  }
  // The alternative text speaks when the needle rests: at a pause, or when it has stood still for two seconds.
  function tell(resting) {
    const now = read();
    const tenths = Math.round(now.ip * 10) / 10 + 0;  // + 0: a needle a hair below zero shows 0.0, not -0.0
    const numbers = {
      seconds: Math.floor(clock), ip: tenths.toFixed(1).replace(".", run.mark), supply: Math.round(now.supply), valves: run.valves,
    };
    const text = run.sentence.replace(/{(\w+)}/g, (_, name) => numbers[name]);
    if (resting && text !== told) { told = text; holder.setAttribute("aria-label", text); }
  }
  let stood = 0, stoodAt = NaN;
  function frame(time) {
    if (!playing) return;
    const passed = last === null ? 0 : Math.min((time - last) / 1000, 0.25);
    const step = still.matches ? 1 : 0;
    rest += passed;
    last = time;
    if (!step || rest >= 1) {
      clock = Math.min(clock + (step ? rest : passed) * speed, times[times.length - 1]);
      rest = 0;
      if (purges.length && clock >= purges[0]) {
        purges.shift();
        send({ kind: "do", what: "purge", value: 1 });
      }
      const bar = paint();
      if (Math.abs(bar - stoodAt) > STILL) { stoodAt = bar; stood = time; }
      else if (time - stood > 2000) { tell(true); stood = time; }
    }
    const left = times[times.length - 1] - clock;
    if (left <= 0 && run.ended) { play(false); return; }
    if (left < 20 + 8 * speed && !run.ended && !asked) { asked = true; model.send({ kind: "more", number: sent, time: clock }); }
    requestAnimationFrame(frame);
  }
  let asked = false;
  function play(on) {
    if (on && run.ended && clock >= times[times.length - 1]) on = false;
    playButton.textContent = on ? "Pause" : "Play";
    if (on === playing) return;
    playing = on;
    last = null;
    if (on) requestAnimationFrame(frame);
    else tell(true);
  }
  const group = (name, ...controls) => make("div", { class: "sn-row sn-group", role: "group", "aria-label": name }, make("strong", { "aria-hidden": "true" }, name), ...controls);
  const regulator = group("On the bench", pick.design.row, pick.fault.row, pick.other.row, pick.severity.row, tellButton, another);
  // On a wall, what is chosen before a class stands below, so that picture and hands fit the screen.
  const below = document.documentElement.hasAttribute("data-sn-present") ? regulator : null;
  const root = make("div", { class: "sn sn-panel sn-bench" }, make("div", { class: "sn-layout" },
    make("fieldset", {}, make("legend", {}, model.get("title")), below ? null : regulator,
      group("Hands", supplyChoice.row, depthChoice.row, ...actions),
      group("Look", playButton, speedSelect.row, pick.range.row, readButton, again)),
    holder, notice, make("div", { class: "sn-foot" }, below, wrong, note)));
  ours(root);
  root.tabIndex = -1;  // a click on the picture gives the bench the focus
  root.addEventListener("keydown", (event) => {
    if (event.target.tagName === "SELECT" || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === "Escape") begin();
    else if (!event.repeat) keys[event.key.toLowerCase()]?.click();
  });
  el.append(root);
  function arrived() { asked = false; take(); }
  take();
  model.on("change:run", arrived);
  return () => { playing = false; model.off("change:run", arrived); clearTimeout(waiting); };
}
export default { render };
