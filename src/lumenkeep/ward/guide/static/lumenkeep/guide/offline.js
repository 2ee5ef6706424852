// The offline copy of the guide's own pages: made once, renewed only while nothing runs.

const registered = () => navigator.serviceWorker.register("/guide/worker.js", { scope: "/guide/" });

/**
 * Keep the copy. A new version waits until no guide is open, so that none changes midway.
 * @param {{ isIdle: () => boolean }} how
 */
export async function keepOffline({ isIdle }) {
  if (!("serviceWorker" in navigator)) return;
  const hadOne = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (hadOne && isIdle()) location.reload();
  });
  try {
    const found = await registered();
    const takeOver = () => isIdle() && found.waiting?.postMessage("take-over");
    takeOver();
    found.addEventListener("updatefound", () => found.installing?.addEventListener("statechange", takeOver));
  } catch {
    // Offline, or a browser without workers: what is kept goes on being used.
  }
}

/** Resolve when the guide can be opened without a network; reject where it never can. */
export async function readyOffline() {
  if (!("serviceWorker" in navigator)) throw new Error("no-worker");
  const found = await registered();
  const worker = /** @type {ServiceWorker} */ (found.active ?? found.waiting ?? found.installing);
  if (worker.state === "activated") return;
  /** @type {Promise<void>} */
  const ready = new Promise((resolve, reject) => {
    worker.addEventListener("statechange", () => {
      if (worker.state === "activated") resolve();
      if (worker.state === "redundant") reject(new Error("no-copy"));
    });
  });
  await ready;
}
