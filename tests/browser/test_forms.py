"""Forms in the browser: an offer goes into its field, and typed text is not left without asking."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Dialog, Page, expect

from browser.conftest import Visit, Visitor
from browser.stage import DESKTOP, WITHOUT_SCRIPT
from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop

INCHES = {"name": "sockwright_preferences", "value": "language=en&units=in"}


@pytest.mark.parametrize("view", [DESKTOP, WITHOUT_SCRIPT], ids=["desk", "without scripts"])
def test_an_offer_is_taken_into_its_field(
    visit: Visit, shop: Workshop, view: Mapping[str, Any]
) -> None:
    visitor = visit(view)
    visitor.watch.allow(422)
    page = visitor.page
    page.goto("/people/new")
    page.context.add_cookies([{**INCHES, "url": page.url}])
    page.locator("[name='wearer.name']").fill("cook")
    page.locator("[name='foot.length']").fill("9.75")
    page.locator("[name='foot.ball_girth']").fill("8.9")
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_contain_text("did you mean 9.75 in?")
    page.get_by_role("button", name="Use 9.75 in").click()
    expect(page.locator("[name='foot.length']")).to_have_value("9.75 in")
    expect(page.locator("[name='foot.ball_girth']")).to_have_value("8.9")
    if view is DESKTOP:
        expect(page.locator("[name='foot.length']")).to_be_focused()
        page.get_by_role("button", name="Use 8.9 in").click()
    else:
        page.locator("[name='foot.ball_girth']").fill("8.9 in")
    page.locator("#form button.main").click()
    expect(page.get_by_role("status")).to_contain_text("is saved.")
    cook = next(one for one in shop.things(ItemKind.PERSON) if one.name == "cook")
    assert cook.document["foot"] == {"length": "9.75 in", "ball_girth": "8.9 in"}


@pytest.fixture
def asked(newcomer: Visitor) -> list[str]:
    """What the browser asks; the answer is always to stay."""
    questions: list[str] = []

    def stay(dialog: Dialog) -> None:
        questions.append(dialog.type)
        dialog.dismiss()

    newcomer.page.on("dialog", stay)
    return questions


def type_in(page: Page, name: str, text: str) -> None:
    """Type as a hand does: browsers ask nobody who did nothing on the page."""
    field = page.locator(f"#form [name='{name}']")
    field.click()
    field.press_sequentially(text)


def test_leaving_typed_text_by_a_link_is_asked(newcomer: Visitor, asked: list[str]) -> None:
    page = newcomer.page
    page.goto("/people/new")
    type_in(page, "wearer.name", "cook")
    with page.expect_event("dialog"):
        page.get_by_role("link", name="Yarns").click(no_wait_after=True)
    assert asked == ["beforeunload"]
    expect(page).to_have_url("/people/new")
    expect(page.locator("#form [name='wearer.name']")).to_have_value("cook")


def test_leaving_what_did_not_change_is_not_asked(newcomer: Visitor, asked: list[str]) -> None:
    page = newcomer.page
    page.goto("/machines/new")
    type_in(page, "name", "x")
    page.locator("#form [name=name]").press("Backspace")
    page.get_by_role("button", name="One more cylinder").click()
    expect(page.locator("#form [name='cylinders[1].needles']")).to_be_focused()
    page.get_by_role("link", name="Yarns").click()
    expect(page).to_have_url("/yarns")
    assert asked == []


def test_keeping_is_not_asked_but_leaving_what_came_back_is(
    newcomer: Visitor, asked: list[str]
) -> None:
    newcomer.watch.allow(422)
    page = newcomer.page
    page.goto("/people/new")
    type_in(page, "wearer.name", "cook")
    type_in(page, "foot.length", "long")
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_be_visible()
    assert asked == []
    page.get_by_role("link", name="Skip to content").focus()
    with page.expect_event("dialog"):
        page.get_by_role("link", name="Yarns").click(no_wait_after=True)
    assert asked == ["beforeunload"]
    page.locator("#form [name='foot.length']").fill("25 cm")
    page.locator("#form button.main").click()
    expect(page.get_by_role("status")).to_contain_text("is saved.")
    assert asked == ["beforeunload"]


def test_deleting_while_something_is_typed_is_asked(
    newcomer: Visitor, shop: Workshop, asked: list[str]
) -> None:
    page = newcomer.page
    yarn = shop.things(ItemKind.YARN)[0]
    page.goto(f"/yarns/{yarn.id}")
    type_in(page, "colour", "x")
    with page.expect_event("dialog"):
        page.get_by_role("button", name="Delete").click(no_wait_after=True)
    assert asked == ["beforeunload"]
    assert yarn.id in {one.id for one in shop.things(ItemKind.YARN)}
