// Keeps the pages beside the machine, so that they open without the workshop.
//
// What has a version in its address never changes and comes from here; a page comes from the
// workshop while that answers, and from here when it does not.

const STORE = "sockwright-bench";
const PATIENCE_MS = 3000;

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @param {URL} url */
const isStatic = (url) => url.pathname.startsWith("/static/");
/** @param {URL} url */
const isBench = (url) => /^\/socks\/[^/]+\/bench\/(first|second)$/.test(url.pathname);

worker.addEventListener("install", () => worker.skipWaiting());
worker.addEventListener("activate", (event) => event.waitUntil(worker.clients.claim()));

// A page names what it is made of once it is shown: its first visit came before this worker.
worker.addEventListener("message", (event) => event.waitUntil(keep(event.data.addresses)));

/** @param {string[]} addresses */
async function keep(addresses) {
  const store = await caches.open(STORE);
  await Promise.all(addresses.map(async (address) => {
    const url = new URL(address, location.href);
    if (url.origin !== location.origin || !(isStatic(url) || isBench(url))) return;
    if (isStatic(url) && await store.match(address)) return;
    await fetchAndKeep(store, address);
  }));
  await forgetOld(store, addresses);
}

/**
 * @param {Cache} store
 * @param {Request | string} request
 */
async function fetchAndKeep(store, request) {
  const answer = await fetch(request);
  // A page that led elsewhere is not the one asked for: the door, most likely.
  if (answer.ok && !answer.redirected) {
    try {
      await store.put(request, answer.clone());
    } catch {
      // Full: the page is shown all the same, and what was kept of it before stays.
    }
  }
  return answer;
}

/**
 * Let go of files of a program that was replaced.
 * @param {Cache} store
 * @param {string[]} addresses
 */
async function forgetOld(store, addresses) {
  const current = addresses.map((one) => new URL(one, location.href)).find(isStatic);
  if (!current) return;
  const folder = current.pathname.split("/").slice(0, 3).join("/");
  for (const request of await store.keys()) {
    const url = new URL(request.url);
    if (isStatic(url) && !url.pathname.startsWith(`${folder}/`)) await store.delete(request);
  }
}

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (isStatic(url)) event.respondWith(kept(request));
  else if (isBench(url)) event.respondWith(fresh(request));
});

/** @param {Request} request */
async function kept(request) {
  const store = await caches.open(STORE);
  return (await store.match(request)) ?? fetchAndKeep(store, request);
}

/** @param {Request} request */
async function fresh(request) {
  const store = await caches.open(STORE);
  const here = await store.match(request, { ignoreVary: true });
  if (!here) return fetchAndKeep(store, request);
  /** @type {Promise<null>} */
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, null));
  try {
    const answer = await Promise.race([fetchAndKeep(store, request), late]);
    return answer && (answer.ok || answer.redirected || answer.status < 500) ? answer : here;
  } catch {
    return here;
  }
}
