// What a field that is typed into has room for. Near its end it counts, and what no longer fits is never dropped in silence.
const NEAR = 0.9;  // from this share on it counts
const SHOWN = 30;  // characters of what was not taken
const counted = (number) => number.toLocaleString("en-GB");

// Gives what stands after the field, and what is called whenever its text has changed. On paper the whole text stands in
// the field's place: a field would print only as much as it shows.
function makeRoom(input, longest) {
  const count = make("p", { class: "sn-note", id: fresh("count") });
  const lost = make("p", { class: "sn-note sn-lost", "aria-live": "polite" });
  const printed = make("div", { class: "sn-printed", "aria-hidden": "true" });
  input.setAttribute("maxlength", longest);
  input.setAttribute("aria-describedby", count.id);
  function measure() {
    const { length } = input.value;
    printed.textContent = input.value;
    const full = length < longest ? "" : ": it is full";
    count.textContent = length < NEAR * longest ? "" : `${counted(length)} of ${counted(longest)} characters${full}`;
    if (!full) lost.textContent = "";
  }
  function say(coming) {
    const room = longest - input.value.length + input.selectionEnd - input.selectionStart, over = coming.length - room;
    if (over <= 0) return;
    const rest = coming.slice(-over).trim(), begins = rest.slice(0, SHOWN) + (rest.length > SHOWN ? "…" : "");
    lost.textContent = coming.length > 1
      ? `It does not all fit. The last ${counted(over)} characters were NOT taken: “${begins}”`
      : "It is full: what you type now is NOT taken. Take something out first.";
  }
  input.addEventListener("beforeinput", ({ data, dataTransfer, inputType }) => {
    const line = ["insertLineBreak", "insertParagraph"].includes(inputType) ? "\n" : "";
    say((data ?? dataTransfer?.getData("text/plain") ?? line).replace(/\r\n?/g, "\n"));
  });
  measure();
  return { beside: [printed, count, lost], measure };
}
