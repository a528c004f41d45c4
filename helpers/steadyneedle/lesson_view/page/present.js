// The page on a wall: a remote's page keys lead on, one key brings a panel back to its start, hands are counted.
import { button, make } from "./parts.js";
import { PAGES, PRESENT } from "./shipped.js";
import { ends, stops } from "./stops.js";

const NOTES = "steadyneedle-notes";
const LEEWAY = 4;  // px
const QUICK = 400;  // milliseconds between two presses that mean the next section

export class Present {
  // given: the page, and what the learner's file holds (a promise)
  constructor(page, work) {
    this.page = page;
    this.counts = {};  // by prediction, by option
    this.forms = new Map();
    this.changed = new Set();
    page.root.toggleAttribute("data-present", true);
    document.documentElement.toggleAttribute("data-sn-present", true);
    window.addEventListener("keydown", (event) => this.key(event), true);
    document.addEventListener("steadyneedle:prediction", ({ detail }) => this.count(detail));
    // A lesson that is run again has a new companion, and what the old one was given may be lost.
    page.root.addEventListener("steadyneedle:companion", ({ detail }) => {
      this.companion = detail;
      this.changed.forEach((name) => this.keep(name));
    });
    work.then((content) => {
      const kept = content?.lessons?.[page.mark.lesson]?.hands || {};
      for (const [name, counts] of Object.entries(kept)) this.counts[name] ||= { ...counts };
      this.forms.forEach((detail) => this.count(detail));
    });
  }

  // The instructor's notes have a window of their own; the projected page never shows them.
  notes() {
    const notes = PAGES.find((one) => one.lesson === this.page.mark.lesson && one.page === "instructor");
    if (!notes) return null;
    return button("Notes", () => window.open(this.page.address(notes.file), NOTES, "popup,width=1100,height=800"), { title: "Opens your notes in a second window" });
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === "PageDown" || event.key === "PageUp") {
      event.preventDefault();
      event.stopImmediatePropagation();
      const direction = event.key === "PageDown" ? 1 : -1;
      const quick = direction === this.led && event.timeStamp - this.pressed < QUICK;
      Object.assign(this, { led: direction, pressed: event.timeStamp });
      this.step(direction, quick);
    } else if (event.key === "Escape" && event.isTrusted && !document.activeElement?.closest(".sn-panel")) {
      this.seen()?.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
    }
  }

  // To the next stop, or to the one before. A second press at once, or a key held down, passes over what is left of a
  // section.
  step(direction, quick = false) {
    const ahead = (all) => all.map((at) => (at - window.scrollY) * direction).filter((by) => by > LEEWAY);
    const next = ahead(quick ? ends(this.page) : stops(this.page));
    if (next.length) window.scrollBy({ top: direction * Math.min(...next), behavior: "instant" });
  }

  // The panel that takes most of the screen.
  seen() {
    const shown = ({ top, bottom }) => Math.min(bottom, window.innerHeight) - Math.max(top, this.page.place.line());
    const panels = [...this.page.root.querySelectorAll(".sn-panel, .sn-bench")].filter((one) => one.checkVisibility());
    const [[much, panel] = []] = panels.map((one) => [shown(one.getBoundingClientRect()), one]).sort(([one], [other]) => other - one);
    return much > 0 ? panel : null;
  }

  // A count beside each option of a prediction; once it is open, beside its result.
  count(detail) {
    if (detail.lesson !== this.page.mark.lesson || !detail.form) return;
    this.forms.set(detail.name, detail);
    const name = detail.asked || detail.name, over = detail.open || detail.answered;  // each of a series on its own
    const counts = this.counts[name] ||= {};
    const first = detail.form.querySelector("fieldset, select");  // of what is asked, not of how sure one is
    const rows = first?.matches("fieldset") ? [...first.querySelectorAll(".sn-one")] : [];
    detail.form.querySelectorAll(".sn-hands").forEach((one) => one.remove());
    rows.forEach((row) => {
      const key = row.querySelector("input").value, words = row.querySelector("label").textContent;
      const shown = make("output", { class: "sn-hands-count" });
      const show = () => {
        const most = Math.max(1, ...Object.values(counts));
        shown.textContent = String(counts[key] || 0);
        shown.style.setProperty("--sn-share", (counts[key] || 0) / most);
      };
      const add = (by) => {
        counts[key] = Math.min(999, Math.max(0, (counts[key] || 0) + by));
        this.keep(name);
        const held = document.activeElement?.getAttribute("aria-label");
        this.count(detail);
        if (held) [...first.querySelectorAll(".sn-hand")].find((hand) => hand.getAttribute("aria-label") === held)?.focus();
      };
      const one = (sign, by, what) => button(sign, () => add(by), { "aria-label": `${what}: ${words}`, class: "sn-hand" });
      show();
      row.append(make("span", { class: "sn-hands" }, ...(over ? [] : [one("−", -1, "One hand less")]), shown, ...(over ? [] : [one("+", 1, "One hand more")])));
    });
  }

  keep(name) {
    this.changed.add(name);
    this.companion?.keep({ hands: { [name]: this.counts[name] } });
  }
}

export const presents = (mark) => PRESENT && !mark.page;
