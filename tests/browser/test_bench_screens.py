"""More than one screen at a sock, and a workshop that asks for its pass-phrase again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.benches import arrived, kept, opened, shown, state
from browser.conftest import Visit
from browser.pages import PASS_PHRASE
from browser.stage import DESKTOP, PHONE, SHORT_OF_TIME_MS, Watch, watched
from sockwright.web.app import make_site
from sockwright.web.door import Door
from sockwright.workshop.workshop import Workshop
from web import sites
from web.sites import Served

IDLE_MS = 5300
"""Until a screen that only watches no longer trusts what it shows."""
ELSEWHERE = "192.0.2.2"
"""An address kept for examples: to a browser as insecure as any in a network."""


@pytest.fixture
def screens(visit: Visit, shop: Workshop, pair: str) -> tuple[Page, Page]:
    """A tablet that counted seven, and a phone that only watched meanwhile."""
    tablet, phone = visit().page, visit(PHONE).page
    for page in (tablet, phone):
        opened(page, pair)
    phone.wait_for_timeout(IDLE_MS)
    for _ in range(7):
        tablet.keyboard.press("PageDown")
    arrived(lambda: state(shop, pair).done == 7, tablet)
    assert shown(tablet) != shown(phone)
    return tablet, phone


def test_a_screen_that_watched_is_brought_up_to_date_by_a_touch(
    screens: tuple[Page, Page],
) -> None:
    tablet, phone = screens
    phone.locator("header [data-open=menu]").tap()
    expect(phone.locator("#where")).to_have_text(str(tablet.locator("#where").text_content()))
    assert shown(phone) == shown(tablet)


@pytest.mark.parametrize("by", ["key", "finger"])
def test_undo_on_a_screen_that_watched_takes_the_last_count_back(
    screens: tuple[Page, Page], shop: Workshop, pair: str, by: str
) -> None:
    _, phone = screens
    if by == "key":
        phone.keyboard.press("Backspace")
    else:
        phone.locator("#undo").tap(force=True)
    expect(phone.locator("#told")).to_have_text("Taken back: 1 count.")
    arrived(lambda: state(shop, pair).done == 6, phone)


def test_deeds_on_a_screen_that_watched_keep_their_order(
    screens: tuple[Page, Page], shop: Workshop, pair: str
) -> None:
    _, phone = screens
    for key in ("Backspace", "PageDown", "PageDown"):
        phone.keyboard.press(key)
    arrived(lambda: state(shop, pair).done == 8, phone)
    assert [one.by for one in shop.bench_log(pair, "first")] == [1] * 7 + [0, 1, 1]


def test_a_screen_that_nobody_touches_asks_for_nothing(visit: Visit, pair: str) -> None:
    page = visit().page
    opened(page, pair)
    page.wait_for_timeout(1500)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.wait_for_timeout(IDLE_MS)
    assert asked == []


def test_an_entry_that_ended_is_asked_for_and_leads_back_to_the_count(
    browser: Browser, shop: Workshop, pair: str
) -> None:
    with (
        sites.serving(shop, Door(PASS_PHRASE)) as served,
        watched(browser, served.address, PHONE) as (context, watch),
    ):
        page = context.new_page()
        page.goto(f"/socks/{pair}")
        enter(page)
        expect(page).to_have_url(re.compile(f"/socks/{pair}$"))
        opened(page, pair)
        page.keyboard.press("PageDown")
        expect(page.locator("#kept")).to_have_text("kept")
        watch.allow(401)
        context.clear_cookies()
        for _ in range(3):
            page.keyboard.press("PageDown")
        expect(page.locator("#kept")).to_have_text("pass-phrase")
        page.locator("#kept").tap()
        panel = page.locator("#state")
        expect(panel).to_contain_text("asks for its pass-phrase again")
        panel.get_by_role("link", name="Give the pass-phrase").tap()
        enter(page)
        expect(page).to_have_url(re.compile(f"/socks/{pair}/bench/first$"))
        expect(page.locator("html")).to_have_class("ready")
        expect(page.locator("#kept")).to_have_text("kept")
        assert kept(page) == state(shop, pair).done == 4


def enter(page: Page) -> None:
    page.get_by_label("Pass-phrase").fill(PASS_PHRASE)
    page.keyboard.press("Enter")


@pytest.fixture
def over_http(browser: Browser, shop: Workshop) -> Iterator[tuple[Page, Watch, Served]]:
    """A page over plain http from an address that is not this computer's own."""
    served = Served(make_site(shop, (ELSEWHERE,)))
    served.begin()
    rules = f"--host-resolver-rules=MAP {ELSEWHERE} 127.0.0.1"
    own = browser.browser_type.launch(
        executable_path=browser_path(), args=["--no-sandbox", "--disable-gpu", rules]
    )
    origin = f"http://{ELSEWHERE}:{served.port}"
    with watched(own, origin, DESKTOP) as (context, watch):
        context.set_default_timeout(SHORT_OF_TIME_MS)
        yield context.new_page(), watch, served
    own.close()
    served.end()


def browser_path() -> Path:
    from browsers import find_browser

    path = find_browser()
    assert path is not None
    return path


def test_over_plain_http_it_counts_on_while_the_network_is_gone(
    over_http: tuple[Page, Watch, Served], shop: Workshop, pair: str
) -> None:
    page, _, served = over_http
    opened(page, pair)
    assert page.evaluate("isSecureContext") is False
    page.locator("header [data-open=menu]").click()
    page.locator("#menu [data-open=settings]").click()
    expect(page.locator("#awake-none")).to_be_visible()
    expect(page.locator("#set-awake")).to_be_disabled()
    page.locator("#settings [data-close]").click()
    page.keyboard.press("PageDown")
    arrived(lambda: state(shop, pair).done == 1, page)
    served.end()
    for _ in range(5):
        page.keyboard.press("PageDown")
    expect(page.locator("#kept")).to_have_text("no network")
    assert kept(page) == 6
    served.begin()
    page.keyboard.press("PageDown")
    arrived(lambda: state(shop, pair).done == 7, page)
    page.reload()
    expect(page.locator("#kept")).to_have_text("kept")
    assert kept(page) == 7
