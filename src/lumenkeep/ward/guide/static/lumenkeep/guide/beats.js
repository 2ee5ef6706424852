// Calls back ten times a second, also while the page is hidden.
const EVERY_MS = 100;

/** @param {() => void} call */
export function beats(call) {
  try {
    // Its address lies below /guide/, so that the offline copy serves it.
    const worker = new Worker("/guide/beat.js");
    worker.onmessage = call;
    worker.onerror = () => {
      worker.terminate();
      setInterval(call, EVERY_MS);
    };
  } catch {
    setInterval(call, EVERY_MS);
  }
  document.addEventListener("visibilitychange", call);
  window.addEventListener("pagehide", call);
}
