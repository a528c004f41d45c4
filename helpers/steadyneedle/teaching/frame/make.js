// A number and its unit stay in one line: a no-break space between them.
const BEFORE_UNIT = /(?<=[0-9]) (?=(?:bar|mbar|psi|Pa|kPa|MPa|kgf|atm|msw|fsw|ft|m|cm|mm|µm|s|min|h|L|mL|g|kg|mg|N|Nm|K|°C|°F|%)(?![A-Za-z0-9]))/g;
function unbroken(words) {
  return words.replace(BEFORE_UNIT, "\u00a0");
}
// An element with its attributes and children. Widgets hold it as it stands, the lesson view imports it.
function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "class") element.className = value;
    else if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}
