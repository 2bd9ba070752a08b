// The wall of crews.

// On the wall of crews the arrow keys step from block to block: left and right within a crew, up and down between crews.
document.querySelector(".wall")?.addEventListener("keydown", (event) => {
  const block = event.target.closest(".block");
  const steps = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key];
  if (!block || !steps) return;
  const next = neighbour(block, ...steps);
  if (!next) return;
  event.preventDefault();
  next.focus();
});

// neighbour finds the next block in a lane, or the one nearest in time in the lanes above or below.
function neighbour(block, lanes, along) {
  const row = block.closest("tr");
  if (along) {
    const blocks = [...row.querySelectorAll(".block")];
    return blocks[blocks.indexOf(block) + along];
  }
  const column = block.closest("td").cellIndex;
  for (let other = step(row, lanes); other; other = step(other, lanes)) {
    const blocks = [...other.querySelectorAll(".block")];
    if (!blocks.length) continue;
    const away = (b) => Math.abs(b.closest("td").cellIndex - column);
    return blocks.reduce((best, b) => (away(b) < away(best) ? b : best));
  }
  return null;
}

function step(row, lanes) {
  return lanes < 0 ? row.previousElementSibling : row.nextElementSibling;
}

// The side sheet closes with Escape.
const sheet = document.querySelector(".sheet");
if (sheet) {
  const close = sheet.querySelector("a.button-plain");
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") close.click();
  });
}
