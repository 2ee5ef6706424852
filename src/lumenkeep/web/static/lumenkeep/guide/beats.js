// Calls back five times a second, also while the page is hidden.

export function beats(call) {
  try {
    // Its address lies below /guide/, so that the offline copy serves it.
    const worker = new Worker("/guide/beat.js");
    worker.onmessage = call;
    worker.onerror = () => {
      worker.terminate();
      setInterval(call, 200);
    };
  } catch {
    setInterval(call, 200);
  }
  document.addEventListener("visibilitychange", call);
  window.addEventListener("pagehide", call);
}
