// Printing needs a script; without one the button stays hidden.
for (const button of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-print]"))) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}

// A plan left open for long is no longer the plan: facts and hours move on.
const OLD_AFTER_MS = 20 * 60 * 1000;
const openedAt = Date.now();
const old = /** @type {HTMLElement} */ (document.querySelector("#plan-old"));

function sayIfOld() {
  if (Date.now() - openedAt > OLD_AFTER_MS) old.hidden = false;
}

if (document.querySelector("[data-worked-out]")) {
  setInterval(sayIfOld, 60 * 1000);
  document.addEventListener("visibilitychange", sayIfOld);
}
