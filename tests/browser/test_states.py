"""What a page looks like once something was done on it, looked at by axe-core: what is opened,
refused, told, and all of it in German."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import Visit
from browser.pages import PAGES, FullSite
from browser.stage import DESKTOP, GERMAN, PHONE, go_to
from browser.test_pages import small_targets, violations, wider_than_the_screen
from sockwright.store.things import Kind
from sockwright.workshop.workshop import Workshop

BY_NAME = {one.name: one for one in PAGES}
DARK_PHONE: Mapping[str, Any] = {**PHONE, "color_scheme": "dark"}
GERMAN_PHONE: Mapping[str, Any] = {**PHONE, "locale": "de-DE"}
EITHER = pytest.mark.parametrize("view", [DESKTOP, DARK_PHONE], ids=["desk", "dark phone"])

OPEN_ALL = """() => {
  const folded = [...document.querySelectorAll("main details:not([open])")];
  for (const one of folded) { one.removeAttribute("name"); one.open = true; }
  return folded.length;
}"""
"""Opens all that is folded on a page; how much that was."""


def assert_open_to_everybody(page: Page, view: Mapping[str, Any]) -> None:
    """Nothing is wrong with a page as it stands."""
    found = {"axe": violations(page)}
    if view.get("is_mobile"):
        found["wide"] = wider_than_the_screen(page)
        found["small"] = small_targets(page)
    assert {what: faults for what, faults in found.items() if faults} == {}


FOLDED = (
    "plan",
    "plan-not-proven",
    "plan-two-feet",
    "people-one",
    "pair-planned",
    "pair-begun",
    "pair-made",
)
"""Pages that keep something folded."""


@pytest.mark.parametrize("name", FOLDED)
def test_all_that_is_folded(visit: Visit, full_site: FullSite, name: str) -> None:
    page = visit(DARK_PHONE, full_site.open).page
    go_to(page, full_site.path(BY_NAME[name]), BY_NAME[name])
    assert page.evaluate(OPEN_ALL)
    assert_open_to_everybody(page, DARK_PHONE)


@EITHER
def test_an_explanation(visit: Visit, full_site: FullSite, view: Mapping[str, Any]) -> None:
    page = visit(view, full_site.open).page
    go_to(page, full_site.path(BY_NAME["plan"]), BY_NAME["plan"])
    page.get_by_role("link", name="Where this comes from: Leg", exact=True).click()
    expect(page.get_by_role("dialog")).to_be_visible()
    assert_open_to_everybody(page, view)


@EITHER
def test_what_was_changed_meanwhile_and_what_was_done(
    visit: Visit, shop: Workshop, view: Mapping[str, Any]
) -> None:
    visitor = visit(view)
    visitor.watch.allow(409)
    yarn = shop.things(Kind.YARN)[0]
    page = visitor.page
    page.goto(f"/yarns/{yarn.id}")
    shop.change(Kind.YARN, yarn.id, yarn.version, {**yarn.document, "colour": "rust"})
    page.locator("#form [name=colour]").fill("slate")
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert_open_to_everybody(page, view)

    page.goto(f"/yarns/{yarn.id}")
    page.locator("#form [name=on_hand]").fill("120 g")
    page.locator("#form button.main").click()
    expect(page.get_by_role("status")).to_be_visible()
    assert_open_to_everybody(page, view)


@pytest.mark.parametrize("folder", ["people", "machines", "swatches", "designs"])
def test_a_form_with_errors(visit: Visit, full_site: FullSite, folder: str) -> None:
    visitor = visit(DARK_PHONE, full_site.open)
    visitor.watch.allow(422)
    page = visitor.page
    page.goto(f"/{folder}/new")
    for field in page.locator("#form input[type=text]").all():
        if field.is_visible():
            field.fill("no such thing \N{REPLACEMENT CHARACTER}")
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert page.locator("[aria-invalid=true]").count()
    assert_open_to_everybody(page, DARK_PHONE)


def test_no_page_is_wider_in_german(visit: Visit, full_site: FullSite) -> None:
    visitor = visit(GERMAN_PHONE, full_site.open)
    wide = {}
    for one in PAGES:
        if not one.outside:
            visitor.watch.allow(one.status)
            go_to(visitor.page, full_site.path(one), one)
            assert visitor.page.locator("html").get_attribute("lang") == "de"
            wide[one.name] = wider_than_the_screen(visitor.page)
    assert {name: faults for name, faults in wide.items() if faults} == {}


@pytest.mark.parametrize("name", ["home", "plan", "machines-one", "pair-begun", "bench"])
def test_in_german(visit: Visit, full_site: FullSite, name: str) -> None:
    page = visit(GERMAN, full_site.open).page
    go_to(page, full_site.path(BY_NAME[name]), BY_NAME[name])
    assert_open_to_everybody(page, GERMAN)
