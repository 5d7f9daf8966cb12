"""A pair on the bench: begun, written about, made; deleted and put back; two windows at once."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import Visit, Visitor
from browser.pages import station_query
from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop


@pytest.fixture
def pair(newcomer: Visitor) -> Page:
    """A pair that was just kept, with its page open."""
    page = newcomer.page
    page.goto(f"/plan?{station_query()}")
    page.get_by_role("button", name="Save pair").click()
    expect(page).to_have_url(re.compile(r"/socks/[0-9a-f-]{36}$"))
    return page


def write_down(page: Page, words: str) -> None:
    """Write what happened into the log."""
    page.locator("#log-note").fill(words)
    page.get_by_role("button", name="Add note").click()


def test_it_is_begun_written_about_and_made(pair: Page, shop: Workshop) -> None:
    pair.get_by_role("button", name="Begin pair").click()
    write_down(pair, "The cuff hangs well.")
    expect(pair.locator(".log")).to_contain_text("The cuff hangs well.")

    pair.locator("#finish + details > summary").click()
    pair.get_by_role("textbox", name="grey boot-sock wool").fill("328 g")
    pair.get_by_role("group", name="How long is the foot?").get_by_label("just right").check()
    # What is folded is opened by its heading, and sent with the rest.
    pair.get_by_text("What was knitted otherwise than planned").click()
    pair.get_by_label("Rounds of the foot").fill("51")
    pair.get_by_role("button", name="Finish pair").click()
    expect(pair.get_by_role("status")).to_be_visible()
    expect(pair.locator("dl.values dd strong").first).to_have_text("finished")
    grey = next(one for one in shop.things(ItemKind.YARN) if one.name == "grey boot-sock wool")
    assert grey.document["on_hand"] == "328 g"
    made = next(
        one for one in shop.things(ItemKind.SOCK) if one.fields["left"] == {"main": "328 g"}
    )
    assert made.fields["measured"]["answers"] == {"length": "right"}
    assert made.fields["measured"]["foot_rounds"] == 51


def test_what_is_wrong_is_named_and_what_was_typed_stays(newcomer: Visitor, pair: Page) -> None:
    newcomer.watch.allow(422)
    pair.get_by_role("button", name="Begin pair").click()
    pair.get_by_label("Rounds so far").fill("a good few")
    write_down(pair, "Lost count.")
    summary = pair.get_by_role("alert")
    expect(summary).to_be_visible()
    summary.get_by_role("link").click()
    field = pair.get_by_label("Rounds so far")
    expect(field).to_be_focused()
    expect(field).to_have_value("a good few")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(pair.locator("#log-note")).to_have_value("Lost count.")


def test_a_deletion_is_taken_back(pair: Page, shop: Workshop) -> None:
    address = pair.url
    before = {one.id for one in shop.things(ItemKind.SOCK)}
    pair.get_by_role("button", name="Delete this pair").click()
    assert len(shop.things(ItemKind.SOCK)) == len(before) - 1
    pair.get_by_role("button", name="Undo").click()
    assert {one.id for one in shop.things(ItemKind.SOCK)} == before
    pair.goto(address)
    expect(pair.get_by_role("button", name="Delete this pair")).to_be_visible()


def test_two_windows_lose_nothing_of_each_other(
    newcomer: Visitor, pair: Page, shop: Workshop
) -> None:
    pair.get_by_role("button", name="Begin pair").click()
    other = newcomer.context.new_page()
    other.goto(pair.url)
    write_down(other, "Written in the other window.")
    expect(other.locator(".log")).to_contain_text("Written in the other window.")

    newcomer.watch.allow(409)
    write_down(pair, "Written in this one.")
    expect(pair.get_by_role("alert")).to_contain_text("Changed by someone else")
    expect(pair.locator(".log")).to_contain_text("Written in the other window.")
    expect(pair.locator("#log-note")).to_have_value("Written in this one.")
    pair.get_by_role("button", name="Add note").click()
    for words in ("Written in the other window.", "Written in this one."):
        expect(pair.locator(".log")).to_contain_text(words)
    log = next(one for one in shop.things(ItemKind.SOCK) if not one.example).fields["log"]
    assert [entry["note"] for entry in log] == [
        "Written in the other window.",
        "Written in this one.",
    ]


def test_another_device_that_keeps_a_pair_is_not_mixed_up(visit: Visit, shop: Workshop) -> None:
    before = len(shop.things(ItemKind.SOCK))
    windows = [visit().page for _ in range(2)]
    for page in windows:
        page.goto(f"/plan?{station_query()}")
    for page in windows:
        page.get_by_role("button", name="Save pair").click()
        expect(page).to_have_url(re.compile(r"/socks/[0-9a-f-]{36}$"))
    assert windows[0].url != windows[1].url
    assert len(shop.things(ItemKind.SOCK)) == before + 2
