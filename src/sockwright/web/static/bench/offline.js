// Has the browser keep this page, where it allows that: on this computer, or over https.

if ("serviceWorker" in navigator) {
  const { serviceWorker } = navigator;
  await serviceWorker.register("/worker.js", { scope: "/socks/" });
  const { active } = await serviceWorker.ready;
  const parts = performance.getEntriesByType("resource").map((one) => one.name);
  const own = new Set([location.pathname, ...parts.map((one) => new URL(one).pathname)]);
  active?.postMessage({ addresses: [...own] });
  document.documentElement.dataset.offline = "ready";
}
