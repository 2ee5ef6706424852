// Nothing typed is lost: a form is kept in this tab until it is charted, so that a
// session that ran out costs nobody their words. Keys hold the page's path only.
const PREFIX = "lumenkeep-typed:";
const KEEP_MS = 2 * 60 * 60 * 1000;
const NEVER = new Set(["csrfmiddlewaretoken", "submission", "do"]);
const form = /** @type {HTMLFormElement} */ (document.querySelector("form[data-keep]"));
const refused = /** @type {HTMLElement | null} */ (document.querySelector("#refused"));
const restored = /** @type {HTMLElement} */ (document.querySelector("#restored"));
const key = PREFIX + location.pathname;

function typed() {
  return [...new FormData(form)].filter(([name]) => !NEVER.has(name));
}

/** @param {[string, FormDataEntryValue][]} pairs */
function restore(pairs) {
  const values = new Map();
  for (const [name, value] of pairs) values.set(name, [...(values.get(name) ?? []), value]);
  for (const field of /** @type {Iterable<HTMLInputElement>} */ (/** @type {unknown} */ (form.elements))) {
    if (!field.name || NEVER.has(field.name)) continue;
    const kept = values.get(field.name) ?? [];
    if (field.type === "checkbox" || field.type === "radio") field.checked = kept.includes(field.value);
    else if (kept.length) field.value = kept[0];
  }
}

if (form) {
  const fresh = JSON.stringify(typed());
  const kept = JSON.parse(sessionStorage.getItem(key) ?? "null");
  if (refused) {
    refused.focus();
  } else if (kept && Date.now() - kept.at < KEEP_MS && JSON.stringify(kept.pairs) !== fresh) {
    restore(kept.pairs);
    restored.hidden = false;
    restored.querySelector("[data-afresh]")?.addEventListener("click", () => {
      sessionStorage.removeItem(key);
      restore(JSON.parse(fresh));
      restored.hidden = true;
    });
  }
  const keep = () =>
    sessionStorage.setItem(key, JSON.stringify({ at: Date.now(), pairs: typed() }));
  form.addEventListener("input", keep);
  form.addEventListener("change", keep);
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
    keep();
  });
  window.addEventListener("pageshow", () => delete form.dataset.sent);
}

if (document.querySelector("[data-charted]")) {
  for (const name of Object.keys(sessionStorage)) {
    if (name.startsWith(PREFIX)) sessionStorage.removeItem(name);
  }
}
