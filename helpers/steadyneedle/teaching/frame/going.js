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
// Once, when a page that was opened with this anchor is live: by then nothing above it grows any more.
function arrive(form) {
  if (location.hash !== `#${form.id}`) return;
  const page = document.querySelector(".sn-lesson");
  const go = () => {
    if (page && page.dataset.state !== "live") return setTimeout(go, 200);
    if (goTo(form.id)) history.replaceState(null, "", location.pathname + location.search);
  };
  setTimeout(go, 200);
}
