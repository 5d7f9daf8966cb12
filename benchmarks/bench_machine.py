"""The page beside the machine: from a tap to its picture, what it weighs, and what it does idle."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from benchmarks.bench import ROOT, Line

sys.path.insert(0, str(ROOT / "tests"))

NEEDLES = 100
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

    path = find_browser()
    if path is None:
        raise SystemExit(NONE_FOUND)
    with (
        TemporaryDirectory() as folder,
        sites.workshop(Path(folder)) as shop,
        sites.serving(shop) as origin,
        sync_playwright() as playwright,
    ):
        address = f"/socks/{fine_pair(shop)}/bench/first"
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
        f"a tap to its picture, {NEEDLES} needles",
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


def fine_pair(shop: object) -> str:
    """A pair on a fine cylinder; its id."""
    from sockwright.store.things import Kind, Thing
    from sockwright.workshop import Choice, Workshop

    assert isinstance(shop, Workshop)
    foot = {"length": "24.5 cm", "ball_girth": "23 cm", "heel_girth": "31 cm"}
    person = shop.keep(Kind.PERSON, {"wearer": {"name": "winch operator"}, "foot": foot})
    yarn = shop.keep(Kind.YARN, {"name": "fine sock yarn", "fineness": "100 g / 700 m"})
    machine = shop.keep(
        Kind.MACHINE, {"name": "a fine machine", "turns": "cylinder", "cylinders": [NEEDLES]}
    )
    assert isinstance(person, Thing)
    assert isinstance(yarn, Thing)
    assert isinstance(machine, Thing)
    pair = shop.plan_sock(Choice(person.id, machine.id, {"main": yarn.id}, needles=NEEDLES))
    assert isinstance(pair, Thing), pair
    return pair.id


def tasks_s(session: object) -> float:
    """Seconds that the page's main thread has worked so far."""
    metrics = session.send("Performance.getMetrics")["metrics"]  # type: ignore[attr-defined]
    return float(next(one["value"] for one in metrics if one["name"] == "TaskDuration"))
