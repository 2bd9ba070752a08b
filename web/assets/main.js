// Comfort only: every form and link works without this file.

// A select marked data-send shows its choice at once; its button is then not needed.
for (const select of document.querySelectorAll("select[data-send]")) {
  const button = select.form.querySelector("button[type=submit]");
  if (button) button.hidden = true;
  select.addEventListener("change", () => select.form.requestSubmit());
}

// What the last form did stands on the page when it arrives, which screen readers do not announce; put in anew a moment
// later, it is.
const news = document.querySelector(".news");
if (news && news.firstElementChild) {
  const notice = news.firstElementChild;
  notice.remove();
  setTimeout(() => news.append(notice), 150);
}

// A report gets its id from the device that sends it, so that a report sent twice counts once even when the page itself
// came from a cache. The server made one as well, for browsers without this.
for (const form of document.querySelectorAll("form[data-report]")) {
  if (window.crypto && crypto.randomUUID) form.elements.report_id.value = crypto.randomUUID();
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
}
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-report]")) delete form.dataset.sent;
});

// On the wall of crews the arrow keys step from block to block: left and right within a crew, up and down between crews.
const wall = document.querySelector(".wall");
if (wall) {
  wall.addEventListener("keydown", (event) => {
    const block = event.target.closest(".block");
    const steps = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key];
    if (!block || !steps) return;
    const next = neighbour(block, ...steps);
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
}

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
