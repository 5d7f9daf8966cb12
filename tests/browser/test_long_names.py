"""Names as long as they may be, without a break, on a telephone: no page is pushed sideways."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from browser import pages
from browser.pages import PAGES, FullSite
from browser.stage import DESKTOP, PHONE, Devices, Watch, go_to, watched
from browser.test_pages import wider_than_the_screen
from sockwright.grammar.values import LONGEST_TEXT
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import kept, note

LONG = "n" * LONGEST_TEXT

SHOWING = [one for one in PAGES if not one.outside and not one.pressed]
"""The pages that show what is kept, as they stand."""


def renamed(shop: Workshop, thing: Thing) -> None:
    """Give a thing a name as long as it may be."""
    document = dict(thing.document)
    if thing.kind is ItemKind.PERSON:
        document["wearer"] = {**document["wearer"], "name": LONG}
    elif thing.kind is not ItemKind.DESIGN:
        document["name"] = LONG
    name = LONG if thing.kind is ItemKind.DESIGN else None
    kept(shop.change(thing.kind, thing.id, thing.version, document, name))


@contextmanager
def long_site(folder: Path) -> Iterator[FullSite]:
    """A furnished site where everything has the longest of names."""
    with sites.workshop(folder, example=True) as shop, sites.serving(shop) as served:
        shop.plans = pages.PLANS
        for kind in (
            ItemKind.PERSON,
            ItemKind.YARN,
            ItemKind.MACHINE,
            ItemKind.DESIGN,
            ItemKind.SWATCH,
        ):
            for thing in shop.things(kind):
                renamed(shop, thing)
        ids = dict(pages.furnish(shop))
        long = kept(shop.plan_sock(replace(pages.station_choice(), title=LONG)))
        note(shop, long, LONG)
        begun = kept(shop.start_sock(long.id, long.version))
        kept(shop.log_sock(begun.id, begun.version, {"time": "2025-11-03", "note": LONG}))
        gone = kept(shop.plan_sock(replace(pages.station_choice(), title=LONG)))
        shop.delete(ItemKind.SOCK, gone.id, gone.version)
        spare, yarn = (
            kept(shop.keep(ItemKind.YARN, {"name": LONG, "fineness": "100 g / 400 m"}))
            for _ in "ab"
        )
        shop.delete(ItemKind.YARN, yarn.id, yarn.version)
        yield FullSite(
            served.address,
            served.address,
            {**ids, "begun": long.id, "deleted": yarn.id, "spare": spare.id},
        )


@pytest.fixture(scope="module")
def site_of_long_names(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FullSite]:
    with long_site(tmp_path_factory.mktemp("long")) as site:
        yield site


@pytest.fixture(scope="module")
def telephone(browser: Browser, site_of_long_names: FullSite) -> Iterator[tuple[object, Watch]]:
    """One window for all tests here: it only looks."""
    with watched(browser, site_of_long_names.open, PHONE) as (context, watch):
        yield context.new_page(), watch


def test_a_long_name_pushes_no_page_sideways_and_is_shown_by_most(
    telephone: tuple, site_of_long_names: FullSite
) -> None:
    page, watch = telephone
    showing, wide = set(), {}
    for one in SHOWING:
        watch.allow(one.status)
        go_to(page, site_of_long_names.path(one), one)
        wide[one.name] = wider_than_the_screen(page)
        if page.evaluate("(name) => document.documentElement.outerHTML.includes(name)", LONG[:100]):
            showing.add(one.name)
    watch.check()
    assert {name: faults for name, faults in wide.items() if faults} == {}
    folders = {"people", "yarns", "machines", "swatches", "designs", "notes"}
    assert showing >= {*folders, *(f"{kind}-one" for kind in folders)} | {
        "home",
        "plan",
        "pairs",
        "pair-begun",
        "deleted",
        "gauge",
        "exchange",
        "bench",
    }


def test_nor_does_what_was_just_done_to_it(devices: Devices, site_of_long_names: FullSite) -> None:
    with devices.lent(site_of_long_names.open, PHONE) as (_, _, page):
        page.goto(f"/yarns/{site_of_long_names.ids['spare']}")
        page.locator("form[action$='/delete'] button").press("Enter")
        expect(page.get_by_role("status")).to_contain_text(LONG)
        assert wider_than_the_screen(page) == []


def test_nor_are_lists_at_a_desk(browser: Browser, site_of_long_names: FullSite) -> None:
    with watched(browser, site_of_long_names.open, DESKTOP) as (context, _):
        page = context.new_page()
        for path in ("/people", "/yarns", "/swatches", "/notes", "/gauge", "/deleted", "/socks"):
            page.goto(path)
            assert wider_than_the_screen(page) == [], path
