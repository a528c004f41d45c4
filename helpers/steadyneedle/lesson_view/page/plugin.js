// Makes JupyterLab show a lesson as a page. Any other notebook keeps JupyterLab's own view.
import { LESSONS } from "./shipped.js";
import { LessonPage } from "./page.js";

const FACTORY = "Lesson";

export const plugin = (name, lab) => ({
  id: `${name}:plugin`,
  autoStart: true,
  requires: [lab.docmanager.IDocumentManager, lab.rendermime.IRenderMimeRegistry],
  optional: [lab.apputils.IThemeManager],
  activate: (app, documents, rendermime, themes) => {
    performance.mark("sn-activated");
    if (lab.coreutils.PageConfig.getOption("mode") !== "single-document") return;
    document.body.classList.add("sn-opening");
    startEarly(app, lab);
    app.docRegistry.addWidgetFactory(makeFactory(lab, (context) => {
      const holder = new lab.docregistry.DocumentWidget({ context, content: new lab.lumino.Widget() });
      guard(context);
      context.ready.then(() => {
        const mark = context.model.getMetadata("steadyneedle");
        if (mark && mark.lesson) {
          new LessonPage({ app, lab, context, rendermime, themes, holder, mark }).open();
          return;
        }
        context.letGo();
        document.body.classList.remove("sn-opening");
        documents.openOrReveal(context.path, "Notebook");
        holder.close();
      });
      return holder;
    }));
  },
});

function makeFactory(lab, create) {
  class Factory extends lab.docregistry.ABCWidgetFactory {
    createNewWidget(context) { return create(context); }
  }
  return new Factory({
    name: FACTORY, modelName: "notebook", fileTypes: ["notebook"], defaultFor: ["notebook"],
    preferKernel: true, canStartKernel: true,
  });
}

// Nothing is ever written into a lesson: no save, no checkpoint. Other notebooks get theirs back.
function guard(context) {
  const own = { save: context.save, createCheckpoint: context.createCheckpoint };
  let decided;
  const decision = new Promise((done) => { decided = done; });
  context.save = async () => {};
  context.createCheckpoint = async () => ((await decision) ? own.createCheckpoint.call(context) : null);
  context.letGo = () => { Object.assign(context, own); decided(true); };
  context.ready.then(() => setTimeout(() => decided(false)));
}

// A kernel takes as long to start as JupyterLab takes to build its page: let both happen at once.
function startEarly(app, lab) {
  const path = decodeURIComponent(lab.coreutils.PageConfig.getOption("treePath"));
  if (!LESSONS.some((one) => one.file === path)) return;
  lab.services.SessionAPI.startSession({ path, name: path, type: "notebook", kernel: { name: "python3" } }, app.serviceManager.serverSettings).then(() => performance.mark("sn-session"), () => {});
}
