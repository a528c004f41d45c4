// What JupyterLab loads. It hands over the libraries that the page shares with JupyterLab, and the plug-in.
(() => {
  performance.mark("sn-script");
  const NAME = "steadyneedle-lesson-view";
  const NEEDED = {
    coreutils: "@jupyterlab/coreutils", docregistry: "@jupyterlab/docregistry", outputarea: "@jupyterlab/outputarea",
    rendermime: "@jupyterlab/rendermime", apputils: "@jupyterlab/apputils", application: "@jupyterlab/application",
    docmanager: "@jupyterlab/docmanager", services: "@jupyterlab/services", lumino: "@lumino/widgets",
    widgets: "@jupyter-widgets/jupyterlab-manager",
  };
  const here = document.currentScript.src;
  for (const name of ["view.css", "cover.css"]) {
    const style = document.createElement("link");
    style.rel = "stylesheet";
    style.href = new URL(name, here).href;
    document.head.append(style);
  }
  const ours = import(new URL("plugin.js", here).href);
  let scope;

  // The version that JupyterLab itself uses: the one already loaded, else the newest.
  async function shared(name) {
    const versions = Object.entries(scope[name]).sort(([one], [other]) => one.localeCompare(other, undefined, { numeric: true }));
    const [, entry] = versions.find(([, one]) => one.loaded) || versions[versions.length - 1];
    return (await entry.get())();
  }
  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB[NAME] = {
    init: (share) => { scope = share; },
    get: async () => {
      const names = Object.keys(NEEDED);
      const loaded = await Promise.all(names.map((name) => shared(NEEDED[name])));
      const lab = Object.fromEntries(names.map((name, n) => [name, loaded[n]]));
      const { plugin, quiet } = await ours;
      return () => ({ __esModule: true, default: [plugin(NAME, lab), quiet(NAME, lab)] });
    },
  };
})();
