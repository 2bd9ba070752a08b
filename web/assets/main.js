// Comfort only: every form and link works without scripts.

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
