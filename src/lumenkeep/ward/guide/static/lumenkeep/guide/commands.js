// Hands-free: keyboard and page-turner pedal say the same few commands as the large controls.

/** @type {Record<string, string>} */
const KEYS = {
  " ": "next", "ArrowRight": "next", "PageDown": "next", "Enter": "next",
  "ArrowLeft": "back", "PageUp": "back",
  "s": "slip", "S": "slip",
  "p": "pause", "P": "pause",
  "1": "yes", "2": "no",
};
// What a pedal sends; it works also while the caret stands in a field.
const PEDAL = new Set(["PageDown", "PageUp"]);
// A choice that has the focus keeps the keys that move within it.
const TICKED = new Set(["radio", "checkbox"]);
const MOVES = new Set([" ", "ArrowLeft", "ArrowRight"]);
// A pedal that bounces, or a hand that presses twice, must not pass a step unseen.
export const BOUNCE_MS = 250;

/**
 * The command of a key, null where the key belongs to what has the focus. Pure.
 * @param {string} key @param {string} tag
 */
export function commandOf(key, tag, type = "") {
  const command = KEYS[key] ?? null;
  if (!command || PEDAL.has(key)) return command;
  if (tag === "TEXTAREA" || tag === "SELECT") return null;
  if (tag === "INPUT") return TICKED.has(type) && !MOVES.has(key) ? command : null;
  const pressesItself = tag === "BUTTON" || tag === "A" || tag === "SUMMARY";
  return pressesItself && (key === " " || key === "Enter") ? null : command;
}

/**
 * Call `run(command)` for each; `isBusy` says that a panel has the keyboard.
 * @param {(command: string) => boolean} run @param {() => boolean} isBusy
 */
export function listen(run, isBusy) {
  document.addEventListener("keydown", (event) => {
    if (event.repeat || event.altKey || event.ctrlKey || event.metaKey || isBusy()) return;
    const { tagName = "", type = "" } = /** @type {HTMLInputElement} */ (event.target);
    const command = commandOf(event.key, tagName, type);
    if (command && run(command)) event.preventDefault();
  });
}
