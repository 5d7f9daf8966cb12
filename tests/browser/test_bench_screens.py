"""More than one screen at a sock, and a workshop that asks for its pass-phrase again."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from browser.benches import arrived, counted, is_kept, kept, opened, press, shown, state
from browser.conftest import Visit
from browser.pages import PASS_PHRASE
from browser.stage import DESKTOP, ELSEWHERE, PHONE, watched
from sockwright.web.access.sessions import LoginSessions
from sockwright.web.app import make_site
from sockwright.workshop.workshop import Workshop
from web.sites import Served

IDLE_MS = 6000
"""Longer than a screen that only watches trusts what it shows."""
PASSES = "(ms) => { const now = performance.now(); performance.now = () => now + ms; }"
"""Time passes, by the page's own clock; it stands from then on."""
TIMERS = """
  const pending = window.pending = new Set();
  for (const [begin, stop] of [["setTimeout", "clearTimeout"],
      ["requestAnimationFrame", "cancelAnimationFrame"]]) {
    const [own, ownStop] = [window[begin], window[stop]];
    window[begin] = (then, ...more) => {
      const id = own((...given) => { pending.delete(id); then(...given); }, ...more);
      pending.add(id);
      return id;
    };
    window[stop] = (id) => { pending.delete(id); ownStop(id); };
  }
  window.setInterval = () => { throw new Error("it never rests"); };
"""
"""Knows what a page has to do later by itself."""


def up_to_date(page: Page, pair: str) -> None:
    """Open the bench, and wait until the workshop has answered it."""
    with page.expect_response("**/log") as answer:
        opened(page, pair)
    answer.value.finished()


@pytest.fixture
def screens(visit: Visit, shop: Workshop, pair: str) -> tuple[Page, Page]:
    """A tablet that counted seven, and a phone that only watched meanwhile."""
    tablet, phone = visit().page, visit(PHONE).page
    for page in (phone, tablet):
        up_to_date(page, pair)
    counted(tablet, 7)
    arrived(lambda: state(shop, pair).done == 7, tablet)
    phone.evaluate(PASSES, IDLE_MS)
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
    expect(phone.locator("#told")).to_have_text("Undone: 1 count.")
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
    """It has nothing to do later, and so it never asks by itself."""
    page = visit().page
    page.add_init_script(TIMERS)
    up_to_date(page, pair)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.wait_for_function("pending.size === 0")
    assert asked == []


def test_what_was_counted_while_the_workshop_was_asked_is_not_called_kept(
    visit: Visit, pair: str
) -> None:
    page = visit().page
    held: list[Route] = []
    page.route("**/log", lambda route: held.append(route))
    opened(page, pair)
    arrived(lambda: len(held) == 1, page)
    counted(page, 1)
    held.pop().continue_()
    arrived(lambda: len(held) == 1, page)  # asked anew, for what came meanwhile
    assert page.locator("#kept").get_attribute("data-kept") == "here"
    held.pop().continue_()
    is_kept(page)


def test_an_answer_that_comes_when_the_network_is_gone_is_not_called_saved(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    tablet, visitor = visit().page, visit()
    opened(tablet, pair)
    counted(tablet, 1)
    arrived(lambda: state(shop, pair).done == 1, tablet)
    phone = visitor.page
    held: list[Route] = []
    phone.route("**/log", lambda route: held.append(route))
    opened(phone, pair)
    arrived(lambda: len(held) == 1, phone)
    answer = held[0].fetch()
    visitor.context.set_offline(True)
    held[0].fulfill(response=answer)
    arrived(lambda: kept(phone) == 1, phone)
    assert phone.locator("#kept").get_attribute("data-kept") == "off"


def test_what_waits_behind_an_undo_is_kept_when_the_page_goes(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    """An undo asks first what others counted; a page that is left meanwhile loses no press."""
    page = visit().page
    held: list[Route] = []
    page.route("**/log", lambda route: held.append(route))
    opened(page, pair)
    counted(page, 3)
    press(page, ["Backspace", " ", " "])
    assert kept(page) == 3
    page.evaluate("dispatchEvent(new PageTransitionEvent('pagehide'))")
    assert kept(page) == 6
    page.unroute("**/log")
    page.reload()
    arrived(lambda: state(shop, pair).done == 4, page)
    assert [one.deed for one in shop.bench_log(pair, "first")] == ["count"] * 3 + ["undo"] + [
        "count"
    ] * 2


def test_an_entry_that_ended_is_asked_for_and_leads_back_to_the_count(
    visit: Visit, served: Served, shop: Workshop, pair: str
) -> None:
    served.app = make_site(shop, logins=LoginSessions(PASS_PHRASE))
    visitor = visit(PHONE)
    page = visitor.page
    page.goto(f"/socks/{pair}")
    enter(page)
    expect(page).to_have_url(re.compile(f"/socks/{pair}$"))
    opened(page, pair)
    page.keyboard.press("PageDown")
    is_kept(page)
    visitor.watch.allow(401)
    visitor.context.clear_cookies()
    counted(page, 3)
    expect(page.locator("#kept")).to_have_attribute("data-kept", "enter")
    page.locator("#kept").tap()
    page.locator("#state a[href*='/enter']").tap()
    enter(page)
    expect(page).to_have_url(re.compile(f"/socks/{pair}/bench/first$"))
    expect(page.locator("html")).to_have_class("ready")
    is_kept(page)
    assert kept(page) == state(shop, pair).done == 4


def enter(page: Page) -> None:
    page.get_by_label("Passphrase").fill(PASS_PHRASE)
    page.keyboard.press("Enter")


@pytest.fixture
def over_http(browser: Browser, shop: Workshop) -> Iterator[tuple[Page, Served]]:
    """A page over plain http from an address that is not this computer's own."""
    served = Served(make_site(shop, (ELSEWHERE,)))
    served.begin()
    with watched(browser, f"http://{ELSEWHERE}:{served.port}", DESKTOP) as (context, _):
        yield context.new_page(), served
    served.end()


def test_over_plain_http_it_counts_on_while_the_network_is_gone(
    over_http: tuple[Page, Served], shop: Workshop, pair: str
) -> None:
    page, served = over_http
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
    counted(page, 5)
    expect(page.locator("#kept")).to_have_attribute("data-kept", "off")
    assert kept(page) == 6
    served.begin()
    page.keyboard.press("PageDown")
    arrived(lambda: state(shop, pair).done == 7, page)
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    is_kept(page)
    assert kept(page) == 7
