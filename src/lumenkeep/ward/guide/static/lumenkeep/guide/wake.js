// Keeps the screen on while a run is under way. A browser lets go when the page is hidden,
// so it is asked for again each time somebody looks.
/** @type {WakeLockSentinel | null} */
let lock = null;
let wanted = false;

async function ask() {
  if (!wanted || lock || !("wakeLock" in navigator) || document.visibilityState !== "visible") return;
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => { lock = null; });
  } catch {
    lock = null; // a low battery may refuse; the guide works all the same
  }
}

/** @param {boolean} isWanted */
export function keepAwake(isWanted) {
  wanted = isWanted;
  if (wanted) ask();
  else lock?.release();
}

document.addEventListener("visibilitychange", ask);
