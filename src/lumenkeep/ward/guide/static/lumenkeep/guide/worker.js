// Serves the guide without a network. VERSION and KEPT come before this text, from the
// server: the version is worked out from the content of every kept file. Nothing of a
// child is ever kept here; that lies in IndexedDB until it is sent.
const PREFIX = "lumenkeep-guide-";
const CACHE = PREFIX + VERSION;
const SHELL = "/guide/";
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(CACHE);
    // Past the browser's own cache: a kept page must not mix two versions.
    await cache.addAll(KEPT.map((path) => new Request(path, { cache: "reload" })));
    if (!worker.registration.active) await worker.skipWaiting();
  })());
});

worker.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)));
    await worker.clients.claim();
  })());
});

worker.addEventListener("message", (event) => {
  if (event.data === "take-over") worker.skipWaiting();
});

worker.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== worker.location.origin) return;
  const isShell = event.request.mode === "navigate" && address.pathname === SHELL;
  if (!isShell && !KEPT.includes(address.pathname)) return;
  event.respondWith((async () => {
    const cache = await caches.open(CACHE);
    const kept = await cache.match(isShell ? SHELL : address.pathname, { ignoreVary: true });
    return kept ?? fetch(event.request);
  })());
});
