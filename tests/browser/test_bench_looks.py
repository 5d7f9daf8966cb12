"""How the bench looks: what stands on it at every beat, its ring, its panels, on any screen."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.benches import SHOWN, Told, agree, boot_socks, counted, plan_of, shows, to_step, walked
from browser.stage import DESKTOP, GERMAN, PHONE, watched
from browser.test_pages import small_targets, violations
from sockwright.bench.beats import DO, Beat
from sockwright.bench.sheet import FIRST
from sockwright.workshop.workshop import Workshop
from web import sites

TABLET: Mapping[str, Any] = {
    "viewport": {"width": 1180, "height": 760},
    "has_touch": True,
    "is_mobile": True,
    "locale": "en-GB",
}
SMALL_TABLET: Mapping[str, Any] = {**TABLET, "viewport": {"width": 1024, "height": 600}}
SCREENS: Mapping[str, Mapping[str, Any]] = {
    name: {**TABLET, "viewport": {"width": width, "height": height}}
    for name, width, height in (
        ("phone", 360, 740),
        ("phone on its side", 740, 360),
        ("tablet", 1180, 820),
        ("upright", 820, 1180),
    )
}
DARK_PHONE: Mapping[str, Any] = {**PHONE, "color_scheme": "dark"}
VIEWS = {"light": DESKTOP, "dark phone": DARK_PHONE, "German": GERMAN, "tablet": TABLET}
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


@pytest.fixture(scope="module")
def kept_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    with sites.workshop(Path(tmp_path_factory.mktemp("looks")), example=True) as shop:
        yield shop


@pytest.fixture(scope="module")
def bench(browser: Browser, kept_shop: Workshop) -> Iterator[Bench]:
    """The bench of the boot socks at its beginning, in a view; each device by itself."""
    with ExitStack() as stack:
        served = stack.enter_context(sites.serving(kept_shop))

        def new(view: Mapping[str, Any]) -> Page:
            context, _ = stack.enter_context(watched(browser, served.address, view))
            # What is counted here stays here: every test begins with an empty log.
            context.route("**/log", lambda route: route.fulfill(json=route.request.post_data_json))
            page = context.new_page()
            page.add_init_script(
                "localStorage.setItem('sockwright:bench:settings',"
                " JSON.stringify({ debounce: 0, sound: false }))"
            )
            page.goto(f"/socks/{boot_socks(kept_shop)}/bench/first")
            expect(page.locator("html")).to_have_class("ready")
            return page

        yield new


def test_what_stands_on_the_page_is_that_of_the_beat(bench: Bench, kept_shop: Workshop) -> None:
    """Every beat: what to do, where the carrier is, the count, what comes next; and the ring."""
    page = bench(DESKTOP)
    plan = plan_of(kept_shop, boot_socks(kept_shop), FIRST)
    told = Told(plan)
    sense = 1 if plan.order.machine.forward.value == "clockwise" else -1
    gone = 0
    seen = walked(page, f"() => [({SHOWN})(), ({RING})()]")
    for beat, (stands, ring) in zip(told.sock.beats, seen, strict=False):
        agree(stands, told.at(beat.place - 1))
        assert ring["degrees"] == pytest.approx(sense * 360 * gone / told.sock.needles)
        look = told.sock.beds[told.sock.beats[beat.place - 2].bed if beat.place > 1 else 0][0]
        assert [one[:3] for one in ring["looks"]] == [LETTERS[letter] for letter in look]
        assert ring["shapes"]
        marked = [n for n, one in enumerate(ring["looks"], 1) if one.endswith(" now")]
        touches = beat.touches if beat.nth == 1 else ()
        assert marked == sorted({n for touch in touches for n in touch.needles})
        assert [kind for kind, _ in ring["signs"]] == [
            f"sign {touch.deed}" for touch in touches for _ in touch.needles
        ]
        gone += travel(beat, told.sock.needles)
    assert len(seen) == len(told.sock.beats) + 1
    shows(page, told.at(len(told.sock.beats)))


def travel(beat: Beat, needles: int) -> int:
    """Needles that the carrier passes in a beat, in reverse below 0."""
    on = (beat.gap - beat.gap_before) % needles
    if beat.kind == DO:
        return on - needles if on > needles / 2 else on
    if beat.way < 0:
        return on - needles
    return on or needles


@pytest.mark.parametrize("step", [10, 28])
def test_texts_of_the_ring_can_be_read_on_a_phone(bench: Bench, step: int) -> None:
    page = bench(PHONE)
    to_step(page, step)
    page.wait_for_timeout(400)
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
            assert apart / 2 > READ_PX, (one["text"], other["text"])


@pytest.mark.parametrize("view", ["tablet", "small tablet"])
def test_a_tablet_lying_shows_all_of_a_step_at_once(bench: Bench, view: str) -> None:
    page = bench({"tablet": TABLET, "small tablet": SMALL_TABLET}[view])
    to_step(page, 28)
    height = page.evaluate("innerHeight")
    for part in ("#do", "#place", "#count", "#next", "#ring svg", "#one"):
        box = page.locator(part).bounding_box()
        assert box is not None
        assert box["y"] >= 0, part
        assert box["y"] + box["height"] <= height, part
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    box = page.locator("#count").bounding_box()
    assert box is not None
    assert box["height"] >= 90


def test_neighbours_that_are_touched_are_named_together(bench: Bench) -> None:
    """Every needle that is touched has its number on the ring, where these are few."""
    few = 0
    for touched, named in walked(bench(DESKTOP), TOUCHED):
        if 1 < len(touched) <= 4:
            few += 1
            assert sorted(" ".join(named).split()) == sorted(touched)
    assert few


@pytest.mark.parametrize("screen", SCREENS)
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


@pytest.mark.parametrize("screen", ["tablet", "small tablet", "upright"])
def test_the_figures_of_the_count_can_be_read_from_afar(bench: Bench, screen: str) -> None:
    page = bench({"small tablet": SMALL_TABLET, **SCREENS}[screen])
    to_step(page, 28)
    assert page.evaluate(INK) >= INK_PX


@pytest.mark.parametrize("screen", ["phone", "phone on its side"])
def test_they_are_as_large_as_a_telephone_has_room_for(bench: Bench, screen: str) -> None:
    page = bench(SCREENS[screen])
    to_step(page, 28)
    size = page.locator("#count").evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")
    assert size >= INK_PX


@pytest.mark.parametrize("screen", ["phone", "phone on its side", "tablet"])
def test_it_is_told_that_a_list_goes_on_below(bench: Bench, screen: str) -> None:
    page = bench({**SCREENS[screen], "viewport": {**SCREENS[screen]["viewport"], "height": 360}})
    to_step(page, 11)
    more = page.locator(".b-below")
    expect(more).to_be_visible()
    page.locator(".b-say").evaluate("(say) => say.scrollTo(0, say.scrollHeight)")
    expect(more).to_be_hidden()


@pytest.mark.parametrize("view", VIEWS)
def test_every_panel_is_open_to_all_and_easy_to_hit(bench: Bench, view: str) -> None:
    page = bench(VIEWS[view])
    counted(page, 14)
    faults = [f"bench: {one}" for one in violations(page)]
    faults += [f"bench: {one}" for one in small_targets(page)]
    for panel in PANELS:
        page.locator("header [data-open=menu]").click()
        if panel != "menu":
            page.locator(f"#menu [data-open={panel}]").click()
        unfold(page, panel)
        faults += [f"{panel}: {one}" for one in violations(page)]
        faults += [f"{panel}: {one}" for one in small_targets(page)]
        wide = page.locator(f"#{panel}").evaluate("(one) => one.scrollWidth - one.clientWidth")
        faults += [f"{panel}: {wide} px too wide"] if wide > 0 else []
        page.locator(f"#{panel} [data-close]").click()
    assert faults == []


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
