// What was typed into a part's form and not saved is not left behind unasked, and
// after a refusal the message is where the reader is.
const refused = /** @type {HTMLElement | null} */ (document.querySelector("#refused"));
if (refused) refused.focus();

for (const form of document.querySelectorAll("form[data-keep-typed]")) {
  let typed = false;
  form.addEventListener("input", () => { typed = true; });
  form.addEventListener("submit", () => { typed = false; });
  window.addEventListener("beforeunload", (event) => {
    if (typed) event.preventDefault();
  });
}

for (const one of document.querySelectorAll("#starts-at")) {
  one.addEventListener("input", () => {
    /** @type {HTMLInputElement} */ (document.querySelector("[name=when][value=later]")).checked = true;
  });
}
