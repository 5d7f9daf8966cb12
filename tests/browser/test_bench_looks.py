"""How the bench looks: what stands on it at every count, its ring, its panels, on any screen."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.benches import (
    SHOWN,
    Told,
    agree,
    counted,
    opened,
    plan_of,
    shows,
    to_step,
    walked,
)
from browser.conftest import Lasting
from browser.stage import DESKTOP, GERMAN, PHONE, Devices
from browser.test_pages import small_targets, violations
from sockwright.bench.counting import DO, CountStep

TABLET: Mapping[str, Any] = {
    "viewport": {"width": 1180, "height": 760},
    "has_touch": True,
    "is_mobile": True,
    "locale": "en-GB",
}
SCREENS: Mapping[str, Mapping[str, Any]] = {
    name: {**TABLET, "viewport": {"width": width, "height": height}}
    for name, width, height in (
        ("phone", 360, 740),
        ("phone on its side", 740, 360),
        ("tablet", 1180, 820),
        ("upright", 820, 1180),
        ("tablet that lies", 1180, 760),
        ("small tablet", 1024, 600),
    )
}
LYING = ("tablet that lies", "small tablet")
DARK_PHONE: Mapping[str, Any] = {**PHONE, "color_scheme": "dark"}
PANELS = ("menu", "lost", "mishap", "extra", "note", "settings", "keys", "guide", "state")
LETTERS = {"w": "n w", "r": "n r", "o": "n o"}
READ_PX = 12
LINE_PX = 18
INK_PX = 96
"""How high the figures of the count are at least."""
LEGIBLE_PX = 10

PLACES = """() => {
  const box = (what) => {
    const part = document.querySelector(what);
    if (part.closest("[hidden]")) return null;
    const { left, top, right, bottom } = part.getBoundingClientRect();
    return [left, top, right, bottom].map(Math.round);
  };
  return {
    count: box("#counted"), ring: box("#ring"), next: box("#next"),
    title: box(".b-title"), top: box("main")[1], bar: box(".b-bar")[1],
  };
}"""
"""Left, top, right and bottom of the parts."""
INK = """() => {
  const style = getComputedStyle(document.getElementById("count"));
  const drawing = document.createElement("canvas").getContext("2d");
  drawing.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  const { actualBoundingBoxAscent, actualBoundingBoxDescent } = drawing.measureText("8");
  return actualBoundingBoxAscent + actualBoundingBoxDescent;
}"""
RING = """() => {
  const root = document.querySelector(".bench-cylinder");
  const turned = root.querySelector(root.dataset.turns === "carrier"
    ? ".bench-carrier" : ".bench-ring");
  return {
    degrees: parseFloat(turned.style.getPropertyValue("--turn") || "0"),
    way: root.dataset.way,
    looks: [...root.querySelectorAll(".n")].map((one) => one.getAttribute("class")),
    shapes: [...root.querySelectorAll(".n")].every((one) =>
      one.getAttribute("d") === root.dataset[one.getAttribute("class")[2]]),
    signs: [...root.querySelectorAll(".sign")].map((one) => [one.getAttribute("class"),
      one.getAttribute("transform")]),
    yarn: root.style.getPropertyValue("--yarn"),
  };
}"""
TOUCHED = """() => {
  const all = (what) => [...document.querySelectorAll(`#ring ${what}`)];
  return [all(".n.now").map((n) => n.dataset.n), all(".touched").map((n) => n.textContent)];
}"""
TURNED = "() => Promise.allSettled(document.getAnimations().map((one) => one.finished))"
"""Waits until nothing moves."""
TEXTS = """() => [...document.querySelectorAll("#ring text")]
  .filter((one) => one.checkVisibility() && getComputedStyle(one).display !== "none"
    && one.getBoundingClientRect().width)
  .map((one) => {
    const box = one.getBoundingClientRect();
    const grow = new DOMMatrix(getComputedStyle(one).transform);
    const outer = one.closest(".upright");
    const scale = outer ? new DOMMatrix(getComputedStyle(outer).transform) : new DOMMatrix();
    const svg = one.ownerSVGElement.getScreenCTM().a;
    return {
      text: one.textContent, number: one.matches(".number, .touched"),
      px: parseFloat(getComputedStyle(one).fontSize) * svg * Math.hypot(grow.a, grow.b)
        * Math.hypot(scale.a, scale.b),
      left: box.left, right: box.right, top: box.top, bottom: box.bottom,
    };
  })"""


Bench = Callable[[Mapping[str, Any]], Page]


@pytest.fixture
def bench(devices: Devices, lasting: Lasting) -> Iterator[Bench]:
    """The bench of new boot socks, in a view; each device by itself."""
    with ExitStack() as stack:

        def new(view: Mapping[str, Any]) -> Page:
            _, _, page = stack.enter_context(devices.lent(lasting.address, view))
            opened(page, lasting.pair())
            return page

        yield new


def test_what_stands_on_the_page_is_that_of_the_count_step(bench: Bench, lasting: Lasting) -> None:
    """Every count: what to do, where the carrier is, the count, what comes next; and the ring."""
    page = bench(DESKTOP)
    plan = plan_of(lasting.shop, page.url.split("/")[-3])
    told = Told(plan)
    sense = 1 if plan.order.machine.forward.value == "clockwise" else -1
    gone = 0
    seen = walked(page, f"() => [({SHOWN})(), ({RING})()]")
    for count_step, (stands, ring) in zip(told.sock.count_steps, seen, strict=False):
        agree(stands, told.at(count_step.place - 1))
        assert ring["degrees"] == pytest.approx(sense * 360 * gone / told.sock.needles)
        look = told.sock.beds[
            told.sock.count_steps[count_step.place - 2].bed if count_step.place > 1 else 0
        ][0]
        assert [one[:3] for one in ring["looks"]] == [LETTERS[letter] for letter in look]
        assert ring["shapes"]
        marked = [n for n, one in enumerate(ring["looks"], 1) if one.endswith(" now")]
        touches = count_step.touches if count_step.nth == 1 else ()
        assert marked == sorted({n for touch in touches for n in touch.needles})
        assert [kind for kind, _ in ring["signs"]] == [
            f"sign {touch.deed}" for touch in touches for _ in touch.needles
        ]
        gone += travel(count_step, told.sock.needles)
    assert len(seen) == len(told.sock.count_steps) + 1
    shows(page, told.at(len(told.sock.count_steps)))


def travel(count_step: CountStep, needles: int) -> int:
    """Needles that the carrier passes in a count, in reverse below 0."""
    on = (count_step.gap - count_step.gap_before) % needles
    if count_step.kind == DO:
        return on - needles if on > needles / 2 else on
    if count_step.way < 0:
        return on - needles
    return on or needles


def test_texts_of_the_ring_can_be_read_on_a_phone(bench: Bench) -> None:
    page = bench(PHONE)
    for step in (10, 28):
        to_step(page, step)
        page.evaluate(TURNED)
        texts = page.evaluate(TEXTS)
        numbers = [one for one in texts if one["number"]]
        assert len(numbers) >= 6
        assert min(one["px"] for one in numbers) >= READ_PX
        assert min(one["px"] for one in texts) >= LEGIBLE_PX
        for place, one in enumerate(numbers):
            for other in numbers[:place]:
                apart = math.hypot(
                    one["left"] + one["right"] - other["left"] - other["right"],
                    one["top"] + one["bottom"] - other["top"] - other["bottom"],
                )
                assert apart / 2 > READ_PX, (step, one["text"], other["text"])


def test_what_stands_in_a_step_suits_every_screen(bench: Bench) -> None:
    """Figures are read from afar, on a telephone as far as it has room; a tablet that lies shows
    all of a step at once."""
    page = bench(TABLET)
    to_step(page, 28)
    for name, screen in SCREENS.items():
        page.set_viewport_size(screen["viewport"])
        height = page.evaluate("innerHeight")
        if name.startswith("phone"):
            figures = page.locator("#count")
            size = figures.evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")
            assert size >= INK_PX, name
        else:
            assert page.evaluate(INK) >= INK_PX, name
        if name in LYING:
            for part in ("#do", "#place", "#count", "#next", "#ring svg", "#one"):
                box = page.locator(part).bounding_box()
                assert box is not None
                assert box["y"] >= 0, (name, part)
                assert box["y"] + box["height"] <= height, (name, part)
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
            box = page.locator("#count").bounding_box()
            assert box is not None
            assert box["height"] >= 90, name


def test_neighbours_that_are_touched_are_named_together(bench: Bench) -> None:
    """Every needle that is touched has its number on the ring, where these are few."""
    few = 0
    for touched, named in walked(bench(DESKTOP), TOUCHED):
        if 1 < len(touched) <= 4:
            few += 1
            assert sorted(" ".join(named).split()) == sorted(touched)
    assert few


@pytest.mark.parametrize("screen", ["phone", "phone on its side", "tablet", "upright"])
def test_each_part_has_its_place_through_the_whole_sock(bench: Bench, screen: str) -> None:
    """The count stands at one place and is never cut off; the cylinder keeps its size."""
    page = bench(SCREENS[screen])
    counts, rings, titles = set(), set(), set()
    for parts in walked(page, PLACES)[:-1]:
        titles.add(tuple(parts["title"]))
        if parts["count"]:
            left, top, _, bottom = parts["count"]
            counts.add((left, top))
            rings.add(tuple(parts["ring"]))
            assert top >= parts["top"] - 1
            assert bottom <= parts["bar"] + 1, parts
            assert parts["ring"][1] >= parts["top"] - 1
            assert parts["ring"][3] <= parts["bar"] + 1, parts
            assert parts["next"][1] + LINE_PX <= parts["bar"], parts
    assert len(counts) == 1
    assert len(rings) == 1
    assert len(titles) == 1


def test_it_is_told_that_a_list_goes_on_below(bench: Bench) -> None:
    page = bench(TABLET)
    to_step(page, 11)
    more, say = page.locator(".b-below"), page.locator(".b-say")
    for screen in ("phone", "phone on its side", "tablet"):
        page.set_viewport_size({**SCREENS[screen]["viewport"], "height": 360})
        say.evaluate("(say) => say.scrollTo(0, 0)")
        expect(more).to_be_visible()
        say.evaluate("(say) => say.scrollTo(0, say.scrollHeight)")
        expect(more).to_be_hidden()


@pytest.mark.parametrize(
    "views",
    [{"dark phone": DARK_PHONE, "tablet": TABLET, "light": DESKTOP}, {"German": GERMAN}],
    ids=" and ".join,
)
def test_every_panel_is_open_to_all_and_easy_to_hit(
    bench: Bench, views: Mapping[str, Mapping[str, Any]]
) -> None:
    page = bench(next(iter(views.values())))
    counted(page, 14)
    faults = faults_in(page, views, "#main")
    for panel in PANELS:
        page.locator("header [data-open=menu]").click()
        if panel != "menu":
            page.locator(f"#menu [data-open={panel}]").click()
        unfold(page, panel)
        faults |= faults_in(page, views, f"#{panel}")
        page.locator(f"#{panel} [data-close]").click()
    assert faults == {}


def faults_in(page: Page, views: Mapping[str, Mapping[str, Any]], part: str) -> dict[str, Any]:
    """What is wrong with the page as it stands, in every view; of a panel, if it is too wide."""
    found: dict[str, Any] = {}
    for name, view in views.items():
        page.set_viewport_size(view["viewport"])
        page.emulate_media(color_scheme=view.get("color_scheme", "light"))
        found[f"{part} {name}"] = violations(page) + small_targets(page)
        wide = page.locator(part).evaluate("(one) => one.scrollWidth - one.clientWidth")
        found[f"{part} {name}, px too wide"] = max(0, wide)
    return {what: fault for what, fault in found.items() if fault}


def unfold(page: Page, panel: str) -> None:
    """Show what a panel has folded away, or tells only when asked."""
    for summary in page.locator(f"#{panel} summary:visible").all():
        summary.click()
    if panel == "lost":
        page.locator("#lost-gap").fill("3")
        page.locator("#lost-form button.main").click()
    if panel == "note":
        page.locator("#note-text").fill("Weight hung lower.")
        page.locator("#note-form button").click()
        page.locator("header [data-open=menu]").click()
        page.locator("#menu [data-open=note]").click()
