"""Hands, pedals and keys at the bench: each press counts once, whatever was touched before it."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from browser.benches import (
    SETTINGS,
    arrived,
    begins_with,
    forgotten,
    kept,
    menu,
    opened,
    state,
    to_step,
)
from browser.conftest import Lasting, Visit
from browser.stage import DESKTOP, PHONE, Devices, Watch
from sockwright.bench.log import FIRST, Action
from sockwright.workshop.workshop import Workshop

CHECK_STEP = 11
"""The first check of the boot socks."""
LONG_ROUNDS = 10
"""A step of the boot socks with more than ten rounds."""
PANELS = {
    "lost": "I lost count",
    "mishap": "Something went wrong",
    "extra": "I knitted more or fewer rounds",
    "note": "Note",
    "settings": "Sound, speech, screen",
    "keys": "Keys",
    "guide": "How to read the steps",
    "state": "Where the count is saved",
}
PEDALS = ("PageDown", "Space", "Enter", "ArrowRight")
REACHED = """(id) => {
  const panel = document.getElementById(id), first = document.activeElement;
  window.reached = new Set(panel.contains(first) && first !== panel ? [first] : []);
  window.round = false;
  panel.addEventListener("focusin", ({ target }) => {
    if (target === first) window.round = true;
    else if (target !== panel) window.reached.add(target);
  });
}"""
"""Notes the parts of a panel that have the focus, until the first has it again."""
PRESSES = """(moments) => {
  for (const [at, late] of moments) {
    const press = new KeyboardEvent("keydown", { key: "PageDown", bubbles: true });
    Object.defineProperty(press, "timeStamp", { value: at });
    const until = performance.now() + late;
    while (performance.now() < until);
    document.body.dispatchEvent(press);
  }
}"""
"""Presses made at these moments, in ms, each handled so many ms after the one before."""


@pytest.fixture(scope="module")
def desk(devices: Devices, lasting: Lasting) -> Iterator[tuple[Page, Watch]]:
    """One window for all tests that look at this device alone."""
    with devices.lent(lasting.address, DESKTOP) as (_, watch, page):
        begins_with(page)
        yield page, watch


@pytest.fixture
def page(desk: tuple[Page, Watch], lasting: Lasting) -> Iterator[Page]:
    """The bench of new boot socks, on a device that has nothing."""
    page, watch = desk
    forgotten(page)
    opened(page, lasting.pair(), quick=False)
    yield page
    watch.check()


@pytest.fixture
def reached(visit: Visit, pair: str) -> Page:
    """The bench of the boot socks, the workshop reached."""
    page = visit().page
    opened(page, pair)
    return page


def counts(page: Page, key: str) -> bool:
    """Whether a key counts one, and opens nothing."""
    before = kept(page)
    page.keyboard.press(key)
    assert page.locator("dialog[open]").count() == 0
    return kept(page) == before + 1


def test_a_pedal_counts_after_an_item_of_a_check_was_ticked(page: Page) -> None:
    to_step(page, CHECK_STEP)
    box = page.locator("#items input").first
    for key in PEDALS:
        before = box.is_checked()
        page.locator("#items label").first.click()
        assert box.is_checked() is not before
        assert counts(page, key), key
        page.keyboard.press("Backspace")


def test_a_tap_beside_the_list_of_a_check_is_no_answer(visit: Visit, pair: str) -> None:
    page = visit(PHONE).page
    opened(page, pair)
    to_step(page, CHECK_STEP)
    before = kept(page)
    for part in ("#do", "#where", "#hint"):
        page.locator(part).tap()
    page.locator("#items").tap(position={"x": 5, "y": 2})
    assert kept(page) == before
    page.locator("#one").tap()
    assert kept(page) == before + 1


def test_ticks_of_a_check_stay_until_it_is_come_to_anew(page: Page) -> None:
    to_step(page, CHECK_STEP)
    ticked = page.locator("#items :checked")
    for line in (1, 3):
        page.locator("#items label").nth(line).click()
    page.keyboard.press("PageDown")
    page.keyboard.press("Backspace")
    expect(ticked).to_have_count(2)
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    expect(ticked).to_have_count(2)
    assert [one.is_checked() for one in page.locator("#items input").all()[:4]] == [
        False,
        True,
        False,
        True,
    ]
    page.locator("#items label").nth(1).click()
    page.keyboard.press("Backspace")
    to_step(page, CHECK_STEP)
    expect(ticked).to_have_count(1)
    to_step(page, CHECK_STEP - 2, "Backspace")
    to_step(page, CHECK_STEP)
    expect(ticked).to_have_count(0)


def test_a_pedal_counts_after_a_panel_was_closed_by_a_finger(visit: Visit, pair: str) -> None:
    page = visit(PHONE).page
    opened(page, pair)
    dead = []
    for panel in PANELS:
        for key in PEDALS:
            page.locator("header [data-open=menu]").tap()
            page.locator(f"#menu [data-open={panel}]").tap()
            page.locator(f"#{panel} [data-close]").tap()
            if not counts(page, key):
                dead.append((panel, key))
    assert dead == []


def test_a_pedal_counts_after_a_note_was_written(page: Page) -> None:
    menu(page, PANELS["note"])
    page.locator("#note-text").fill("Weight hung lower.")
    page.locator("#note-form button").click()
    for key in PEDALS:
        assert counts(page, key), key


def test_what_tab_reached_is_still_pressed_by_keys(page: Page) -> None:
    to_step(page, CHECK_STEP)
    box = page.locator("#items input").first
    for _ in range(20):
        page.keyboard.press("Tab")
        if box.evaluate("(box) => box === document.activeElement"):
            break
    page.keyboard.press("Space")
    expect(box).to_be_checked()
    assert counts(page, "PageDown")
    page.keyboard.press("Backspace")
    page.locator("header [data-open=menu]").focus()
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    expect(page.locator("#menu")).to_be_visible()


def test_what_was_seen_another_time_is_not_asked_with(page: Page) -> None:
    to_step(page, LONG_ROUNDS)
    menu(page, PANELS["lost"])
    page.locator("#lost-raised").fill("3-9")
    page.locator("#lost-gap").fill("12")
    page.locator("#lost [data-close]").click()
    menu(page, PANELS["lost"])
    for field in ("#lost-raised", "#lost-gap", "#lost-length"):
        expect(page.locator(field)).to_have_value("")
    expect(page.locator("#lost-ring .n.r")).to_have_count(0)
    expect(page.locator("#lost-ring .number.off")).to_have_count(0)


def test_places_that_were_found_go_with_a_later_refusal(page: Page) -> None:
    to_step(page, LONG_ROUNDS)
    menu(page, PANELS["lost"])
    page.locator("#lost-gap").fill("12")
    page.locator("#lost-form button.main").click()
    expect(page.get_by_role("button", name="Go there").first).to_be_visible()
    page.locator("#lost-gap").fill("the last")
    page.locator("#lost-form button.main").click()
    expect(page.locator("#lost-problem")).to_be_visible()
    expect(page.get_by_role("button", name="Go there")).to_have_count(0)
    top = page.locator("#lost .panel-top").bounding_box()
    field = page.locator("#lost-gap").bounding_box()
    assert top is not None
    assert field is not None
    assert field["y"] >= top["y"] + top["height"]


def test_a_time_that_cannot_be_is_refused_aloud(page: Page) -> None:
    menu(page, PANELS["settings"])
    for good, text in enumerate(("-5", "9999", "soon", ""), 200):
        page.locator("#set-debounce").fill(text)
        page.locator("#set-debounce").press("Tab")
        expect(page.locator("#debounce-problem")).to_contain_text("from 0 to 2000")
        expect(page.locator("#set-debounce")).to_have_value(text)
        page.locator("#set-debounce").fill(str(good))
        page.locator("#set-debounce").press("Tab")
        expect(page.locator("#debounce-problem")).to_be_hidden()
        assert json.loads(page.evaluate(f"localStorage.getItem({SETTINGS!r})"))["debounce"] == good


def test_the_way_back_is_not_taken_where_the_workshop_is_not_reached(
    visit: Visit, pair: str
) -> None:
    visitor = visit()
    page = visitor.page
    opened(page, pair)
    visitor.context.set_offline(True)
    page.locator(".b-back").click()
    expect(page.locator("#told")).to_contain_text("No connection to the workshop")
    page.keyboard.press("PageDown")
    visitor.context.set_offline(False)
    expect(page.locator("#kept")).to_have_text("saved")
    page.locator(".b-back").click()
    page.wait_for_url(f"**/socks/{pair}")


def test_every_panel_opens_closes_and_gives_the_focus_back_by_keys_alone(page: Page) -> None:
    opener = page.locator("header [data-open=menu]")
    tab_to(page, "header [data-open=menu]")
    for panel in PANELS:
        page.keyboard.press("Enter")
        expect(page.locator("#menu")).to_be_visible()
        tab_to(page, f"#menu [data-open={panel}]")
        page.keyboard.press("Space")
        expect(page.locator(f"#{panel}")).to_be_visible()
        every = page.locator(f"#{panel} :is(button, input, select, textarea, summary, a):visible")
        reached = tab_round(page, panel)
        operable = every.evaluate_all("(all) => all.filter((one) => !one.disabled).length")
        radios = page.locator(f"#{panel} [type=radio]:not(:checked):visible").count()
        assert reached >= operable - radios, panel
        page.keyboard.press("Escape")
        expect(page.locator("dialog[open]")).to_have_count(0)
        expect(opener).to_be_focused()


def tab_to(page: Page, selector: str) -> None:
    for _ in range(60):
        if page.evaluate("(what) => document.activeElement.matches(what)", selector):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab never came to {selector}")


def tab_round(page: Page, panel: str) -> int:
    """How many different parts of a panel Tab reaches, until it is round."""
    page.evaluate(REACHED, panel)
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("window.round"):
            break
    return int(page.evaluate("window.reached.size"))


def test_a_bounce_is_told_by_when_keys_were_pressed_not_by_when_they_are_handled(
    visit: Visit, pair: str
) -> None:
    page = visit().page
    opened(page, pair, quick=False)
    before = kept(page)
    page.evaluate(PRESSES, [[0, 0], [20, 300]])
    assert kept(page) == before + 1
    page.evaluate(PRESSES, [[1000, 0], [1300, 0]])
    assert kept(page) == before + 3


def test_the_usual_pedal_that_bounces_counts_once(visit: Visit, shop: Workshop, pair: str) -> None:
    page = visit().page
    opened(page, pair, quick=False)
    page.evaluate(PRESSES, [[at + bounce, 0] for at in (0, 250, 500) for bounce in (0, 1)])
    arrived(lambda: state(shop, pair).done == 3, page)


def test_ten_stops_at_the_end_of_a_step(page: Page) -> None:
    to_step(page, LONG_ROUNDS)
    of = int((page.locator("#of").text_content() or "").split()[-1])
    counted = 0
    while counted < of:
        expect(page.locator("#count")).to_have_text(str(counted))
        ten = page.locator("#ten")
        left = of - counted
        if left < 2:
            expect(ten).to_be_disabled()
            page.keyboard.press("PageDown")
            counted += 1
        else:
            expect(ten).to_have_text(f"+{min(10, left)}")
            ten.click()
            counted += min(10, left)
    assert counted == of
    expect(page.locator("#where")).to_contain_text(f"step {LONG_ROUNDS + 1} of")


def learn(page: Page, deed: str, key: str) -> None:
    page.locator(f"[data-learn={deed}]").click()
    expect(page.locator("#keys-told")).to_have_text("Press the key now")
    page.keyboard.press(key)


def test_a_key_that_was_set_counts_here_and_after_a_reload(page: Page) -> None:
    menu(page, PANELS["keys"])
    learn(page, "one", "b")
    learn(page, "ten", "F9")
    page.locator("#keys [data-close]").click()
    assert counts(page, "b")
    assert not counts(page, "Space")
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    assert counts(page, "b")
    to_step(page, LONG_ROUNDS, "b")
    page.keyboard.press("F9")
    expect(page.locator("#count")).to_have_text("10")


def test_a_key_that_was_to_be_set_is_forgotten_when_the_panel_closes(page: Page) -> None:
    for by in ("button", "Escape"):
        menu(page, PANELS["keys"])
        page.locator("[data-learn=ten]").click()
        if by == "button":
            page.locator("#keys [data-close]").click()
        else:
            page.keyboard.press("Escape")
            expect(page.locator("#keys-told")).to_be_empty()
            page.keyboard.press("Escape")
        expect(page.locator("dialog[open]")).to_have_count(0)
        assert counts(page, "PageDown"), by
        assert "keys" not in json.loads(page.evaluate("(name) => localStorage[name]", SETTINGS))


def test_a_key_for_two_deeds_is_taken_from_the_first_and_that_is_said(page: Page) -> None:
    menu(page, PANELS["keys"])
    learn(page, "undo", "PageDown")
    expect(page.locator("#keys-told")).to_have_text(
        "Undo: Page Down. It was for this before: Count one."
    )
    expect(page.locator("[data-keys=one]")).not_to_contain_text("Page Down")
    expect(page.locator("#keys-none")).to_be_hidden()
    learn(page, "one", "b")
    learn(page, "ten", "b")
    expect(page.locator("#keys-none")).to_contain_text("No key is set for +1")
    page.get_by_role("button", name="Reset keys").click()
    expect(page.locator("#keys-none")).to_be_hidden()
    page.locator("#keys [data-close]").click()
    assert counts(page, "PageDown")


def test_undo_takes_back_counts_and_leaves_notes(reached: Page, shop: Workshop, pair: str) -> None:
    page = reached
    page.keyboard.press("PageDown")
    stands = page.locator("#where").text_content()
    page.keyboard.press("PageDown")
    menu(page, PANELS["note"])
    page.locator("#note-text").fill("Weight hung lower.")
    page.locator("#note-form button").click()
    page.keyboard.press("Backspace")
    expect(page.locator("#told")).to_have_text("Undone: 1 count.")
    expect(page.locator("#where")).to_have_text(str(stands))
    arrived(lambda: len(shop.bench_log(pair, FIRST)) == 4, page)
    assert [one.text for one in state(shop, pair).said] == ["Weight hung lower."]
    menu(page, PANELS["note"])
    page.get_by_role("button", name="Remove").click()
    expect(page.locator("#notes")).to_be_hidden()
    page.locator("#note [data-close]").click()
    for _ in range(2):
        page.keyboard.press("Backspace")
    expect(page.locator("#told")).to_have_text("Nothing to undo.")
    arrived(lambda: state(shop, pair).said == () and state(shop, pair).done == 0, page)


def test_one_undo_takes_back_rounds_fewer(reached: Page, shop: Workshop, pair: str) -> None:
    page = reached
    to_step(page, LONG_ROUNDS)
    for _ in range(4):
        page.keyboard.press("PageDown")
    menu(page, PANELS["extra"])
    page.locator("#extra-plus").click()
    page.locator("[name=extra-way][value='-1']").check()
    page.locator("#extra-form button.main").click()
    expect(page.locator("#count")).to_have_text("6")
    page.keyboard.press("Backspace")
    expect(page.locator("#told")).to_have_text("Undone: 2 rounds fewer than planned.")
    expect(page.locator("#count")).to_have_text("4")
    arrived(lambda: any(one.deed is Action.UNDO for one in shop.bench_log(pair, FIRST)), page)
    assert state(shop, pair).extra == {}


def test_a_place_that_was_moved_to_is_taken_back(page: Page) -> None:
    to_step(page, LONG_ROUNDS)
    menu(page, PANELS["lost"])
    page.locator("#lost-section").select_option(index=3)
    page.locator("#lost-form button.main").click()
    page.locator("#lost-found button").last.click()
    expect(page.locator("#told")).to_contain_text("The count goes on from here now")
    page.keyboard.press("Backspace")
    expect(page.locator("#told")).to_contain_text("the count is back where it was")
    expect(page.locator("#where")).to_contain_text(f"step {LONG_ROUNDS} of")


def test_the_time_to_go_is_still_known_after_a_reload(page: Page) -> None:
    """Keys here come faster than any hand's, so what was learned is a short time."""
    usual = minutes(page.locator("#time").text_content())
    to_step(page, LONG_ROUNDS + 1)
    learned = minutes(page.locator("#time").text_content())
    assert learned < usual / 2
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    assert minutes(page.locator("#time").text_content()) == pytest.approx(learned, rel=0.2)


def minutes(told: str | None) -> int:
    words = (told or "").split()
    hours = int(words[words.index("h") - 1]) if "h" in words else 0
    return 60 * hours + int(words[words.index("min") - 1])
