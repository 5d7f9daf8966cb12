"""How long it takes from a change on the planning page until its new numbers are drawn."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import sync_playwright

from browser.pages import full_site, station_query
from browser.stage import DESKTOP, launch, watched
from browsers import NONE_FOUND, find_browser

CHANGE = """([id, value, kind]) => new Promise((done) => {
  const field = document.getElementById(id);
  const before = document.getElementById("result");
  const start = performance.now();
  const drawn = () => requestAnimationFrame(() => setTimeout(() => {
    if (document.getElementById("result") === before) throw new Error("nothing was swapped");
    done(performance.now() - start);
  }));
  document.addEventListener("htmx:afterSwap", drawn, { once: true });
  field.value = value;
  if (field.value !== value) throw new Error(`${value} cannot be chosen`);
  field.dispatchEvent(new Event(kind, { bubbles: true }));
})"""
"""Changes a field; gives the milliseconds until the frame after the swap."""

BETWEEN_MS = 100
"""Rest between two changes, so that each is measured alone."""


def seconds_of_a_slider(times: int) -> list[float]:
    """Seconds of so many moves of the leg's slider, each to another height."""
    heights = [f"{18 + move % 20 / 2:g}" for move in range(times + 1)]
    return _seconds("try-leg", heights, "input")


def seconds_of_a_choice(times: int) -> list[float]:
    """Seconds of so many choices of another cylinder, as of all that is chosen from a list."""
    return _seconds("needles", ["54" if turn % 2 else "60" for turn in range(times + 1)], "change")


def _seconds(field: str, values: Sequence[str], kind: str) -> list[float]:
    """Seconds of each change but the first, which warms up."""
    path = find_browser()
    if path is None:
        raise SystemExit(NONE_FOUND)
    with (
        TemporaryDirectory() as folder,
        full_site(Path(folder)) as site,
        sync_playwright() as playwright,
    ):
        browser = launch(playwright, path)
        with watched(browser, site.open, DESKTOP) as (context, _):
            page = context.new_page()
            page.goto(f"/plan?{station_query()}")
            taken = []
            for value in values:
                taken.append(page.evaluate(CHANGE, [field, value, kind]) / 1e3)
                page.wait_for_timeout(BETWEEN_MS)
        browser.close()
    return taken[1:]
