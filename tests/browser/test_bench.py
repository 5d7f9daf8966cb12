"""A sock counted in a real browser, count by count, with all that happens to a tablet meanwhile."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

from playwright.sync_api import Page, expect

from browser.benches import (
    Told,
    arrived,
    count_steps_of,
    counted,
    kept,
    kept_offline,
    menu,
    opened,
    plan_of,
    press,
    shows,
    state,
    to_step,
    walked,
)
from browser.conftest import Visit
from browser.stage import PHONE
from sockwright import steps as op
from sockwright.bench.counting import sock_of
from sockwright.bench.log import FIRST, SECOND, Action, round_counts
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan
from sockwright.workshop import PlannedSock
from sockwright.workshop.workshop import Workshop
from web.sites import Served


def test_a_whole_sock_comes_to_the_end_whatever_happens(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    """Every count once, with what happens to a tablet, and two rounds more than planned; the log
    then holds what was pressed and nothing else."""
    visitor = visit(worker=True)
    page, chance = visitor.page, random.Random(1)
    opened(page, pair)
    kept_offline(page)
    planned = plan_of(shop, pair)
    told, count_steps = Told(planned), count_steps_of(shop, pair)
    pressed: Counter[tuple[Action, int]] = Counter()
    (more,) = [
        at for at, n in round_counts(planned).items() if n > 20 and section(planned, at) == "leg"
    ]
    done, offline, deviated = 0, False, False
    keys: list[str] = []
    while done < count_steps:
        keys.append(chance.choice([" ", "PageDown", "Enter"]))
        pressed[Action.COUNT, 1] += 1
        done += 1
        if chance.random() < 0.05:
            back = min(chance.randint(1, 3), done)
            keys += ["Backspace"] * back
            pressed[Action.UNDO, 0] += back
            done -= back
        if chance.random() < 0.03:
            press(page, keys)
            offline = not offline
            visitor.context.set_offline(offline)
        if chance.random() < 0.03:
            press(page, keys)
            page.reload()
            expect(page.locator("html")).to_have_class("ready")
            shows(page, told.at(done))
        if (
            not deviated
            and section(planned, told.sock.count_steps[min(done, count_steps - 1)].instruction)
            == "heel"
        ):
            deviated = True
            press(page, keys)
            knitted_more(page, more, 2)
            pressed[Action.EXTRA, 2] += 1
    press(page, keys)
    shows(page, told.at(count_steps))
    visitor.context.set_offline(False)
    page.reload()
    shows(page, told.at(count_steps))
    arrived(lambda: state(shop, pair).done == count_steps, page)
    log = shop.bench_log(pair, FIRST)
    assert Counter((one.deed, one.by) for one in log) == pressed
    knitted = shop.as_knitted(pair, FIRST)
    assert isinstance(knitted, PlannedSock)
    steps = list(planned.program.steps)
    (place,) = [
        n - 1 for n in instructions(planned)[more - 1].steps if isinstance(steps[n - 1], op.Rounds)
    ]
    steps[place] = replace(steps[place], count=steps[place].count + 2)
    assert knitted.plan.program.steps == tuple(steps)
    assert knitted.plan.dry_run.ok


def section(plan: SockPlan, instruction: int) -> str:
    return str(instructions(plan)[instruction - 1].section.value)


def knitted_more(page: Page, at: int, rounds: int) -> None:
    """Write down that an instruction had so many rounds more."""
    menu(page, "I knitted more or fewer rounds")
    page.locator("#extra-where").select_option(str(at))
    for _ in range(rounds - 1):
        page.locator("#extra-plus").click()
    page.locator("#extra-form button.main").click()


def test_the_page_opens_and_counts_while_the_workshop_is_gone(
    visit: Visit, served: Served, shop: Workshop, pair: str
) -> None:
    page = visit(worker=True).page
    opened(page, pair)
    kept_offline(page)
    page.keyboard.press(" ")
    arrived(lambda: state(shop, pair).done == 1, page)
    served.end()
    counted(page, 4, " ")
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
    counted(tablet.page, 7, " ")
    counted(phone.page, 5, " ")
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
    counted(page, 12)
    assert page.locator("#do").text_content() != first
    page.reload()
    expect(page.locator("html")).to_have_class("ready")
    counted(page, 12, "Backspace")
    press(page, ["Backspace"] * 3)
    expect(page.locator("#do")).to_have_text(str(first))
    arrived(lambda: len(shop.bench_log(pair, FIRST)) == 24, page)
    assert state(shop, pair).done == 0


def test_the_second_sock_follows_what_the_first_was(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    page = visit().page
    opened(page, pair)
    counted(page, 40, " ")
    page.get_by_role("button", name="Menu").click()
    page.get_by_role("button", name="I knitted more or fewer rounds").click()
    page.locator("#extra-where").select_option(index=0)
    page.locator("#extra-plus").click()
    page.locator("#extra-form").locator("button.main").click()
    arrived(lambda: bool(state(shop, pair).extra), page)
    assert count_steps_of(shop, pair, SECOND) == count_steps_of(shop, pair) + 2


def test_a_finger_counts_anywhere_on_a_phone(visit: Visit, shop: Workshop, pair: str) -> None:
    page = visit(PHONE).page
    opened(page, pair)
    to_step(page, 10)
    done = kept(page)
    page.locator("#one").tap()
    page.locator("#do").tap()
    page.locator("#ring").tap()
    arrived(lambda: state(shop, pair).done == done + 3, page)
    for button in page.locator("button:visible").all():
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 44, button.text_content()


def more_rounds(page: Page, n: int) -> None:
    """Write down that the latest rounds were more than planned."""
    page.get_by_role("button", name="Menu").click()
    page.get_by_role("button", name="I knitted more or fewer rounds").click()
    page.locator("#extra-where").select_option(index=0)
    for _ in range(n - 1):
        page.locator("#extra-plus").click()
    page.locator("#extra-form").locator("button.main").click()


def counted_to(page: Page, shop: Workshop, pair: str, section: str, kind: str, which: str) -> int:
    """Count to the fourth count of a kind in a section; tells how many are done then."""
    planned = shop.plan_at_bench(pair, which)
    assert isinstance(planned, PlannedSock)
    wanted = [
        count_step.place
        for count_step in sock_of(planned.plan).count_steps
        if (count_step.section, count_step.kind) == (section, kind)
    ][3]
    counted(page, wanted - state(shop, pair, which).done)
    return wanted


def test_a_second_sock_keeps_its_place_whatever_becomes_of_the_first(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    second = visit(PHONE).page
    opened(second, pair, SECOND)
    first = visit().page
    opened(first, pair)
    counted_to(first, shop, pair, "leg", "round", FIRST)
    more_rounds(first, 2)
    arrived(lambda: bool(state(shop, pair).extra), first)
    # The page of the second was opened before: it counts by the plan it has.
    planned = count_steps_of(shop, pair)
    counted(second, 70)
    arrived(lambda: state(shop, pair, SECOND).done == 70, second)
    where = second.locator("#where").text_content()
    figure = second.locator("#count").text_content()
    second.reload()
    expect(second.locator("html")).to_have_class("ready")
    expect(second.locator("#where")).to_have_text(str(where))
    expect(second.locator("#count")).to_have_text(str(figure))
    assert count_steps_of(shop, pair, SECOND) == planned
    counted(second, 70, "Backspace")
    arrived(lambda: not state(shop, pair, SECOND).begun, second)
    # Nothing is counted any more: it follows the first as that is now, and says so.
    second.reload()
    expect(second.locator("#aside")).to_contain_text("The first sock was changed")
    assert count_steps_of(shop, pair, SECOND) == planned + 2


def test_checks_know_of_rounds_knitted_more(visit: Visit, shop: Workshop, pair: str) -> None:
    page = visit().page
    opened(page, pair)
    counted_to(page, shop, pair, "leg", "round", FIRST)
    figure = page.locator("#count").text_content()
    more_rounds(page, 2)
    expect(page.locator("#count")).to_have_text(str(figure))
    expect(page.locator("#more")).to_have_text("Noted: 2 rounds more than planned")
    knitted = shop.as_knitted
    arrived(lambda: bool(state(shop, pair).extra), page)
    walked(page, until="() => document.getElementById('items').checkVisibility()")
    answer = knitted(pair, FIRST)
    assert isinstance(answer, PlannedSock)
    told = "\n".join(each.text for each in instructions(answer.plan))
    for item in page.locator("#items li").all_text_contents():
        assert item in told
