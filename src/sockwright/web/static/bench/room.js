// Room on this device: asked of the browser, and made where there is none.

const CACHE = "sockwright-bench";

/** Ask the browser not to throw away what is kept here when it needs room itself. */
export function askToStay() {
  navigator.storage?.persist?.().catch(() => {});
}

/** Let go of what can be had from the workshop again: the pages of other socks, then what this one
 * can do without. Tells whether anything went. */
export async function shed() {
  try {
    if (!(await caches.has(CACHE))) return false;
    const store = await caches.open(CACHE);
    const every = await store.keys();
    const parts = performance.getEntriesByType("resource").map((one) => new URL(one.name).pathname);
    const own = new Set([location.pathname, ...parts]);
    /** @param {Request} request */
    const path = (request) => new URL(request.url).pathname;
    const others = every.filter((one) => !own.has(path(one)));
    const letters = every.filter((one) => path(one).endsWith(".woff2"));
    const going = others.length ? others : letters;
    await Promise.all(going.map((one) => store.delete(one)));
    return going.length > 0;
  } catch {
    return false; // a page of its own has no such store
  }
}
