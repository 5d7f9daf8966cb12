"""From the first visit to the printed sheet, as somebody who knows nothing of it would go."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.acts import STATION_PAIR, choose, drag, number
from browser.conftest import Visit, Visitor
from browser.pages import station_query
from browser.stage import DESKTOP, PHONE, WITHOUT_SCRIPT
from sheets.layout import text_of


def words_of_pdf(page: Page, link: str) -> str:
    """The text of a sheet behind a link on the page."""
    address = page.get_by_role("link", name=link).get_attribute("href")
    answer = page.request.get(address or "")
    assert answer.ok
    assert answer.headers["content-type"] == "application/pdf"
    return text_of(answer.body())


def keep_and_print(page: Page) -> None:
    """Keep the pair, and see that its crank sheet has what the page said."""
    said = {row: number(page, row) for row in ("Needles", "Leg", "Foot")}
    page.get_by_role("button", name="Save pair").click()
    expect(page).to_have_url(re.compile(r"/socks/[0-9a-f-]{36}$"))
    expect(page.get_by_role("status")).to_contain_text("Pair saved.")
    sheet = words_of_pdf(page, "Crank program: every step")
    assert "winch operator" in sheet
    for words in said.values():
        assert words.split()[0] in sheet.split()


@pytest.mark.parametrize("view", [DESKTOP, PHONE], ids=["desk", "telephone"])
def test_from_the_first_visit_to_the_printed_sheet(visit: Visit, view: Mapping[str, Any]) -> None:
    page = visit(view).page
    page.goto("/")
    expect(page.get_by_role("heading", name="Example: a mountain-rescue station")).to_be_visible()
    page.get_by_role("link", name="Plan a pair").first.click()
    expect(page.get_by_text("Still to choose:")).to_be_visible()
    choose(page, STATION_PAIR)
    expect(page.get_by_text("The steps work")).to_be_visible()
    assert number(page, "Needles") == "60"

    legs = number(page, "Leg")
    drag(page, "Height from the floor", "26")
    assert int(number(page, "Leg").split()[0]) > int(legs.split()[0])
    drag(page, "Height from the floor", "22")
    assert number(page, "Leg") == legs

    choose(page, {"Cylinder": "54 needles"})
    assert number(page, "Needles") == "54"
    choose(page, {"Cylinder": "60 needles"})
    keep_and_print(page)


def test_without_scripts_it_goes_the_same_way(visit: Visit) -> None:
    page = visit(WITHOUT_SCRIPT).page
    page.goto("/")
    page.get_by_role("link", name="Plan a pair").first.click()
    for label, option in STATION_PAIR.items():
        page.get_by_label(label, exact=True).select_option(label=option)
    page.get_by_role("button", name="Show the plan").click()
    expect(page.get_by_text("The steps work")).to_be_visible()
    assert number(page, "Needles") == "60"
    page.get_by_role("slider", name="Height from the floor").fill("26")
    legs = number(page, "Leg")
    page.get_by_role("button", name="Show the plan").click()
    assert int(number(page, "Leg").split()[0]) > int(legs.split()[0])
    keep_and_print(page)


def test_a_number_tells_where_it_comes_from(newcomer: Visitor) -> None:
    page = newcomer.page
    page.goto("/plan")
    choose(page, STATION_PAIR)
    asks = page.get_by_role("link", name="Where this comes from: Foot", exact=True)
    asks.click()
    told = page.get_by_role("dialog")
    expect(told).to_be_visible()
    expect(told).to_contain_text("foot length")
    expect(told).to_contain_text("What to measure next")
    page.keyboard.press("Escape")
    expect(told).to_be_hidden()
    expect(asks).to_be_focused()


def test_where_it_comes_from_is_told_without_the_library_that_opens_it(newcomer: Visitor) -> None:
    """A script that did not arrive takes no link away: it leads to its page."""
    page = newcomer.page
    page.route("**/htmx.js", lambda route: route.fulfill(body="", content_type="text/javascript"))
    page.goto(f"/plan?{station_query()}")
    page.get_by_role("link", name="Where this comes from: Foot", exact=True).click()
    expect(page).to_have_url(re.compile(r"/plan/why"))
    expect(page.locator("main")).to_contain_text("What to measure next")


def test_the_address_shows_the_same_plan_again(newcomer: Visitor) -> None:
    page = newcomer.page
    page.goto("/plan")
    choose(page, STATION_PAIR)
    drag(page, "Cuff, visible part", "5")
    shown = {row: number(page, row) for row in ("Needles", "Cuff", "Leg", "Foot")}
    page.goto(page.url)
    assert {row: number(page, row) for row in shown} == shown
