"""The what-if sliders under a hand: numbers follow the drag, and nothing chosen is lost."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from browser.acts import SETTLED, drag, number
from browser.conftest import Visitor
from browser.pages import station_query

SPAN_CM = (18.0, 30.0)
"""The heights that a drag leads through."""

DRAG = """async ([id, from, to, few]) => {
  const slider = document.getElementById(id), start = performance.now();
  let swaps = 0, most = 0, open = 0, unseen = 0;
  const drawn = (event) => event.detail.elt.id === "drawings";
  document.addEventListener("htmx:beforeSend", (event) => {
    if (drawn(event)) { unseen += open; return; }
    open += 1;
    most = Math.max(most, open);
  });
  document.addEventListener("htmx:afterRequest", (event) => { open -= drawn(event) ? 0 : 1; });
  const swapped = (event) => { swaps += drawn(event) ? 0 : 1; };
  document.addEventListener("htmx:afterSwap", swapped);
  const steps = 100;
  const move = (share) => {
    slider.value = from + (to - from) * share;
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    return new Promise((next) => setTimeout(next, 20));
  };
  for (let step = 1; step < steps || (swaps <= few && step < 50 * steps); step += 1) {
    await move(step % steps / steps);
  }
  await move(1);
  document.removeEventListener("htmx:afterSwap", swapped);
  slider.dispatchEvent(new Event("change", { bubbles: true }));
  return { swaps, most, unseen, ms: performance.now() - start };
}"""
"""Drags a slider for two seconds, an input every 20 ms, and on while few new numbers came; tells
how often they came meanwhile, how many requests for numbers were on their way at once, and how
often drawings were asked for that other numbers were about to replace."""

FEW = 3
"""Swaps that a drag brings at least; one of two seconds makes some 20 on a free machine."""


def late(by_ms: int) -> Callable[[Route], None]:
    """A line on which every answer comes so much later."""

    def go_on(route: Route) -> None:
        time.sleep(by_ms / 1e3)
        route.continue_()

    return go_on


@pytest.fixture
def page(newcomer: Visitor) -> Page:
    """A pair of the station on the planning page."""
    newcomer.page.goto(f"/plan?{station_query()}")
    return newcomer.page


def drag_slowly(page: Page, slider: str, least: float, most: float) -> dict[str, Any]:
    """Drag as DRAG does, and wait until all that it asked for is there."""
    found: dict[str, Any] = page.evaluate(DRAG, [slider, least, most, FEW])
    page.wait_for_function(SETTLED)
    return found


def height(page: Page) -> float:
    """The height of the sock that the table tells, cm."""
    return float(number(page, "Height from the floor").split()[0])


@pytest.mark.parametrize("late_ms", [0, 80])
def test_numbers_follow_a_drag_and_the_last_value_holds(page: Page, late_ms: int) -> None:
    if late_ms:
        page.route("**/plan/result?*", late(late_ms))
    least, most = SPAN_CM
    seen = drag_slowly(page, "try-leg", least, most)
    assert seen["swaps"] > FEW, seen
    assert seen["most"] == 1, seen
    assert seen["unseen"] == 0, seen
    expect(page.locator("output[for=try-leg]")).to_have_text(f"{most:g} cm")
    assert height(page) == pytest.approx(most, abs=0.3)
    assert "leg.height=30+cm" in page.url


def test_less_length_makes_fewer_rounds_and_back(page: Page) -> None:
    rows = ("Foot", "Foot, heel to toe", "Shorter than the foot by")
    before = {row: number(page, row) for row in rows}
    shorter = int(before["Shorter than the foot by"].split()[0])
    drag(page, "Shorter than the foot by (your choice)", "8")
    assert int(number(page, "Shorter than the foot by").split()[0]) == shorter + 4
    assert int(number(page, "Foot").split()[0]) < int(before["Foot"].split()[0])
    drag(page, "Shorter than the foot by (your choice)", "4")
    assert {row: number(page, row) for row in rows} == before


def test_another_girth_is_wished_for_told_and_taken_back(page: Page) -> None:
    """The 54-needle cylinder comes nearest to the new wish, and goes on with a tug."""
    page.get_by_label("Cylinder", exact=True).select_option(label="best match")
    page.wait_for_function(SETTLED)
    assert number(page, "Needles") == "60"
    expect(page.get_by_text("10 % smaller than the foot, as wished").first).to_be_visible()
    drag(page, "Narrower than the foot by (your choice)", "20")
    assert number(page, "Needles") == "54"
    # What was said of socks finished before moves the wish by a little.
    expect(page.get_by_text(re.compile("the wish was (18|19|20) %")).first).to_be_visible()
    expect(page.locator("#reached")).to_contain_text("17")
    drag(page, "Narrower than the foot by (your choice)", "10")
    assert number(page, "Needles") == "60"
    expect(page.get_by_text("10 % smaller than the foot, as wished").first).to_be_visible()


def test_what_is_chosen_while_an_answer_is_on_its_way_is_not_lost(page: Page) -> None:
    page.route(re.compile(r"/plan\?"), late(300))
    page.get_by_label("Cylinder", exact=True).select_option(label="54 needles")
    page.get_by_label("Title", exact=True).fill("Night watch")
    page.get_by_label("Title", exact=True).press("Tab")
    expect(page.get_by_role("heading", name="Night watch")).to_be_visible()
    page.wait_for_function(SETTLED)
    assert number(page, "Needles") == "54"
    expect(page.get_by_label("Cylinder", exact=True)).to_have_value("54")
    expect(page.get_by_label("Title", exact=True)).to_have_value("Night watch")


def test_the_design_is_one_click_away_from_what_was_tried(page: Page) -> None:
    legs = number(page, "Leg")
    drag(page, "Height from the floor", "28")
    assert number(page, "Leg") != legs
    page.get_by_role("link", name="As in the design").click()
    expect(page.get_by_role("link", name="As in the design")).to_have_count(0)
    assert number(page, "Leg") == legs
