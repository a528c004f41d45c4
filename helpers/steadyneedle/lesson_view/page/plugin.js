// Makes JupyterLab show a lesson as a page. Any other notebook keeps JupyterLab's own view.
import { session, wanted } from "./early.js";
import { LessonPage } from "./page.js";

const FACTORY = "Lesson";

export const plugin = (name, lab) => ({
  id: `${name}:plugin`,
  autoStart: true,
  requires: [lab.docmanager.IDocumentManager, lab.rendermime.IRenderMimeRegistry],
  optional: [lab.apputils.IThemeManager],
  activate: async (app, documents, rendermime, themes) => {
    if (!wanted) return;
    document.body.classList.add("sn-opening");
    performance.mark("sn-activated");
    app.docRegistry.addWidgetFactory(makeFactory(lab, (context) => {
      const holder = new lab.docregistry.DocumentWidget({ context, content: new lab.lumino.Widget() });
      guard(context);
      context.ready.then(() => {
        const mark = context.model.getMetadata("steadyneedle");
        if (mark && mark.lesson) {
          new LessonPage({ app, lab, context, rendermime, themes, mark }).open();
          return;
        }
        context.letGo();
        document.body.classList.remove("sn-opening");
        documents.openOrReveal(context.path, "Notebook");
        holder.close();
      });
      return holder;
    }));
    await session;  // JupyterLab looks for it only once the plug-ins are there
    performance.mark("sn-session");
  },
});

// JupyterLab's box about a lost connection stays out of a page of ours, which says itself what to do.
export const quiet = (name, lab) => ({
  id: `${name}:quiet`,
  autoStart: true,
  provides: lab.application.IConnectionLost,
  activate: () => async (...told) => { if (!document.body.classList.contains("sn-page")) await lab.application.ConnectionLost(...told); },
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
  const own = { save: context.save, createCheckpoint: context.createCheckpoint, listCheckpoints: context.listCheckpoints };
  let decided;
  const decision = new Promise((done) => { decided = done; });
  context.save = async () => {};
  context.createCheckpoint = async () => ((await decision) ? own.createCheckpoint.call(context) : null);
  // to list them makes a folder for them
  context.listCheckpoints = async () => ((await decision) ? own.listCheckpoints.call(context) : []);
  context.letGo = () => { Object.assign(context, own); decided(true); };
  context.ready.then(() => setTimeout(() => decided(false)));
}
