"""What a page looks like once something was done on it, looked at by axe-core: what is opened,
refused, told, and all of it in German."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import Visit
from browser.pages import PAGES, FullSite
from browser.stage import DESKTOP, PHONE, go_to
from browser.test_pages import small_targets, violations, wider_than_the_screen
from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop

BY_NAME = {one.name: one for one in PAGES}
DARK_PHONE: Mapping[str, Any] = {**PHONE, "color_scheme": "dark"}
GERMAN_PHONE: Mapping[str, Any] = {**PHONE, "locale": "de-DE"}
BOTH = (DARK_PHONE, DESKTOP)
READ_IN_GERMAN = ("home", "plan", "machines-one", "pair-begun", "bench")

FILL_ALL = """() => {
  for (const one of document.querySelectorAll("#form input[type=text]")) {
    if (one.checkVisibility()) one.value = "no such thing \\ufffd";
  }
}"""


def assert_open_to_everybody(page: Page, *views: Mapping[str, Any]) -> None:
    """Nothing is wrong with a page as it stands, in any of these views."""
    found: dict[str, Any] = {}
    for view in views:
        page.set_viewport_size(view["viewport"])
        page.emulate_media(color_scheme=view.get("color_scheme", "light"))
        found[f"axe {view}"] = violations(page)
        if view.get("is_mobile"):
            found[f"wide {view}"] = wider_than_the_screen(page)
            found[f"small {view}"] = small_targets(page)
    assert {what: faults for what, faults in found.items() if faults} == {}


def test_an_explanation(visit: Visit, full_site: FullSite) -> None:
    page = visit(DARK_PHONE, full_site.open).page
    go_to(page, full_site.path(BY_NAME["plan"]), BY_NAME["plan"])
    page.get_by_role("link", name="Where this comes from: Leg", exact=True).click()
    expect(page.get_by_role("dialog")).to_be_visible()
    assert_open_to_everybody(page, *BOTH)


def test_what_was_changed_meanwhile_and_what_was_done(visit: Visit, shop: Workshop) -> None:
    visitor = visit(DARK_PHONE)
    visitor.watch.allow(409)
    yarn = shop.things(ItemKind.YARN)[0]
    page = visitor.page
    page.goto(f"/yarns/{yarn.id}")
    shop.change(ItemKind.YARN, yarn.id, yarn.version, {**yarn.document, "colour": "rust"})
    page.locator("#form [name=colour]").fill("slate")
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert_open_to_everybody(page, *BOTH)

    page.goto(f"/yarns/{yarn.id}")
    page.locator("#form [name=on_hand]").fill("120 g")
    page.locator("#form button.main").click()
    expect(page.get_by_role("status")).to_be_visible()
    assert_open_to_everybody(page, *BOTH)


@pytest.mark.parametrize("folder", ["people", "machines", "swatches", "designs"])
def test_a_form_with_errors(visit: Visit, full_site: FullSite, folder: str) -> None:
    visitor = visit(DARK_PHONE, full_site.open)
    visitor.watch.allow(422)
    page = visitor.page
    page.goto(f"/{folder}/new")
    page.evaluate(FILL_ALL)
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert page.locator("[aria-invalid=true]").count()
    assert_open_to_everybody(page, DARK_PHONE)


def test_all_pages_in_german(visit: Visit, full_site: FullSite) -> None:
    visitor = visit(GERMAN_PHONE, full_site.open)
    found = {}
    for one in PAGES:
        if not one.outside:
            visitor.watch.allow(one.status)
            go_to(visitor.page, full_site.path(one), one)
            assert visitor.page.locator("html").get_attribute("lang") == "de"
            found[one.name] = wider_than_the_screen(visitor.page)
            if one.name in READ_IN_GERMAN:
                visitor.page.set_viewport_size(DESKTOP["viewport"])
                found[f"{one.name} at a desk"] = violations(visitor.page)
                visitor.page.set_viewport_size(PHONE["viewport"])
    assert {name: faults for name, faults in found.items() if faults} == {}
