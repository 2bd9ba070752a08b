// The form of a field report.

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
