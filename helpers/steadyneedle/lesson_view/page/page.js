// One lesson as a page: its prose, its still pictures, and in their place, as soon as they are there, the live ones.
import { askBeforeLeaving, keepForNext } from "./carry.js";
import { cover } from "./cover.js";
import { kept, remember, work } from "./early.js";
import { makeHead } from "./head.js";
import { button, holdUnits, make, waitAtMost } from "./parts.js";
import { Place } from "./place.js";
import { Present, presents } from "./present.js";
import { Runner } from "./run.js";
import { isOurs, sayStrange } from "./strange.js";
import { watch } from "./watch.js";

const PATIENCE = 2000;  // so long the page waits for its first live pictures before it shows the still ones

export class LessonPage {
  // given: app, lab (JupyterLab's libraries), context (the document), rendermime, themes, mark.
  constructor(given) {
    Object.assign(this, given);
    this.path = this.context.path;
    this.root = make("div", { class: "sn-lesson", "data-lesson": this.mark.lesson, "data-state": "still" });
    this.words = make("div", { class: "sn-say", role: "status", hidden: true });
    this.body = make("main", { class: "sn-body" });
    this.cells = [];
    this.root.page = this;
  }

  async open() {
    const { context, lab, root } = this;
    this.renders = this.rendermime.clone({ resolver: this.resolver(), linkHandler: null });
    lab.widgets.registerWidgetManager(context, this.renders, []);
    document.body.setAttribute("data-lm-suppress-shortcuts", "true");  // JupyterLab's keys stay out of the page
    root.append(this.words, this.body);
    document.body.classList.add("sn-page");
    document.body.append(root);
    this.body.addEventListener("click", (event) => this.stay(event), true);
    const laid = [...context.model.cells].map((model) => this.lay(model));
    this.cover = cover(this.cells, { lesson: this.mark.lesson, work, session: context.sessionContext });
    if (this.mark.page) this.cover.uncoverAll();
    if (presents(this.mark)) this.present = new Present(this, work);
    const [left] = await Promise.all([waitAtMost(kept, PATIENCE, {}), ...laid]);
    root.prepend(makeHead(this, left));
    this.place = new Place(this, left);
    this.runner = new Runner(this);
    watch(this);
    askBeforeLeaving(this);
    keepForNext(this);
    performance.mark("sn-still");
    this.place.find();
    const ours = this.cells.every((cell) => cell.kind !== "code" || isOurs(cell.source));
    if (ours) await waitAtMost(this.runner.start(), PATIENCE);
    else sayStrange(this);
    this.reveal();
  }

  reveal() {
    this.place.find();
    document.body.classList.remove("sn-opening");
    this.place.begin();
    performance.mark("sn-shown");
  }

  // The page loads itself: what is not saved goes over to the next one, and nobody is asked.
  load() {
    this.loadsAgain = true;
    location.reload();
  }

  // The address of a notebook as a page, whatever the server's own base address is.
  address(path) {
    const { PageConfig, URLExt } = this.lab.coreutils;
    return URLExt.join(PageConfig.getBaseUrl(), "doc/tree", URLExt.encodeParts(path));
  }

  // Links between lessons lead from page to page.
  resolver() {
    const own = this.context.urlResolver;
    const getDownloadUrl = async (path) => (path.endsWith(".ipynb") ? this.address(path) : own.getDownloadUrl(path));
    return Object.create(own, { getDownloadUrl: { value: getDownloadUrl } });
  }

  // JupyterLab would open a link to another lesson in a window of its own, or not at all; a lesson opens in this one.
  stay(event) {
    const link = event.target.closest("a[href]");
    const lessons = new URL(this.address(""), location.href).pathname;
    if (!link || link.origin !== location.origin || !link.pathname.startsWith(lessons)) return;
    if (event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    event.stopPropagation();
    const here = link.pathname === location.pathname;
    if (!here) remember(decodeURIComponent(link.hash.slice(1)));
    location.assign(here ? link.href : link.href.split("#")[0]);
  }

  async lay(model) {
    const source = model.sharedModel.getSource();
    const cell = { id: model.id, kind: model.type, source, tags: model.getMetadata("tags") || [] };
    cell.node = make("section", { class: `sn-cell sn-${cell.kind}`, "data-cell": cell.id });
    this.cells.push(cell);
    this.body.append(cell.node);
    if (cell.kind === "code") this.layStill(cell, model);
    else await this.layProse(cell);
  }

  async layProse(cell) {
    const renderer = this.renders.createRenderer("text/markdown");
    await renderer.renderModel(new this.lab.rendermime.MimeModel({ data: { "text/markdown": cell.source } }));
    this.lab.lumino.Widget.attach(renderer, cell.node);
    holdUnits(cell.node);
  }

  layStill(cell, model) {
    cell.still = make("div", { class: "sn-still" });
    cell.node.append(make("pre", { class: "sn-source" }, cell.source), cell.still);
    const outputs = new this.lab.outputarea.OutputAreaModel({ values: model.outputs.toJSON(), trusted: false });
    this.lab.lumino.Widget.attach(this.area(outputs), cell.still);
  }

  area(model) {
    return new this.lab.outputarea.SimplifiedOutputArea({ model, rendermime: this.renders });
  }

  // One sentence above the lesson, with what can be done about it; nothing takes it away.
  say(text, ...actions) {
    this.words.replaceChildren(make("p", {}, text), ...actions.map(([words, pressed]) => button(words, pressed)));
    this.words.hidden = !text;
  }
}
