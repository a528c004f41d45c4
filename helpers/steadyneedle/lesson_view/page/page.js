// One lesson as a page: its prose, its still pictures, and in their place, as soon as they are there, the live ones.
import { make } from "./parts.js";
import { makeHead } from "./head.js";
import { isOurs, sayStrange } from "./strange.js";
import { Runner } from "./run.js";

export class LessonPage {
  constructor(given) {
    Object.assign(this, given);  // app, lab, context, rendermime, themes, holder, mark
    this.path = this.context.path;
    this.root = make("div", { class: "sn-lesson", "data-lesson": this.mark.lesson, "data-state": "still" });
    this.words = make("div", { class: "sn-say", role: "status", hidden: true });
    this.body = make("main", { class: "sn-body" });
    this.cells = [];
    this.root.page = this;
  }

  async open() {
    performance.mark("sn-model");
    const { context, lab } = this;
    this.renders = this.rendermime.clone({ resolver: context.urlResolver, linkHandler: { handleLink: (node, path, id) => {
      node.href = this.address(path) + (id || "");
    } } });
    this.root.append(makeHead(this), this.words, this.body);
    document.body.setAttribute("data-lm-suppress-shortcuts", "true");
    document.body.append(this.root);
    this.manager = lab.widgets.registerWidgetManager(context, this.renders, []);
    await Promise.all([...context.model.cells].map((model, n) => this.lay(model, n)));
    document.body.classList.add("sn-open");
    document.body.classList.remove("sn-opening");
    performance.mark("sn-still");
    this.holder.disposed.connect(() => this.close());
    this.runner = new Runner(this);
    const strange = this.cells.some((cell) => cell.kind === "code" && !isOurs(cell.source));
    if (strange) sayStrange(this);
    else this.runner.start();
  }

  address(path) {
    const { PageConfig, URLExt } = this.lab.coreutils;
    return URLExt.join(PageConfig.getBaseUrl(), "doc/tree", URLExt.encodeParts(path));
  }

  async lay(model, n) {
    const source = model.sharedModel.getSource();
    const cell = { id: model.id, kind: model.type, source, tags: model.getMetadata("tags") || [] };
    cell.node = make("section", { class: `sn-cell sn-${cell.kind}`, "data-cell": cell.id });
    this.cells[n] = cell;
    this.body.append(cell.node);  // laid in order: this runs before the first await
    if (cell.kind === "markdown") await this.layProse(cell);
    else if (cell.kind === "code") this.layStill(cell, model);
  }

  async layProse(cell) {
    const renderer = this.renders.createRenderer("text/markdown");
    await renderer.renderModel(new this.lab.rendermime.MimeModel({ data: { "text/markdown": cell.source } }));
    this.lab.lumino.Widget.attach(renderer, this.attached(cell.node));
  }

  layStill(cell, model) {
    cell.code = make("pre", { class: "sn-code" }, cell.source);
    cell.still = make("div", { class: "sn-still" });
    cell.live = make("div", { class: "sn-live", hidden: true });
    cell.node.append(cell.code, cell.still, cell.live);
    const outputs = new this.lab.outputarea.OutputAreaModel({ values: model.outputs.toJSON(), trusted: false });
    this.lab.lumino.Widget.attach(this.area(outputs), this.attached(cell.still));
  }

  area(model) {
    return new this.lab.outputarea.SimplifiedOutputArea({ model, rendermime: this.renders });
  }

  attached(node) {
    return node;
  }

  say(text, ...buttons) {
    this.words.replaceChildren(make("p", {}, text), ...buttons);
    this.words.hidden = !text;
  }

  close() {
    this.root.remove();
    document.body.classList.remove("sn-open");
  }
}
