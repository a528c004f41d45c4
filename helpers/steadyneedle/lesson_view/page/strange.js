// Code that is not ours never runs by itself. A mark in a file is no permission: the text of each cell is compared.
import { ask } from "./early.js";
import { CODE, PAGES } from "./shipped.js";

const OURS = new Set(CODE);

export const isOurs = (source) => OURS.has(source);

export function sayStrange(page) {
  page.root.dataset.state = "strange";
  page.cover.fault();  // no form will ask
  page.say("This page holds code that is not ours.", ["Fresh copy", () => freshCopy(page)], ["Run it anyway", () => {
    page.say("");
    page.cover.fault(false);
    page.runner.start();
  }]);
}

// The learner's file keeps its content under a dated name; the lesson as shipped takes its place.
async function freshCopy(page) {
  const shipped = PAGES.find((one) => one.lesson === page.mark.lesson && one.page === page.mark.page);
  try {
    const answer = await fetch(new URL(`lessons/${shipped.file}`, import.meta.url));
    const content = await answer.json();
    const name = await setAside(page.path);
    await good(ask(`contents/${encoded(page.path)}`, { method: "PUT", body: JSON.stringify({ type: "notebook", format: "json", content }) }));
    page.say(`A fresh copy is laid. Yours is kept as ${name}.`);
    setTimeout(() => location.reload(), 1200);
  } catch {
    page.say("No fresh copy could be laid. Close this page, and type the line in the workbook's window again.");
  }
}

async function setAside(path) {
  const [, folder, stem] = path.match(/^(.*\/)?(.*)\.ipynb$/);
  const now = new Date();
  const day = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
  for (let n = 1; n < 100; n += 1) {
    const name = `${stem} (yours, ${day}${n > 1 ? `, ${n}` : ""}).ipynb`;
    const answer = await ask(`contents/${encoded(path)}`, { method: "PATCH", body: JSON.stringify({ path: (folder || "") + name }) });
    if (answer.ok) return name;
    if (answer.status !== 409) break;
  }
  throw new Error("the learner's file could not be kept");
}

async function good(answer) {
  if (!(await answer).ok) throw new Error("refused");
}

const encoded = (path) => path.split("/").map(encodeURIComponent).join("/");
