// The form of a field report.

// A report gets its id from the device that sends it, so that a report sent twice counts once even when the page itself
// came from a cache. The server made one as well, for browsers without this.
//
// What was sent stays with the page in the browser's history. Who goes back to it finds the words again; sent unchanged they
// are the same report, changed they are another one.
for (const form of document.querySelectorAll("form[data-report]")) {
  const id = form.elements.report_id;
  if (window.crypto && crypto.randomUUID) id.value = crypto.randomUUID();
  const own = id.value;
  for (const [name, value] of history.state?.words ?? []) if (form.elements[name] && form.elements[name].type !== "file") form.elements[name].value = value;
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
    const before = history.state, words = wordsOf(form);
    id.value = before && JSON.stringify(before.words) === JSON.stringify(words) ? before.id : own;
    history.replaceState({ id: id.value, words }, "");
  });
}
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-report]")) delete form.dataset.sent;
});

// wordsOf is what a person can change in a form; of a photo, what tells it from another one.
function wordsOf(form) {
  return [...new FormData(form)].filter(([name]) => form.elements[name].type !== "hidden")
    .map(([name, value]) => [name, value instanceof File ? value.size && [value.name, value.size, value.lastModified].join(" ") : value]);
}
