// Where the page keys of a remote stop, as places to scroll to from the top of the document. Every heading is one, and
// every panel and form that does not stand whole at the stop before it: it stands whole at its own if the screen holds it.
// What is longer than a screen is led through screen by screen, so that nothing is passed over unseen.
const OVERLAP = 0.9;  // of a screen: what stood last stands first
const AIR = 6;  // px between the head and a panel, where there is room

// The headings and both ends of the page.
export function ends({ cells, place }) {
  const top = window.scrollY - place.line(), last = document.scrollingElement.scrollHeight - window.innerHeight;
  const headings = cells.filter((cell) => cell.kind === "markdown" && !cell.node.hidden && /^##? /m.test(cell.source));
  return inOrder([0, ...headings.map((cell) => cell.node.getBoundingClientRect().top + top), last], last);
}

export function stops(page) {
  const line = page.place.line(), screen = window.innerHeight - line, sections = ends(page), last = sections.at(-1);
  const shown = [...page.root.querySelectorAll(".sn-panel, .sn-bench, .sn-form")].filter((one) => one.checkVisibility());
  const blocks = shown.map((one) => {
    const { top, height } = one.getBoundingClientRect();
    return { top: top + window.scrollY - line, height };
  });
  const begin = ({ top, height }) => top - Math.max(0, Math.min(AIR, (screen - height) / 2));
  const found = [];
  for (const { at, block } of [...sections.map((one) => ({ at: one })), ...blocks.map((one) => ({ at: begin(one), block: one }))]
    .sort((one, other) => one.at - other.at)) {
    lead(found, at, screen);
    const before = found.at(-1);
    if (!block || block.top < before || block.top + block.height > before + screen) found.push(at);
  }
  return inOrder(found, last);
}

// From the last stop so far to the next place, screen by screen.
function lead(found, to, screen) {
  while (found.length && to - found.at(-1) > screen) found.push(found.at(-1) + screen * OVERLAP);
}

const inOrder = (all, last) => [...new Set(all.map((one) => Math.round(Math.min(Math.max(one, 0), last))))].sort((one, other) => one - other);
