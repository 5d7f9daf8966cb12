"""Numbers come first: drawings and program follow, and never stand under newer numbers."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Page, Route, expect

from browser.acts import SETTLED, STATION_PAIR, number
from browser.conftest import Visit, Visitor
from browser.pages import station_query
from browser.stage import DESKTOP

HEIGHT = "Height from the floor"
DRAWINGS = "**/plan/drawings?*"
FRAMES = 1_000
"""How long a request is waited for, in frames of the screen; a few are enough."""


class Line:
    """Holds the requests for drawings back until they are let go."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._held: list[Route] = []
        page.route(DRAWINGS, lambda route: self._held.append(route))

    def held(self) -> Route:
        """The next request that is held, once it is there."""
        for _ in range(FRAMES):
            if self._held:
                break
            self._page.evaluate("() => new Promise(requestAnimationFrame)")
        return self._held.pop(0)


@pytest.fixture
def page(newcomer: Visitor) -> Page:
    """A pair of the station on the planning page."""
    newcomer.page.goto(f"/plan?{station_query()}")
    return newcomer.page


@pytest.fixture
def line(page: Page) -> Iterator[Line]:
    """Every request for drawings is held."""
    yield Line(page)
    page.unroute(DRAWINGS)


def move(page: Page, value: str) -> None:
    """Move the height's slider and wait for its numbers, not for the drawings."""
    page.get_by_label(HEIGHT, exact=True).fill(value)
    page.wait_for_function(
        "value => document.querySelector('#result table.numbers') &&"
        " new URLSearchParams(location.search).get('leg.height') === value",
        arg=f"{value} cm",
    )


def asked_for(route: Route) -> str:
    """The height that drawings were asked for of."""
    return parse_qs(urlsplit(route.request.url).query)["leg.height"][0]


def seen_height(page: Page) -> str:
    """What the drawing of the sock tells of its height."""
    return page.locator("#drawings .profile svg").text_content() or ""


def test_numbers_stand_before_their_drawings_and_the_last_ones_stay_meanwhile(
    page: Page, line: Line
) -> None:
    before = seen_height(page)
    assert before
    legs = number(page, "Leg")
    move(page, "28")
    assert number(page, "Leg") != legs
    held = line.held()
    assert page.locator("#drawings").get_attribute("aria-busy") == "true"
    assert seen_height(page) == before
    held.continue_()
    page.wait_for_function(SETTLED)
    assert seen_height(page) != before


def test_a_late_drawing_never_stands_under_newer_numbers(page: Page, line: Line) -> None:
    move(page, "28")
    early = line.held()
    move(page, "20")
    late = line.held()
    assert (asked_for(early), asked_for(late)) == ("28 cm", "20 cm")
    late.continue_()
    page.wait_for_function(SETTLED)
    right = seen_height(page)
    with page.expect_response(DRAWINGS):
        early.continue_()
    page.evaluate("() => new Promise(requestAnimationFrame)")
    assert seen_height(page) == right


def height(page: Page) -> float:
    """How much of the page the drawings take, px."""
    box = page.locator("#drawings").bounding_box()
    assert box is not None
    return box["height"]


def test_the_page_does_not_jump_while_drawings_are_awaited(page: Page, line: Line) -> None:
    whole = height(page)
    move(page, "22.5")
    held = line.held()
    assert height(page) == pytest.approx(whole, rel=0.01)
    held.continue_()
    page.wait_for_function(SETTLED)
    assert height(page) == pytest.approx(whole, rel=0.05)


def test_room_is_kept_for_the_first_drawings(visit: Visit) -> None:
    page = visit().page
    page.goto(f"/plan?{station_query().partition('&')[2]}")
    line = Line(page)
    page.get_by_label("Who it is for", exact=True).select_option(
        label=STATION_PAIR["Who it is for"]
    )
    held = line.held()
    waiting = height(page)
    held.continue_()
    page.wait_for_function(SETTLED)
    assert page.locator("#drawings svg").count() == 2
    assert waiting == pytest.approx(height(page), rel=0.05)


def test_the_program_is_told_when_it_is_opened_and_stays_open(page: Page) -> None:
    program = page.locator("#result details.program").first
    steps = program.locator("li")
    whole = steps.count()
    assert whole > 100
    move(page, "28")
    expect(steps).to_have_count(0)
    program.locator("summary").click()
    expect(steps.first).to_be_visible()
    told = steps.all_inner_texts()
    assert str(len(told)) in program.locator("summary").inner_text()
    move(page, "20")
    expect(steps.first).to_be_visible()
    expect(steps).not_to_have_count(len(told))


def test_without_scripts_the_page_holds_it_all(visit: Visit) -> None:
    page = visit({**DESKTOP, "java_script_enabled": False}).page
    page.goto(f"/plan?{station_query()}&leg.height=28+cm")
    assert page.locator("#drawings svg").count() == 2
    assert page.locator("details.program li").count() > 100
