"""The scripts beside the machine say the same as the engine: the log's state, the lost place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from amounts import amount
from bench_logs import tangled_logs
from browser.pages import FullSite
from browser.stage import DESKTOP, watched
from lost_places import Seen, places_that_fit
from orders import order
from sockwright import steps as op
from sockwright.bench.counting import ROW, Sock, sock_of
from sockwright.bench.log import FIRST, Action, Entry, State, state_of
from sockwright.bench.mishaps import AFTER, CORNERS, MISHAPS, OPEN, stages
from sockwright.bench.page_data import bench_data
from sockwright.machine import Turning
from sockwright.needlebed.bed import RAISED, WORKING
from sockwright.needlebed.execute import execute
from sockwright.plan.make import SockPlan, make_plan

COUNT_STEPS = 60
MANY = 60
"""Logs that go to the browser at once."""

STATES = """async ([folder, logs, counts]) => {
  const { stateOf } = await import(`${folder}/log.js`);
  return logs.map((log) => stateOf(log, counts));
}"""
PLACES = """async ([folder, data, seen]) => {
  const { readSock } = await import(`${folder}/sock.js`);
  const { placesThatFit } = await import(`${folder}/lost.js`);
  const sock = readSock(data);
  return seen.map((one) =>
    placesThatFit(sock, { ...one, raised: one.raised && new Set(one.raised) }));
}"""
LEARNED = """async ([folder, log]) => {
  const { Pace } = await import(`${folder}/pace.js`);
  const counts = Array.from({ length: 60 }, () => ({ kind: "row", seconds: 8 }));
  const pace = new Pace({ pause_seconds: 300, pace_counts: 5, session_hours: 3 });
  pace.learn(log, "tablet", counts);
  return pace.left(counts, 30);
}"""
PRINTED = """async ([folder, data]) => {
  const { readSock } = await import(`${folder}/sock.js`);
  const { Words } = await import(`${folder}/say.js`);
  const { placesThatFit } = await import(`${folder}/lost.js`);
  const { placeWords } = await import(`${folder}/moment.js`);
  const sock = readSock(data);
  const words = new Words(sock.words, sock.language);
  const seen = { raised: null, length_mm: null };
  return sock.beats.filter((beat) => beat.kind === "row").map((beat) => {
    const told = placeWords(sock, words, beat.place);
    const passed = Number(/needle (\\d+)/i.exec(told)[1]);
    const counted = beat.place - 1;
    const [best] = placesThatFit(sock, { ...seen, passed, section: beat.section, counted });
    return [beat.place, beat.way, best.done, best.off];
  });
}"""
WAYS_BACK = """async ([folder, data]) => {
  const { readSock } = await import(`${folder}/sock.js`);
  const { Words } = await import(`${folder}/say.js`);
  const { moment, waysBack } = await import(`${folder}/moment.js`);
  const sock = readSock(data);
  const words = new Words(sock.words, sock.language);
  return Array.from({ length: sock.beats.length + 1 }, (_, done) => ({
    ...moment(sock, words, done),
    ways: sock.mishaps.map((one) => waysBack(sock, words, one, done)),
  }));
}"""
NEEDLES = """async ([folder, texts, most]) => {
  const { readNeedles } = await import(`${folder}/lost.js`);
  return texts.map((text) => { const set = readNeedles(text, most); return set && [...set]; });
}"""
PACE = """async ([folder, counts]) => {
  const { Pace } = await import(`${folder}/pace.js`);
  const beats = Array.from({ length: 30 }, () => ({ kind: "row", seconds: 8 }));
  const pace = new Pace({ pause_seconds: 300, pace_counts: 5, session_hours: 3 });
  for (const at of counts) pace.count(at, [beats[0]]);
  return pace.left(beats, 0);
}"""


@pytest.fixture(scope="module")
def stage(browser: Browser, full_site: FullSite) -> Iterator[tuple[Page, str]]:
    """A page of the site, and where the scripts of the bench lie."""
    with watched(browser, full_site.open, DESKTOP) as (context, _):
        page = context.new_page()
        page.goto("/settings")
        style = page.locator('link[rel="stylesheet"]').first.get_attribute("href")
        assert style is not None
        found = re.match(r"/static/\w+", style)
        assert found is not None
        yield page, f"{found[0]}/bench"


def as_script(state: State) -> dict[str, Any]:
    """A state as the script has it."""
    return {
        "done": state.done,
        "extra": [list(one) for one in state.extra.items()],
        "said": [asdict(one) for one in state.said],
        "undoable": list(state.undoable),
        "clock": state.clock,
        "begun": state.begun,
        "follows": None if state.follows is None else [list(one) for one in state.follows.items()],
    }


@given(st.lists(tangled_logs(COUNT_STEPS), min_size=MANY, max_size=MANY))
@settings(
    max_examples=amount(2, 8),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
def test_a_log_comes_to_the_same_state(stage: tuple[Page, str], logs: list[list[Entry]]) -> None:
    page, folder = stage
    sent = [[{**asdict(one), "deed": one.deed.value} for one in log] for log in logs]
    assert page.evaluate(STATES, [folder, sent, COUNT_STEPS]) == [
        as_script(state_of(log, COUNT_STEPS)) for log in logs
    ]


@cache
def plan() -> SockPlan:
    """A sock with heel and toe in rows, an odd cylinder's."""
    return make_plan(order(61)).first


