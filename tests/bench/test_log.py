"""The log of a sock: its state and its record are functions of its entries and of nothing else."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench_logs import count_steps_of
from orders import order
from sockwright.bench.counting import sock_of
from sockwright.bench.log import (
    Action,
    Entry,
    State,
    apart,
    as_knitted,
    in_order,
    more_by_section,
    read_moment,
    record_of,
    round_counts,
    state_of,
    worked_seconds,
)
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan, make_plan

COUNT_STEPS = 120


@st.composite
def logs(draw: st.DrawFn) -> list[Entry]:
    """Entries as two devices make them: each counts on from the clock it has seen."""
    made: list[Entry] = []
    for number in range(draw(st.integers(0, 25))):
        device = draw(st.sampled_from(["tablet", "phone"]))
        seen = draw(st.integers(0, len(made)))
        clock = max((one.clock for one in made[:seen]), default=0) + 1
        deed = draw(st.sampled_from(list(Action)))
        of = draw(st.sampled_from([one.id for one in made] or ["nothing"]))
        made.append(
            Entry(
                id=f"{device}-{number}",
                clock=clock,
                device=device,
                time="2025-11-03T19:20:00+00:00",
                deed=deed,
                by=draw(st.integers(-3, 12)),
                of=of if deed is Action.UNDO else "",
                at=draw(st.integers(0, COUNT_STEPS)),
                text="",
            )
        )
    return made


def count(number: int, by: int = 1) -> Entry:
    return Entry(f"e{number}", number, "tablet", "", Action.COUNT, by=by)


def undo(number: int, of: str) -> Entry:
    return Entry(f"e{number}", number, "tablet", "", Action.UNDO, of=of)


def test_counts_add_up_and_stop_at_the_ends() -> None:
    assert state_of([count(1), count(2, 10)], COUNT_STEPS).done == 11
    assert state_of([count(1, -5)], COUNT_STEPS).done == 0
    assert state_of([count(1, 500)], COUNT_STEPS).done == COUNT_STEPS


def test_an_undo_takes_its_entry_back_and_may_be_taken_back_itself() -> None:
    log = [count(1), count(2, 10), undo(3, "e2")]
    assert state_of(log, COUNT_STEPS).done == 1
    assert state_of([*log, undo(4, "e3")], COUNT_STEPS).done == 11
    assert state_of([*log, undo(4, "e3"), undo(5, "e4")], COUNT_STEPS).done == 1


def test_an_undo_of_what_is_not_known_does_nothing() -> None:
    assert state_of([count(1), undo(2, "elsewhere")], COUNT_STEPS).done == 1
    assert state_of([undo(1, "e1"), count(2)], COUNT_STEPS).done == 1


def test_a_place_holds_from_there_on() -> None:
    place = Entry("p", 3, "tablet", "", Action.PLACE, at=40)
    assert state_of([count(1), count(2), place, count(4)], COUNT_STEPS).done == 41


def test_more_rounds_and_fewer_add_up() -> None:
    more = Entry("a", 1, "tablet", "", Action.EXTRA, by=2, at=15)
    fewer = Entry("b", 2, "tablet", "", Action.EXTRA, by=-2, at=15)
    assert state_of([more], COUNT_STEPS).extra == {15: 2}
    assert state_of([more, fewer], COUNT_STEPS).extra == {}


@given(logs(), st.randoms(use_true_random=False))
def test_order_and_repeats_do_not_matter(log: list[Entry], shuffle: random.Random) -> None:
    mixed = [*log, *log[:5]]
    shuffle.shuffle(mixed)
    assert state_of(mixed, COUNT_STEPS) == state_of(log, COUNT_STEPS)


@given(logs(), st.integers(0, 25))
def test_two_devices_that_have_each_other_s_entries_agree(log: list[Entry], cut: int) -> None:
    one, other = log[:cut], log[cut:]
    assert state_of([*one, *other], COUNT_STEPS) == state_of([*other, *one], COUNT_STEPS)


@given(logs())
def test_undoing_all_that_stands_brings_the_start_back(log: list[Entry]) -> None:
    while standing := state_of(log, COUNT_STEPS).undoable:
        clock = state_of(log, COUNT_STEPS).clock + 1
        log = [*log, Entry(f"u{clock}", clock, "z", "", Action.UNDO, of=standing[-1])]
    state = state_of(log, COUNT_STEPS)
    assert (state.done, state.extra) == (0, {})


@given(logs())
def test_an_undo_leaves_what_was_written_down(log: list[Entry]) -> None:
    written = {one.id for one in log if one.deed in (Action.NOTE, Action.DEVIATION)}
    assert not written & set(state_of(log, COUNT_STEPS).undoable)


def test_a_note_goes_when_it_is_removed_by_itself() -> None:
    note = Entry("n", 2, "tablet", "", Action.NOTE, text="weight hung lower")
    log = [count(1), note]
    assert state_of(log, COUNT_STEPS).undoable == ("e1",)
    assert [one.text for one in state_of(log, COUNT_STEPS).said] == ["weight hung lower"]
    assert state_of([*log, undo(3, "n")], COUNT_STEPS).said == ()


@given(logs())
def test_no_count_is_lost(log: list[Entry]) -> None:
    counts = [one for one in log if one.deed is Action.COUNT and one.by > 0]
    assert state_of(counts, 10**6).done == sum(one.by for one in counts)


def test_ids_are_counted_once() -> None:
    assert len(in_order([count(1), count(1), count(2)])) == 2


def test_an_empty_log_is_the_start() -> None:
    start: Callable[[], State] = State
    assert state_of([], COUNT_STEPS) == start()


BEGIN = datetime(2025, 11, 3, 19, 20, tzinfo=UTC)
PAUSE_S = 300.0


@cache
def plan() -> SockPlan:
    return make_plan(order()).first


def rounds_of(section: str) -> int:
    """The instruction with the most rounds of a section."""
    counts = round_counts(plan())
    found = [each for each in instructions(plan()) if each.section.value == section]
    return max((each.number for each in found if each.number in counts), key=counts.__getitem__)


def entry(
    clock: int, seconds: float, deed: Action = Action.COUNT, text: str = "", by: int = 1
) -> Entry:
    time = (BEGIN + timedelta(seconds=seconds)).isoformat()
    return Entry(f"e{clock}", clock, "tablet", time, deed, by=by, text=text)


def test_pauses_are_not_work() -> None:
    moments = [BEGIN + timedelta(seconds=at) for at in (0, 20, 40, 340, 639, 700)]
    # From 40 to 340 is a pause of just five minutes; from 340 to 639 is not.
    assert worked_seconds(moments, PAUSE_S) == 40 + 299 + 61


def test_one_count_is_no_time_yet() -> None:
    assert worked_seconds([BEGIN], PAUSE_S) == 0
    assert worked_seconds([], PAUSE_S) == 0


@given(st.lists(st.integers(0, 100_000), min_size=2, max_size=40).map(sorted))
def test_work_is_never_longer_than_the_whole_time(seconds: list[int]) -> None:
    moments = [BEGIN + timedelta(seconds=at) for at in seconds]
    worked = worked_seconds(moments, PAUSE_S)
    assert 0 <= worked <= seconds[-1] - seconds[0]
    if all(after - before < PAUSE_S for before, after in pairwise(seconds)):
        assert worked == seconds[-1] - seconds[0]


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("2025-11-03T19:20:00.000Z", BEGIN),
        ("2025-11-03T20:20:00+01:00", BEGIN),
        ("2025-11-03 19:20", BEGIN),
        ("2025-11-03T19:20:00+01:00:00.1234", BEGIN - timedelta(hours=1, microseconds=123400)),
        ("some time ago", None),
        ("", None),
        ("0001-01-01T00:00:00+14:00", None),
    ],
)
def test_moments_are_read_as_devices_write_them(text: str, moment: datetime | None) -> None:
    assert read_moment(text) == moment


def test_a_record_tells_when_how_long_and_how_far() -> None:
    log = [entry(1, 0), entry(2, 30), entry(3, 4000), entry(4, 4060)]
    record = record_of(log, sock_of(plan()))
    assert record.begun == BEGIN
    assert record.last == BEGIN + timedelta(seconds=4060)
    assert record.worked_s == 90
    assert record.state.done == 4
    assert not record.done


def test_entries_of_two_devices_make_one_time() -> None:
    """The clock orders what was done; time at the crank goes by the moments."""
    log = [entry(1, 60), entry(2, 0), entry(3, 120)]
    record = record_of(log, sock_of(plan()))
    assert record.begun == BEGIN
    assert record.worked_s == 120


def test_an_empty_log_tells_of_nothing() -> None:
    record = record_of([], sock_of(plan()))
    assert (record.begun, record.last, record.worked_s, record.remarks) == (None, None, 0, ())


def test_the_end_is_known() -> None:
    sock = sock_of(plan())
    assert record_of([entry(1, 0, by=len(sock.count_steps))], sock).done


def test_a_note_knows_where_it_was_made() -> None:
    sock = sock_of(plan())
    number = rounds_of("leg")
    count_steps = count_steps_of(sock, number)
    log = [
        entry(1, 0, Action.NOTE, "waste yarn is the red one"),
        entry(2, 10, by=count_steps[6].place),
        entry(3, 20, Action.DEVIATION, "needle 17 replaced"),
    ]
    first, second = record_of(log, sock).remarks
    assert (first.after, first.deviation) == (None, False)
    assert second.deviation
    assert second.text == "needle 17 replaced"
    assert second.moment == BEGIN + timedelta(seconds=20)
    assert second.after == count_steps[6]


def test_a_note_that_was_taken_back_is_not_told() -> None:
    log = [
        entry(1, 0, Action.NOTE, "no"),
        Entry("u", 2, "tablet", BEGIN.isoformat(), Action.UNDO, of="e1"),
    ]
    assert record_of(log, sock_of(plan())).remarks == ()


def test_rounds_more_and_fewer_are_told_by_section() -> None:
    knitted = as_knitted(plan(), {rounds_of("leg"): 2, rounds_of("foot"): -3})
    assert more_by_section(plan(), knitted) == {"leg": 2, "foot": -3}
    assert more_by_section(knitted, plan()) == {"leg": -2, "foot": 3}
    assert more_by_section(plan(), plan()) == {}


def test_the_second_sock_is_told_against_the_first() -> None:
    assert apart({"leg": 2}, {"leg": 2}) == {}
    assert apart({"leg": 2}, {}) == {"leg": -2}
    assert apart({"leg": 2}, {"leg": 1, "foot": 3}) == {"leg": -1, "foot": 3}
