"""The stitch cam on a machine's page, under a hand: other settings, cylinders, yarns, and paper."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from browser.conftest import Visit, Visitor
from browser.stage import DARK, PHONE, WITHOUT_SCRIPT
from sockwright.store.items import ItemKind
from sockwright.workshop.example import example_id

BENCH = f"/machines/{example_id(ItemKind.MACHINE, 'bench')}"
BERRY = example_id(ItemKind.YARN, "berry")

ON_PAPER = """() => [getComputedStyle(document.body).backgroundColor,
  getComputedStyle(document.querySelector("#cam .stepper")).display === "none"
    || document.querySelector("#cam form").getClientRects().length === 0]"""


def shown_widths(page: Page) -> list[str]:
    """The widths of the drawings that are seen, as they were made."""
    seen = page.locator("#cam svg").all()
    return [str(one.get_attribute("width")) for one in seen if one.is_visible()]


def test_the_setting_steps_without_leaving_the_page(newcomer: Visitor) -> None:
    page = newcomer.page
    page.goto(BENCH)
    page.evaluate("window.stays = true")
    more = page.locator("#cam-more")
    more.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#cam output")).to_have_text("15 clicks")
    expect(page.locator("#cam .lead")).to_contain_text("15 clicks")
    expect(page.locator("#cam-more")).to_be_focused()
    page.locator("#cam-needles").select_option("84")
    expect(page.locator("#cylinder figcaption")).to_contain_text("84 needles")
    expect(page.locator("#cam output")).to_have_text("15 clicks")
    page.locator("#cam-yarn").select_option(BERRY)
    expect(page.locator("#cam output")).to_have_text("9 clicks")
    assert page.evaluate("window.stays")
    assert f"yarn={BERRY}" in page.url


def test_all_of_it_works_without_scripts(visit: Visit) -> None:
    page = visit(WITHOUT_SCRIPT).page
    page.goto(BENCH)
    page.locator("#cam-less").click()
    expect(page.locator("#cam output")).to_have_text("13 clicks")
    page.locator("#cam-needles").select_option("54")
    page.locator("#cam form button:not([disabled])").last.click()
    expect(page.locator("#cylinder figcaption")).to_contain_text("54 needles")
    expect(page.locator("#cam output")).to_have_text("13 clicks")


def test_a_telephone_has_the_drawing_that_is_made_for_it(visit: Visit) -> None:
    page = visit(PHONE).page
    page.goto(BENCH)
    assert shown_widths(page) == ["88mm"]
    letters = page.locator("#cam .on-narrow svg text")
    sizes = letters.evaluate_all(
        "texts => texts.map(one => parseFloat(getComputedStyle(one).fontSize)"
        " * one.getScreenCTM().a)"
    )
    assert min(sizes) >= 12


def test_on_paper_it_is_light_and_without_what_paper_cannot_do(visit: Visit) -> None:
    page = visit(DARK).page
    page.goto(BENCH)
    assert shown_widths(page) == ["160mm"]
    page.emulate_media(media="print")
    assert page.evaluate(ON_PAPER) == ["rgb(255, 255, 255)", True]
    assert shown_widths(page) == ["160mm"]
