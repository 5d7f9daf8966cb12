"""What a browser prefers holds on every page, and in this browser alone."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from browser.acts import STATION_PAIR, choose, number
from browser.conftest import Visit
from browser.stage import DESKTOP, GERMAN, WITHOUT_SCRIPT

PAPER = "() => getComputedStyle(document.body).backgroundColor"


def keep_settings(page: Page, **settings: str) -> None:
    """Choose settings by the names and values of their fields."""
    page.goto("/settings")
    for name, value in settings.items():
        page.locator(f"input[name={name}][value={value}]").check()
    page.locator("main form button.main").click()
    expect(page.get_by_role("status")).to_be_visible()


def test_language_units_and_theme_change_the_pages(visit: Visit) -> None:
    page = visit().page
    page.goto("/plan")
    choose(page, STATION_PAIR)
    chosen = page.url
    metric, light = number(page, "Foot, heel to toe"), page.evaluate(PAPER)
    assert metric.endswith(" cm")

    keep_settings(page, units="in", theme="dark", language="de", paper="letter")
    assert page.evaluate(PAPER) != light
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.locator("h1")).not_to_have_text("Settings")
    page.goto(chosen)
    # The address says cm; its reader is told inches, and a German page writes them with a comma.
    assert re.fullmatch(r"\d+,\d+ ± \d,\d+ in", number(page, "Fuß, Ferse bis Spitze"))
    shown = page.locator("#result, #sliders").all_inner_texts()
    assert [text for text in shown if re.search(r"\d cm\b", text)] == []


def test_another_browser_prefers_what_it_likes(visit: Visit) -> None:
    keep_settings(visit().page, theme="dark")
    other = visit().page
    other.goto("/settings")
    expect(other.locator("input[name=theme][value=auto]")).to_be_checked()


def test_the_browser_s_own_language_is_spoken_at_once(visit: Visit) -> None:
    headings = []
    for view in (GERMAN, DESKTOP):
        page = visit(view).page
        page.goto("/settings")
        headings.append(page.locator("h1").inner_text())
    assert headings[1] == "Settings"
    assert headings[0] != "Settings"


def test_settings_need_no_script(visit: Visit) -> None:
    page = visit(WITHOUT_SCRIPT).page
    keep_settings(page, units="in")
    expect(page.locator("input[name=units][value=in]")).to_be_checked()