def sights(sock: Sock) -> list[Seen]:
    """What is seen at every seventh count of a sock, whole, in part, and a little wrong."""
    seen = []
    for count_step in sock.count_steps[::7]:
        up = frozenset(n for n, look in enumerate(sock.beds[count_step.bed][0], 1) if look == "r")
        seen += [
            Seen(
                raised=up,
                passed=sock.passed(count_step.place),
                section=count_step.section,
                length_mm=count_step.length_mm + 4,
            ),
            Seen(raised=up ^ {3}),
            Seen(passed=count_step.gap % sock.needles + 1),
            Seen(section=count_step.section, length_mm=1.1 * count_step.length_mm),
            Seen(raised=up | {sock.needles + 9}, passed=sock.passed(count_step.place)),
            Seen(
                passed=sock.passed(count_step.place),
                section=count_step.section,
                counted=count_step.place + 9,
            ),
        ]
    return [*seen, Seen(), Seen(section="nowhere")]


def test_the_same_places_fit(stage: tuple[Page, str]) -> None:
    page, folder = stage
    made = plan()
    sock = sock_of(made)
    seen = sights(sock)
    sent = [
        {**asdict(one), "raised": None if one.raised is None else sorted(one.raised)}
        for one in seen
    ]
    data = bench_data(made, FIRST)
    found = page.evaluate(PLACES, [folder, data, sent])
    for one, guesses in zip(seen, found, strict=True):
        expected = places_that_fit(sock, one)
        # The page has lengths to 0.1 mm, which moves a fit in its last places.
        assert [guess["off"] for guess in guesses] == pytest.approx(
            [guess.off for guess in expected], abs=0.02
        )
        for guess, other in zip(guesses, expected, strict=True):
            if one.length_mm is None:
                assert guess["done"] == other.done
    assert any(
        sock.count_steps[guess["done"] - 1].kind == ROW for guesses in found for guess in guesses
    )


TURNING = [Turning.CARRIER, Turning.CYLINDER]


@cache
def turning(needles: int, turns: Turning) -> SockPlan:
    """A sock of a machine whose carrier or whose cylinder turns."""
    given = order(needles)
    return make_plan(replace(given, machine=replace(given.machine, turns=turns))).first


@pytest.mark.parametrize("needles", [60, 61])
@pytest.mark.parametrize("turns", TURNING)
def test_the_number_that_the_page_prints_leads_back_to_its_row(
    stage: tuple[Page, str], needles: int, turns: Turning
) -> None:
    page, folder = stage
    found = page.evaluate(PRINTED, [folder, bench_data(turning(needles, turns), FIRST)])
    assert {way for _, way, _, _ in found} == {1, -1}
    for place, _, best, off in found:
        assert (best, off) == (place, 0)


@pytest.mark.parametrize("turns", TURNING)
def test_a_mishap_is_told_the_needles_as_they_are_while_the_hands_are_there(
    stage: tuple[Page, str], turns: Turning
) -> None:
    """Against the dry run of the program, not against what the page was given."""
    page, folder = stage
    made = turning(61, turns)
    sock, steps = sock_of(made), made.program.steps
    states = execute(made.program).states
    told = page.evaluate(WAYS_BACK, [folder, bench_data(made, FIRST)])
    for count_step, one in zip(sock.count_steps, told, strict=False):
        covered = sock.instructions[count_step.instruction - 1].steps
        cranked = [
            n for n in covered if isinstance(steps[n - 1], op.Rounds | op.PartRound | op.Row)
        ]
        needles = states[(cranked or covered)[0] - 1].cylinder
        assert one["working"] == needle_words(needles, WORKING)
        assert one["raised"] == needle_words(needles, RAISED)
        begins, ends = sock.passed(count_step.place - 1), sock.passed(count_step.place)
        if cranked:
            assert re.findall(r"(?i)needle (\d+)", one["carrier"]) == [str(begins), str(ends)]
        else:
            assert re.findall(r"(?i)needle (\d+)", one["carrier"]) == [str(begins)]


