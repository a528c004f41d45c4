// The gauge module: puts a scene into the page and moves its parts, each by its name.
// It draws what it is given and never decides anything.
function gauge(holder, svg, motions) {
  holder.innerHTML = svg;
  const parts = motions.map((motion) => holder.querySelector(`[data-part="${motion.name}"]`));
  const words = parts.map((part) => part.querySelector("text"));
  return function move(row) {
    motions.forEach((motion, n) => {
      const amount = row[motion.name];
      if (motion.how === "turn") {
        parts[n].setAttribute("transform", `rotate(${amount} ${motion.centre[0]} ${motion.centre[1]})`);
      } else if (motion.how === "shift") {
        parts[n].setAttribute("transform", `translate(${amount} 0)`);
      } else if (words[n].textContent !== amount) {
        words[n].textContent = amount;
      }
    });
  };
}
