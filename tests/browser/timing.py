"""How long it takes from a move of a slider until its new numbers are drawn."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import sync_playwright

from browser.pages import full_site, station_query
from browser.stage import DESKTOP, launch, watched
from browsers import NONE_FOUND, find_browser

MOVE = """(value) => new Promise((done) => {
  const slider = document.getElementById("try-leg");
  const before = document.getElementById("result");
  const start = performance.now();
  const drawn = () => requestAnimationFrame(() => setTimeout(() => {
    if (document.getElementById("result") === before) throw new Error("nothing was swapped");
    done(performance.now() - start);
  }));
  document.addEventListener("htmx:afterSwap", drawn, { once: true });
  slider.value = value;
  slider.dispatchEvent(new Event("input", { bubbles: true }));
})"""
"""Moves the slider of the leg's height; gives the milliseconds until the frame after the swap."""


def seconds_to_new_numbers(times: int) -> list[float]:
    """Seconds of so many moves, each to another height, after one to warm up."""
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
            for move in range(times + 1):
                taken.append(page.evaluate(MOVE, f"{18 + move % 20 / 2:g}") / 1e3)
                page.wait_for_timeout(100)
        browser.close()
    return taken[1:]
