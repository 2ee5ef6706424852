// The ward view: arrow keys between strips, and a plain word when the page goes stale.
const region = /** @type {HTMLElement} */ (document.querySelector("#strips"));
const stale = /** @type {HTMLElement} */ (document.querySelector("#stale"));

const links = () => [.../** @type {NodeListOf<HTMLElement>} */ (region.querySelectorAll(".strip-open"))];

document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (/** @type {Element} */ (event.target).closest?.("input, select, textarea")) return;
  const all = links();
  const here = all.indexOf(/** @type {HTMLElement} */ (document.activeElement));
  const to = {
    ArrowDown: here + 1,
    ArrowUp: Math.max(0, here - 1),
    Home: here < 0 ? -1 : 0,
    End: here < 0 ? -1 : all.length - 1,
  }[event.key];
  if (to === undefined || to < 0 || to >= all.length) return;
  event.preventDefault();
  all[to].focus();
});

document.body.addEventListener("htmx:configRequest", (event) => {
  const { detail } = /** @type {CustomEvent} */ (event);
  if (detail.elt.id === "live") {
    detail.parameters.shown = links().length;
  }
});

let lastHeard = new Date();
/** @param {Date} at */
const clock = (at) => at.toTimeString().slice(0, 5);

/** @param {string} words @param {string} href @param {string} link */
function say(words, href, link) {
  stale.replaceChildren(words);
  if (href) {
    const anchor = document.createElement("a");
    anchor.href = href;
    anchor.textContent = link;
    stale.append(" ", anchor);
  }
  stale.hidden = false;
}

document.body.addEventListener("htmx:afterRequest", (event) => {
  const { detail } = /** @type {CustomEvent} */ (event);
  const status = detail.xhr?.status ?? 0;
  if (detail.successful || status === 204) {
    lastHeard = new Date();
    stale.hidden = true;
  } else if (status === 401) {
    say("You are signed out, so this page stands still.", location.href, "Sign in again");
  } else {
    say(`This page stands still: no answer since ${clock(lastHeard)}.`, location.href, "Try again");
  }
});

// A page that was hidden looks again as soon as somebody looks at it.
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible") document.body.dispatchEvent(new Event("look-again"));
});
