"""The page beside the machine: from a tap to its picture, what it weighs, and what it does idle."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from benchmarks.figures import ROOT, Line

sys.path.insert(0, str(ROOT / "tests"))

TAPS = 150
IDLE_S = 10

PAINTED = """(act) => new Promise((done) => {
  const start = performance.now();
  if (act) document.getElementById("one").click();
  requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => done(performance.now() - start);
    port2.postMessage(null);
  });
})"""
"""Milliseconds from a tap (or from nothing) until the frame after it is painted."""


def bench_machine() -> Iterator[Line]:
    """All lines about the page beside the machine."""
    from playwright.sync_api import sync_playwright

    from browser.stage import DESKTOP, launch, watched
    from browsers import NONE_FOUND, find_browser
    from web import sites
    from web.weights import weight
    from workshops import FINE_NEEDLES, fine_pair

    path = find_browser()
    if path is None:
        raise SystemExit(NONE_FOUND)
    with (
        TemporaryDirectory() as folder,
        sites.workshop(Path(folder)) as shop,
        sites.serving(shop) as served,
        sync_playwright() as playwright,
    ):
        origin, address = served.address, f"/socks/{fine_pair(shop).id}/bench/first"
        browser = launch(playwright, path)
        with watched(browser, origin, DESKTOP) as (context, _):
            page = context.new_page()
            page.add_init_script(
                "localStorage.setItem('sockwright:bench:settings', "
                "JSON.stringify({debounce: 0, sound: false}))"
            )
            page.goto(address)
            bare = sorted(page.evaluate(PAINTED, False) for _ in range(TAPS))
            taps = sorted(page.evaluate(PAINTED, True) for _ in range(TAPS))
            page.wait_for_timeout(2_000)
            session = context.new_cdp_session(page)
            session.send("Performance.enable")
            before, asked = tasks_s(session), []
            page.on("request", lambda request: asked.append(request.url))
            page.wait_for_timeout(IDLE_S * 1_000)
            busy = tasks_s(session) - before
        browser.close()
        bytes_ = weight(origin, address)
        settings = weight(origin, "/settings")
    yield Line(
        f"a tap to its picture, {FINE_NEEDLES} needles",
        f"{median(taps):.0f} ms, p95 {taps[len(taps) * 95 // 100]:.0f} ms",
        f"a bare frame, {median(bare):.0f} ms",
        f"{median(taps) / median(bare):.1f}",
        "p95 < 50 ms",
    )
    yield Line(
        "weight of the page beside the machine",
        f"{bytes_ / 1e3:.0f} kB",
        f"/settings, {settings / 1e3:.0f} kB",
        f"{bytes_ / settings:.1f}",
        "< 200 kB",
    )
    yield Line(
        f"the same idle for {IDLE_S} s",
        f"{busy * 1e3:.0f} ms of work, {len(asked)} requests",
        "-",
        "-",
        "no work",
    )


def tasks_s(session: object) -> float:
    """Seconds that the page's main thread has worked so far."""
    metrics = session.send("Performance.getMetrics")["metrics"]  # type: ignore[attr-defined]
    return float(next(one["value"] for one in metrics if one["name"] == "TaskDuration"))