def needle_words(states: bytes, state: int) -> str:
    """Needles in a state as the page lists them: "1 to 4, 9 and 12"."""
    numbers = [n for n, now in enumerate(states, 1) if now == state]
    spans: list[list[int]] = []
    for n in numbers:
        if spans and spans[-1][-1] == n - 1:
            spans[-1] = [spans[-1][0], n]
        else:
            spans.append([n])
    texts = [" to ".join(map(str, span)) for span in spans]
    return " and ".join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts or ["none"])


def test_a_way_back_is_that_of_the_stage(stage: tuple[Page, str]) -> None:
    page, folder = stage
    sock = sock_of(plan())
    told = page.evaluate(WAYS_BACK, [folder, bench_data(plan(), FIRST)])
    names = list(MISHAPS)
    for stage_now, one in zip(stages(plan(), sock), told, strict=True):
        hem, hole = one["ways"][names.index("skewed")], one["ways"][names.index("hole")]
        lifted = any("Lift the hung bars off again" in step for step in hem)
        assert lifted == (stage_now.hem == OPEN)
        stands = any("neighbouring needle of the instep" in step for step in hole)
        assert stands == (stage_now.heel == CORNERS)
        assert any("Darn the hole" in step for step in hole) == (stage_now.heel == AFTER)


def test_needles_are_read_as_people_write_them(stage: tuple[Page, str]) -> None:
    page, folder = stage
    given = {
        "31-33": [31, 32, 33],
        " 1 – 2, 9": [1, 2, 9],
        "4;5 6": [4, 5, 6],
        "": [],
        "59-2": [59, 60, 1, 2],
        "3-3": [3],
        "0": None,
        "1-61": None,
        "ten": None,
    }
    assert page.evaluate(NEEDLES, [folder, list(given), 60]) == list(given.values())


def test_the_time_left_learns_from_the_pace_and_not_from_a_pause(stage: tuple[Page, str]) -> None:
    page, folder = stage
    usual = page.evaluate(PACE, [folder, []])
    twice_as_slow = page.evaluate(PACE, [folder, [16 * n for n in range(20)]])
    one_pause = page.evaluate(PACE, [folder, [0, 8, 16, 1000, 1008, 1016]])
    one_halt = page.evaluate(PACE, [folder, [0, 8, 16, 200, 208, 216]])
    assert usual == 30 * 8
    assert twice_as_slow == 2 * usual
    assert one_pause == one_halt == usual


def counted(*moments: float, device: str = "tablet", first: int = 1) -> list[dict[str, Any]]:
    """A log of single counts at so many seconds of a day."""
    return [
        {
            **asdict(Entry(f"{device}{n}", n, device, "", Action.COUNT, by=1)),
            "time": (datetime(2025, 11, 3, tzinfo=UTC) + timedelta(seconds=at)).isoformat(),
        }
        for n, at in enumerate(moments, first)
    ]


def test_the_pace_is_learned_from_the_log_of_this_session(stage: tuple[Page, str]) -> None:
    page, folder = stage
    usual = 30 * 8
    slow = counted(*(16 * n for n in range(20)))
    yesterday = counted(*(80 * n - 86_400 for n in range(20)))
    other = counted(*(80 * n for n in range(20)), device="phone")
    undone = [
        *counted(0, 16, 32),
        {**asdict(Entry("u", 4, "tablet", "", Action.UNDO, of="tablet3")), "time": slow[3]["time"]},
    ]

    def left(log: list[dict[str, Any]]) -> float:
        return float(page.evaluate(LEARNED, [folder, log]))

    assert left([]) == usual
    assert left(slow) == 2 * usual
    later = counted(*(16 * n for n in range(20)), first=21)
    assert left([*yesterday, *later]) == 2 * usual
    assert left(other) == usual
    assert left(undone) == usual
