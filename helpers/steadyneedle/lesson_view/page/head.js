// The slim head of a page: which lesson, the ones beside it, one's progress, the code, text size, light or dark.
import { button, make } from "./parts.js";
import { PAGES } from "./shipped.js";

const SIZES = ["Small text", "Medium text", "Large text"];

export function makeHead(page, left) {
  const kind = PAGES.filter((one) => one.page === page.mark.page);
  const here = kind.findIndex((one) => one.lesson === page.mark.lesson);
  const title = kind[here]?.title || page.path;
  keepTitle(title);
  const beside = (n, rel, before, after) => {
    const one = here < 0 ? undefined : kind[n];
    if (!one) return null;
    const [, number, rest] = one.title.match(/^(\S*)\s*(.*)$/);
    return make("a", { href: page.address(one.file), rel, title: one.title }, `${before}${number}`, make("span", { class: "sn-long" }, ` ${rest}`), after);
  };
  return make("header", { class: "sn-head" },
    make("strong", { class: "sn-title" }, title),
    make("nav", { "aria-label": "Lessons" }, beside(here - 1, "prev", "← ", ""), beside(here + 1, "next", "", " →")),
    make("div", { class: "sn-tools" }, ...(page.present
      ? [uncoverAll(page), page.present.notes(), ground(page, left.ground)]
      : [...(page.mark.page === "paper" ? [] : [button("My progress", () => showProgress(page)), showCode(page)]), textSize(page, left.text), ground(page, left.ground)]).filter(Boolean)));
}

function uncoverAll(page) {
  let on = false;
  const made = button("Uncover all", () => {
    on = !on;
    page.place.holdTo(page.place.current().node);
    page.cover.uncoverAll(on);
    made.textContent = on ? "Cover again" : "Uncover all";
  });
  return made;
}

// JupyterLab writes its own name there, now and then.
function keepTitle(title) {
  const keep = () => { if (document.title !== title) document.title = title; };
  new MutationObserver(keep).observe(document.head, { childList: true, subtree: true, characterData: true });
  keep();
}

// Whoever has a better answer than the lesson's own table listens to `steadyneedle:progress` and prevents the default.
function showProgress(page) {
  const asked = new CustomEvent("steadyneedle:progress", { cancelable: true, bubbles: true });
  if (!page.root.dispatchEvent(asked)) return;
  const table = page.cells.findIndex((cell) => cell.source.includes(".where_am_i("));
  if (table < 0) return;
  const heading = page.cells[table - 1];
  (heading && heading.kind === "markdown" ? heading : page.cells[table]).node.scrollIntoView();
}

function showCode(page) {
  const made = button("Show the code", () => {
    const on = page.root.toggleAttribute("data-code");
    made.setAttribute("aria-pressed", String(on));
  }, { "aria-pressed": "false" });
  return made;
}

function textSize(page, kept) {
  const buttons = SIZES.map((name, n) => button("A", () => choose(n + 1, true), { "aria-label": name, title: name, class: `sn-size-${n + 1}` }));
  function choose(size, changed) {
    page.root.dataset.text = size;
    buttons.forEach((one, n) => one.setAttribute("aria-pressed", String(n + 1 === size)));
    if (changed) page.place.keep({ text: size });
  }
  choose([1, 2, 3].includes(kept) ? kept : 1);
  return make("span", { class: "sn-sizes", role: "group", "aria-label": "Text size" }, ...buttons);
}

function ground(page, kept) {
  const made = button("", () => choose(page.root.dataset.ground === "dark" ? "light" : "dark", true));
  function choose(which, changed) {
    page.root.dataset.ground = document.documentElement.dataset.snGround = which;
    made.textContent = which === "dark" ? "Light" : "Dark";
    const theme = which === "dark" ? "JupyterLab Dark" : "JupyterLab Light";
    if (page.themes && page.themes.theme !== theme) page.themes.setTheme(theme);
    if (changed) page.place.keep({ ground: which });
  }
  choose(kept === "dark" ? "dark" : "light");
  return made;
}
