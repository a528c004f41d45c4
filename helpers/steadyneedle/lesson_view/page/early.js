// What can begin before JupyterLab has built its page: a kernel takes as long to start as JupyterLab does, and the
// learner's file says where the lesson was left. Should either fail, the page does without.
import { PAGES } from "./shipped.js";

const options = JSON.parse(document.getElementById("jupyter-config-data")?.textContent || "{}");

export function ask(path, init = {}) {
  const cross = document.cookie.match(/\b_xsrf=([^;]*)/);
  const headers = { "Content-Type": "application/json" };
  if (options.token) headers.Authorization = `token ${options.token}`;
  if (cross) headers["X-XSRFToken"] = decodeURIComponent(cross[1]);
  return fetch(new URL(`${options.baseUrl}api/${path}`, location.href), { cache: "no-store", credentials: "same-origin", headers, ...init });
}

// The heading to begin at: the one that a link between our pages named, else the one in the address. JupyterLab takes
// a heading out of the address and leaves one more step back for it, so our own links carry it beside the address.
const HEADING = "steadyneedle:heading";
export const heading = sessionStorage.getItem(HEADING) || decodeURIComponent(location.hash.slice(1));
sessionStorage.removeItem(HEADING);

export function remember(name) {
  if (name) sessionStorage.setItem(HEADING, name);
}

const path = decodeURIComponent(options.treePath || "");
export const wanted = options.mode === "single-document" && path.endsWith(".ipynb");
const shipped = wanted && PAGES.some((one) => one.file === path);

// JupyterLab would write the address of the lesson's folder over the lesson's own, and load that with F5; and each address
// it writes is one more step back. Only the lesson's own addresses are written, as that of another window, and no step.
const leadsHere = (address) => decodeURIComponent(new URL(address, location.href).pathname).endsWith(`/tree/${path}`);
if (shipped) history.pushState = (state, _, to) => { if (leadsHere(to)) history.replaceState(state, "", to); };

// The lesson's session, with its kernel: JupyterLab finds it under the lesson's name.
export const session = shipped
  ? ask("sessions", { method: "POST", body: JSON.stringify({ path, name: path, type: "notebook", kernel: { name: "python3" } }) })
    .then((answer) => answer.ok, () => false)
  : Promise.resolve(false);

// A paper has no learner's file beside it: what its page keeps of a reader stands in the window's own store.
const paper = PAGES.some((one) => one.page === "paper");
function keptInWindow() {
  try { return JSON.parse(sessionStorage.getItem("steadyneedle:paper") || "{}"); } catch { return {}; }
}

// The learner's file.
export const work = wanted && !paper
  ? ask("contents/my-work.json?content=1&type=file&format=text")
    .then(async (answer) => (answer.ok ? JSON.parse((await answer.json()).content) : {}))
    .catch(() => ({}))
  : Promise.resolve({});

// What it keeps of the page: lesson, places, text size, ground.
export const kept = paper ? Promise.resolve(keptInWindow()) : work.then((content) => content?.page || {});
