"""What a log tells afterwards: time at the crank, where notes were made, rounds more and fewer."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench_logs import beats_of
from orders import order
from sockwright.bench.counting import sock_of
from sockwright.bench.log import (
    Deed,
    Entry,
    apart,
    as_knitted,
    more_by_section,
    read_moment,
    record_of,
    round_counts,
    worked_seconds,
)
from sockwright.plan.data import instructions
from sockwright.plan.make import Plan, make_plan

BEGIN = datetime(2025, 11, 3, 19, 20, tzinfo=UTC)
PAUSE_S = 300.0


@cache
def plan() -> Plan:
    return make_plan(order()).first


def rounds_of(section: str) -> int:
    """The instruction with the most rounds of a section."""
    counts = round_counts(plan())
    found = [each for each in instructions(plan()) if each.section.value == section]
    return max((each.number for each in found if each.number in counts), key=counts.__getitem__)


def entry(
    clock: int, seconds: float, deed: Deed = Deed.COUNT, text: str = "", by: int = 1
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
    assert record_of([entry(1, 0, by=len(sock.beats))], sock).done


def test_a_note_knows_where_it_was_made() -> None:
    sock = sock_of(plan())
    number = rounds_of("leg")
    beats = beats_of(sock, number)
    log = [
        entry(1, 0, Deed.NOTE, "waste yarn is the red one"),
        entry(2, 10, by=beats[6].place),
        entry(3, 20, Deed.DEVIATION, "needle 17 replaced"),
    ]
    first, second = record_of(log, sock).remarks
    assert (first.after, first.deviation) == (None, False)
    assert second.deviation
    assert second.text == "needle 17 replaced"
    assert second.moment == BEGIN + timedelta(seconds=20)
    assert second.after == beats[6]


def test_a_note_that_was_taken_back_is_not_told() -> None:
    log = [
        entry(1, 0, Deed.NOTE, "no"),
        Entry("u", 2, "tablet", BEGIN.isoformat(), Deed.UNDO, of="e1"),
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
