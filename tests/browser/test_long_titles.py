"""Titles as long as they may be, of one word or from right to left: nothing is pushed away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page

from browser import pages
from browser.stage import DESKTOP, watched
from browser.test_pages import wider_than_the_screen
from sockwright.grammar.values import LONGEST_TEXT
from web import sites
from workshops import kept

TITLES = {
    "many words": ("Warm boot socks for the winch operator of the station above the lake, " * 4),
    "one word": "Bergrettungswindenfahrerstiefelsocken" * 4,
    "Hebrew": "גרביים חמות למפעיל הכננת של תחנת החילוץ " * 6,
    "Arabic": "جوارب دافئة لمشغل الرافعة في محطة الإنقاذ " * 6,
}
LENGTHS = {"one word": 120}
SIZES = ((360, 740), (800, 1280), (1280, 800))

OUTSIDE = """(ids) => ids.filter((id) => {
  const one = document.querySelector(id).getBoundingClientRect();
  return one.width < 40 || one.left < 0 || one.right > innerWidth || one.top < 0
    || one.bottom > innerHeight;
})"""
IN_SIGHT = ["#kept", "header [data-open=menu]", ".b-title strong", "#one"]


@pytest.fixture(scope="module")
def titled(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple]:
    """One window, and a pair of each title."""
    folder = tmp_path_factory.mktemp("titles")
    with sites.workshop(folder, example=True) as shop, sites.serving(shop) as served:
        pairs = {}
        for name, text in TITLES.items():
            title = text[: LENGTHS.get(name, LONGEST_TEXT)].strip()
            pairs[title] = kept(shop.plan_sock(replace(pages.station_choice(), title=title))).id
        with watched(browser, served.address, DESKTOP) as (context, _):
            yield context.new_page(), pairs


def at_every_size(page: Page) -> Iterator[None]:
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        yield


def test_a_long_title_pushes_nothing_off_the_page_at_the_machine(titled: tuple) -> None:
    page, pairs = titled
    for title, id in pairs.items():
        page.goto(f"/socks/{id}/bench/first")
        for _ in at_every_size(page):
            assert wider_than_the_screen(page) == [], title
            assert page.evaluate(OUTSIDE, IN_SIGHT) == [], (title, page.viewport_size)
        page.locator("header [data-open=menu]").click()
        assert page.locator("#menu .b-name").text_content() == title


def test_nor_the_pages_of_pair_and_plan(titled: tuple) -> None:
    page, pairs = titled
    query = pages.station_query()
    for title, id in pairs.items():
        for address in (f"/socks/{id}", f"/plan?{query}&title={title}", "/socks"):
            page.goto(address)
            assert title[:60] in page.content()
            for _ in at_every_size(page):
                assert wider_than_the_screen(page) == [], (address, page.viewport_size)
