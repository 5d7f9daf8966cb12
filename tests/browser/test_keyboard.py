"""Everything on the way to a printed sheet can be done with Tab, Enter, Space and the arrows."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect

from browser.acts import SETTLED, STATION_PAIR, number
from browser.conftest import Visitor

MOST_STEPS = 120
"""Presses of Tab that lead round the longest page."""

FOCUS = """() => {
  const one = document.activeElement, style = getComputedStyle(one);
  const box = one.getBoundingClientRect();
  return {
    name: `${one.tagName} ${one.id} ${one.textContent.trim().slice(0, 30)}`,
    lost: one === document.body,
    seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    inside: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
  };
}"""


def tab_to(page: Page, wanted: Locator) -> None:
    """Press Tab until the focus is on what is wanted; on the way it is always to be seen."""
    for _ in range(MOST_STEPS):
        page.keyboard.press("Tab")
        if wanted.evaluate("(one) => one === document.activeElement"):
            focus = page.evaluate(FOCUS)
            assert focus["seen"], f"the focus does not show on {focus['name']}"
            assert focus["inside"], f"{focus['name']} has the focus outside of the window"
            return
    raise AssertionError(f"Tab does not lead to {wanted}")


def pick(page: Page, label: str, option: str) -> None:
    """Choose in a field with the arrow keys; the focus stays where it is."""
    field = page.get_by_label(label, exact=True)
    tab_to(page, field)
    places = field.locator("option").all_inner_texts()
    for place in range(1, places.index(option) + 1):
        page.keyboard.press("ArrowDown")
        page.wait_for_function(SETTLED)
        expect(field).to_be_focused()
        expect(field.locator("option:checked")).to_have_text(places[place])


def test_the_whole_way_with_the_keyboard_alone(newcomer: Visitor) -> None:
    page = newcomer.page
    page.goto("/")
    tab_to(page, page.get_by_role("link", name="Plan a pair").first)
    page.keyboard.press("Enter")
    page.wait_for_url("**/plan")
    for label, option in STATION_PAIR.items():
        pick(page, label, option)
    expect(page.get_by_text("The steps work")).to_be_visible()

    legs = number(page, "Leg")
    slider = page.get_by_role("slider", name="Height from the floor")
    tab_to(page, slider)
    with page.expect_response(re.compile("/plan/result")):
        page.keyboard.press("PageUp")
    page.wait_for_function(SETTLED)
    assert int(number(page, "Leg").split()[0]) > int(legs.split()[0])
    expect(slider).to_be_focused()

    asks = page.get_by_role("link", name="Where this comes from: Leg", exact=True)
    tab_to(page, asks)
    page.keyboard.press("Enter")
    expect(page.get_by_role("dialog")).to_be_visible()
    page.keyboard.press("Escape")
    expect(asks).to_be_focused()

    tab_to(page, page.get_by_role("button", name="Save pair"))
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile(r"/socks/[0-9a-f-]{36}$"))
    tab_to(page, page.get_by_role("link", name="Crank program: every step"))


def test_the_first_stop_leads_past_the_menu(newcomer: Visitor) -> None:
    page = newcomer.page
    page.goto("/settings")
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="Skip to content")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.querySelector('main').contains(document.activeElement)")
