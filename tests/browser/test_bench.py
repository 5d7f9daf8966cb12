"""A sock counted in a real browser, beat by beat, with all that happens to a tablet meanwhile."""

from __future__ import annotations

import json
import random
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from browser.conftest import Visit
from browser.stage import PHONE
from sockwright.bench.beats import sock_of
from sockwright.bench.log import State, state_of
from sockwright.store.things import Kind
from sockwright.workshop import Planned
from sockwright.workshop.bench_log import FIRST, SECOND
from sockwright.workshop.workshop import Workshop
from web.sites import Served

SETTINGS = "sockwright:bench:settings"
QUICK = json.dumps({"debounce": 0, "sound": False})
"""Keys pressed by a program come faster than any hand's."""


@pytest.fixture
def pair(shop: Workshop) -> str:
    """The id of the example's boot socks."""
    return next(one.id for one in shop.things(Kind.SOCK) if one.name.startswith("Boot"))


def beats_of(shop: Workshop, pair: str, which: str = FIRST) -> int:
    planned = shop.plan_at_bench(pair, which)
    assert isinstance(planned, Planned)
    return len(sock_of(planned.plan).beats)


def state(shop: Workshop, pair: str, which: str = FIRST) -> State:
    return state_of(shop.bench_log(pair, which), beats_of(shop, pair, which))


def opened(page: Page, pair: str, which: str = FIRST) -> None:
    """The bench of a sock, ready to count, and kept for the time without a network."""
    page.add_init_script(f"localStorage.setItem({SETTINGS!r}, {QUICK!r})")
    page.goto(f"/socks/{pair}/bench/{which}")
    expect(page.locator("html")).to_have_class("ready")
    expect(page.locator("html")).to_have_attribute("data-offline", "ready")


def arrived(check: Callable[[], bool], page: Page) -> None:
    """Wait until something is so in the workshop."""
    for _ in range(100):
        if check():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it never came to the workshop")


def test_a_whole_sock_comes_to_the_end_whatever_happens(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    visitor = visit()
    page, chance = visitor.page, random.Random(1)
    opened(page, pair)
    beats = beats_of(shop, pair)
    done, offline = 0, False
    while done < beats:
        page.keyboard.press(chance.choice([" ", "PageDown", "Enter"]))
        done += 1
        if chance.random() < 0.05:
            back = min(chance.randint(1, 3), done)
            for _ in range(back):
                page.keyboard.press("Backspace")
            done -= back
        if chance.random() < 0.03:
            offline = not offline
            visitor.context.set_offline(offline)
        if chance.random() < 0.03:
            page.reload()
            expect(page.locator("html")).to_have_class("ready")
    visitor.context.set_offline(False)
    page.reload()
    arrived(lambda: state(shop, pair).done == beats, page)
    program = shop.plan_at_bench(pair, FIRST)
    knitted = shop.as_knitted(pair, FIRST)
    assert isinstance(program, Planned)
    assert isinstance(knitted, Planned)
    assert knitted.plan.program == program.plan.program
    assert knitted.plan.dry_run.ok


def test_the_page_opens_and_counts_while_the_workshop_is_gone(
    visit: Visit, served: Served, shop: Workshop, pair: str
) -> None:
    page = visit().page
    opened(page, pair)
    page.keyboard.press(" ")
    arrived(lambda: state(shop, pair).done == 1, page)
    served.end()
    for _ in range(4):
        page.keyboard.press(" ")
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    page.keyboard.press(" ")
    assert state(shop, pair).done == 1
    served.begin()
    arrived(lambda: state(shop, pair).done == 6, page)


def test_two_devices_on_one_sock_agree_and_lose_nothing(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    tablet, phone = visit(), visit(PHONE)
    for device in (tablet, phone):
        opened(device.page, pair)
    phone.context.set_offline(True)
    for _ in range(7):
        tablet.page.keyboard.press(" ")
    for _ in range(5):
        phone.page.keyboard.press(" ")
    arrived(lambda: state(shop, pair).done == 7, tablet.page)
    phone.context.set_offline(False)
    arrived(lambda: state(shop, pair).done == 12, phone.page)
    tablet.page.reload()
    expect(tablet.page.locator("html")).to_have_class("ready")
    for what in ("#do", "#place", "#count"):
        said = tablet.page.locator(what).text_content()
        expect(phone.page.locator(what)).to_have_text(str(said))


def test_undo_goes_back_to_the_very_beginning(visit: Visit, shop: Workshop, pair: str) -> None:
    page = visit().page
    opened(page, pair)
    first = page.locator("#do").text_content()
    for _ in range(12):
        page.keyboard.press("PageDown")
    assert page.locator("#do").text_content() != first
    page.reload()
    for _ in range(15):
        page.keyboard.press("Backspace")
    expect(page.locator("#do")).to_have_text(str(first))
    arrived(lambda: len(shop.bench_log(pair, FIRST)) == 24, page)
    assert state(shop, pair).done == 0


def test_the_second_sock_follows_what_the_first_was(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    page = visit().page
    opened(page, pair)
    for _ in range(40):
        page.keyboard.press(" ")
    page.get_by_role("button", name="Menu").click()
    page.get_by_role("button", name="I knitted more or fewer").click()
    page.locator("#extra-where").select_option(index=0)
    page.locator("#extra-plus").click()
    page.locator("#extra-form").locator("button.main").click()
    arrived(lambda: bool(state(shop, pair).extra), page)
    assert beats_of(shop, pair, SECOND) == beats_of(shop, pair) + 2


def test_a_finger_counts_anywhere_on_a_phone(visit: Visit, shop: Workshop, pair: str) -> None:
    page = visit(PHONE).page
    opened(page, pair)
    page.locator("#one").tap()
    page.locator("#do").tap()
    arrived(lambda: state(shop, pair).done == 2, page)
    for button in page.locator("button:visible").all():
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 44, button.text_content()
