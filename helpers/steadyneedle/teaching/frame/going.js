// Going to a form by its anchor: where it is covered, to what stands before it and can be seen.
function goTo(id) {
  const form = document.getElementById(id);
  if (!form) return false;
  const own = form.closest(".sn-cell");
  let cell = own;
  while (cell && !cell.checkVisibility()) cell = cell.previousElementSibling;
  (cell && cell !== own ? cell : form).scrollIntoView({ block: "start" });
  return true;
}
// JupyterLab takes an anchor out of the address, so the place to go to on the next page is left in the window's store.
const AHEAD = "steadyneedle:go";
function goNext(id) {
  try { sessionStorage.setItem(AHEAD, id); } catch { /* then that page opens where one left it */ }
}
// Once, when the page is live: by then nothing above grows any more.
function arrive(form) {
  try {
    if (sessionStorage.getItem(AHEAD) !== form.id) return;
    sessionStorage.removeItem(AHEAD);
  } catch { return; }
  const page = document.querySelector(".sn-lesson");
  const go = () => (page && page.dataset.state !== "live" ? setTimeout(go, 200) : goTo(form.id));
  setTimeout(go, 200);
}
