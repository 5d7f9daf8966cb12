"""What is kept can be added, changed, deleted, printed and taken in without a mouse."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from browser.acts import SETTLED
from browser.conftest import Visitor
from browser.pages import station_query
from browser.test_keyboard import tab_to
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.workshop import Workshop

KEPT = re.compile(r"/[a-z]+/[0-9a-f-]{36}$")


def write(page: Page, name: str, text: str) -> None:
    """Go to a field of the form and type."""
    tab_to(page, page.locator(f'#form [name="{name}"]'))
    page.keyboard.type(text)


def press(page: Page, button: str) -> None:
    """Go to a button and press it."""
    tab_to(page, page.get_by_role("button", name=button, exact=True))
    page.keyboard.press("Enter")


def test_a_machine_with_its_cylinders_is_added(newcomer: Visitor, shop: Workshop) -> None:
    page = newcomer.page
    page.goto("/machines")
    tab_to(page, page.locator("main a[href='/machines/new']").first)
    page.keyboard.press("Enter")
    page.wait_for_url("**/machines/new")
    write(page, "name", "the hut's machine")
    turns = page.locator("#form [name=turns]")
    tab_to(page, turns)
    while turns.input_value() != "carrier":
        page.keyboard.press("ArrowDown")
    for row in (1, 2, 3):
        if row > 1:
            press(page, "One more cylinder")
            expect(page.locator(f'[name="cylinders[{row}].needles"]')).to_be_focused()
            page.keyboard.type(str(48 + 12 * row))
        else:
            write(page, "cylinders[1].needles", "60")
    tab_to(page, page.locator('[name=less][value="cylinders[2]"]'))
    page.keyboard.press("Space")
    expect(page.locator('[name="cylinders[3].needles"]')).to_have_count(0)
    page.wait_for_function(SETTLED)
    tab_to(page, page.locator("#form button.main"))
    page.keyboard.press("Enter")
    expect(page).to_have_url(KEPT)
    (made,) = [one for one in shop.things(ItemKind.MACHINE) if one.name == "the hut's machine"]
    assert made.document["cylinders"] == [60, 84]


@pytest.fixture
def grey(shop: Workshop) -> Thing:
    """A yarn of the station."""
    return next(one for one in shop.things(ItemKind.YARN) if one.name == "grey boot-sock wool")


def test_a_change_and_a_deletion_are_made_and_taken_back(
    newcomer: Visitor, shop: Workshop, grey: Thing
) -> None:
    page = newcomer.page
    page.goto(f"/yarns/{grey.id}")
    write(page, "on_hand", "310 g")
    press(page, "Save changes")
    expect(page.get_by_role("status")).to_contain_text("is changed.")
    assert shop.thing(ItemKind.YARN, grey.id).document["on_hand"] == "310 g"
    press(page, "Undo")
    expect(page.locator("#form [name=on_hand]")).to_have_value("400 g")

    press(page, "Delete")
    expect(page.get_by_role("status")).to_be_visible()
    assert grey.id not in {one.id for one in shop.things(ItemKind.YARN)}
    press(page, "Undo")
    expect(page).to_have_url(KEPT)
    assert grey.id in {one.id for one in shop.things(ItemKind.YARN)}


def test_a_pair_is_printed_and_its_order_taken_in_again(newcomer: Visitor, shop: Workshop) -> None:
    page = newcomer.page
    page.goto(f"/plan?{station_query()}")
    press(page, "Save pair")
    expect(page).to_have_url(KEPT)
    pair = page.url.rpartition("/")[2]
    tab_to(page, page.get_by_role("link", name="Crank program: every step"))
    # The browser shows a PDF with pages of its own; here it is asked for, and that is all.
    page.route("**/crank.pdf", lambda route: route.fulfill(status=204))
    with page.expect_request("**/crank.pdf") as asked:
        page.keyboard.press("Enter")
    assert page.request.get(asked.value.url).headers["content-type"] == "application/pdf"

    page.goto("/exchange")
    tab_to(page, page.get_by_label("or its text"))
    page.keyboard.insert_text(f'title = "Again"\n{shop.export_order(pair)}')
    press(page, "Import order")
    expect(page.get_by_role("status")).to_be_visible()
    assert "Again" in {one.name for one in shop.things(ItemKind.SOCK)}
