"""What a log tells of the pace: only what was counted while it was worked."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from orders import order
from sockwright.bench.counting import sock_of, work_of_counts
from sockwright.bench.log import Action, Entry
from sockwright.bench.pace import paces_of
from sockwright.fabric.use import work_of
from sockwright.facts import fact
from sockwright.machine import Cylinder, DialKind, OwnPace
from sockwright.order.model import CuffGiven, CuffKind, SockGiven
from sockwright.plan.make import make_plan

BEGIN = datetime(2025, 11, 3, 19, 20, tzinfo=UTC)
PLAIN, ROW = "plain_rounds_per_minute", "seconds_per_row"
PAUSE_S = fact("bench", "pause_seconds").number
WORK = [{PLAIN: 1.0}] * 200 + [{ROW: 1.0}] * 50


def log(*counts: tuple[float, int], **more: str) -> list[Entry]:
    """Counts, each so many seconds after the one before and of so many."""
    at, made = BEGIN, []
    for number, (seconds, by) in enumerate(counts, 1):
        at += timedelta(seconds=seconds)
        made.append(
            Entry(str(number), number, "tablet", at.isoformat(), Action.COUNT, by=by, **more)
        )
    return made


def next_entry(entries: list[Entry], deed: Action, **more: object) -> Entry:
    last = entries[-1]
    return Entry("more", last.clock + 1, last.device, last.time, deed, **more)  # type: ignore[arg-type]


STEADY = [(0.0, 1)] + [(2.0, 1)] * 40


def test_rounds_and_rows_at_the_pace_they_were_counted_at() -> None:
    rounds, rows = [(0.0, 1)] + [(2.0, 1)] * 199, [(6.0, 1)] * 30
    assert paces_of(log(*rounds, *rows), WORK) == pytest.approx({PLAIN: 30.0, ROW: 6.0})


def test_several_at_once_are_as_many() -> None:
    assert paces_of(log((0, 1), (20, 10), (40, 20)), WORK) == pytest.approx({PLAIN: 30.0})


@pytest.mark.parametrize("gap", [PAUSE_S, 3 * PAUSE_S])
def test_a_pause_does_not_count(gap: float) -> None:
    assert paces_of(log(*STEADY, (gap, 1), *STEADY[1:]), WORK) == pytest.approx({PLAIN: 30.0})


def test_what_was_counted_after_the_fact_tells_nothing() -> None:
    at_once = [(0.0, 1)] + [(0.1, 1)] * 150
    assert paces_of(log((0, 1), (PAUSE_S, 100), *at_once), WORK) == {}
    later = log(*at_once, *[(2.0, 1)] * 40)
    assert paces_of(later, WORK) == pytest.approx({PLAIN: 30.0})
    slow = [replace(one, time=(BEGIN + timedelta(hours=1)).isoformat()) for one in log(*STEADY)]
    assert paces_of(slow, WORK) == {}


@pytest.mark.parametrize(
    "correct",
    [
        {"deed": Action.UNDO, "of": "20"},
        {"deed": Action.PLACE, "at": 12},
        {"deed": Action.EXTRA, "at": 3, "by": 2},
        {"deed": Action.COUNT, "by": -1},
    ],
    ids=lambda one: str(one["deed"]),
)
def test_what_was_corrected_tells_nothing(correct: dict[str, object]) -> None:
    entries = log(*STEADY)
    assert paces_of(entries, WORK)
    deed = Action(str(correct["deed"]))
    more = {key: value for key, value in correct.items() if key != "deed"}
    assert paces_of([*entries, next_entry(entries, deed, **more)], WORK) == {}


def test_another_device_and_a_clock_that_goes_back_tell_nothing() -> None:
    by_turns = [replace(one, device="phone" if one.clock % 2 else "tablet") for one in log(*STEADY)]
    assert paces_of(by_turns, WORK) == {}
    assert paces_of(log(*[(-2.0, 1)] * 40), WORK) == {}


def test_little_work_and_a_log_beyond_the_sock_tell_nothing() -> None:
    assert paces_of(log(*STEADY[:8]), WORK) == {}
    assert paces_of(log(*STEADY), WORK[:1]) == {}
    assert paces_of([], WORK) == {}


def test_the_work_of_all_counts_is_that_of_the_sock() -> None:
    plan = make_plan(order()).first
    work = work_of_counts(plan)
    assert len(work) == len(sock_of(plan).count_steps)
    for kind, amount in work_of(plan.program).items():
        assert sum(each.get(kind, 0.0) for each in work) == pytest.approx(amount)


def test_all_counts_together_take_the_time_of_the_sock() -> None:
    """A ribbed one, at the maker's own pace; but for its finishing."""
    ribbed = order(
        Cylinder(60, dial=DialKind.HALF), sock=SockGiven(CuffGiven(CuffKind.TRUE_RIB, rib=(1, 1)))
    )
    pace = (OwnPace("rib_rounds_per_minute", 10.0, 3),)
    for own in ((), pace):
        plan = make_plan(replace(ribbed, machine=replace(ribbed.machine, pace=own))).first
        assert work_of(plan.program)["rib_rounds_per_minute"] > 10
        counted = sum(one.seconds for one in sock_of(plan).count_steps) / 60
        finishing = fact("pace", "finishing_minutes").number
        assert counted == pytest.approx(plan.minutes.value - finishing)
