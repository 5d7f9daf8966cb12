"""The log of a sock: its state is a function of its entries and of nothing else."""

from __future__ import annotations

import random
from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st

from sockwright.bench.log import Deed, Entry, State, in_order, state_of

BEATS = 120


@st.composite
def logs(draw: st.DrawFn) -> list[Entry]:
    """Entries as two devices make them: each counts on from the clock it has seen."""
    made: list[Entry] = []
    for number in range(draw(st.integers(0, 25))):
        device = draw(st.sampled_from(["tablet", "phone"]))
        seen = draw(st.integers(0, len(made)))
        clock = max((one.clock for one in made[:seen]), default=0) + 1
        deed = draw(st.sampled_from(list(Deed)))
        of = draw(st.sampled_from([one.id for one in made] or ["nothing"]))
        made.append(
            Entry(
                id=f"{device}-{number}",
                clock=clock,
                device=device,
                time="2025-11-03T19:20:00+00:00",
                deed=deed,
                by=draw(st.integers(-3, 12)),
                of=of if deed is Deed.UNDO else "",
                at=draw(st.integers(0, BEATS)),
                text="",
            )
        )
    return made


def count(number: int, by: int = 1) -> Entry:
    return Entry(f"e{number}", number, "tablet", "", Deed.COUNT, by=by)


def undo(number: int, of: str) -> Entry:
    return Entry(f"e{number}", number, "tablet", "", Deed.UNDO, of=of)


def test_counts_add_up_and_stop_at_the_ends() -> None:
    assert state_of([count(1), count(2, 10)], BEATS).done == 11
    assert state_of([count(1, -5)], BEATS).done == 0
    assert state_of([count(1, 500)], BEATS).done == BEATS


def test_an_undo_takes_its_entry_back_and_may_be_taken_back_itself() -> None:
    log = [count(1), count(2, 10), undo(3, "e2")]
    assert state_of(log, BEATS).done == 1
    assert state_of([*log, undo(4, "e3")], BEATS).done == 11
    assert state_of([*log, undo(4, "e3"), undo(5, "e4")], BEATS).done == 1


def test_an_undo_of_what_is_not_known_does_nothing() -> None:
    assert state_of([count(1), undo(2, "elsewhere")], BEATS).done == 1
    assert state_of([undo(1, "e1"), count(2)], BEATS).done == 1


def test_a_place_holds_from_there_on() -> None:
    place = Entry("p", 3, "tablet", "", Deed.PLACE, at=40)
    assert state_of([count(1), count(2), place, count(4)], BEATS).done == 41


def test_more_rounds_and_fewer_add_up() -> None:
    more = Entry("a", 1, "tablet", "", Deed.EXTRA, by=2, at=15)
    fewer = Entry("b", 2, "tablet", "", Deed.EXTRA, by=-2, at=15)
    assert state_of([more], BEATS).extra == {15: 2}
    assert state_of([more, fewer], BEATS).extra == {}


@given(logs(), st.randoms(use_true_random=False))
def test_order_and_repeats_do_not_matter(log: list[Entry], shuffle: random.Random) -> None:
    mixed = [*log, *log[:5]]
    shuffle.shuffle(mixed)
    assert state_of(mixed, BEATS) == state_of(log, BEATS)


@given(logs(), st.integers(0, 25))
def test_two_devices_that_have_each_other_s_entries_agree(log: list[Entry], cut: int) -> None:
    one, other = log[:cut], log[cut:]
    assert state_of([*one, *other], BEATS) == state_of([*other, *one], BEATS)


@given(logs())
def test_undoing_all_that_stands_brings_the_start_back(log: list[Entry]) -> None:
    while standing := state_of(log, BEATS).undoable:
        clock = state_of(log, BEATS).clock + 1
        log = [*log, Entry(f"u{clock}", clock, "z", "", Deed.UNDO, of=standing[-1])]
    state = state_of(log, BEATS)
    assert (state.done, state.extra) == (0, {})


@given(logs())
def test_an_undo_leaves_what_was_written_down(log: list[Entry]) -> None:
    written = {one.id for one in log if one.deed in (Deed.NOTE, Deed.DEVIATION)}
    assert not written & set(state_of(log, BEATS).undoable)


def test_a_note_goes_when_it_is_removed_by_itself() -> None:
    note = Entry("n", 2, "tablet", "", Deed.NOTE, text="weight hung lower")
    log = [count(1), note]
    assert state_of(log, BEATS).undoable == ("e1",)
    assert [one.text for one in state_of(log, BEATS).said] == ["weight hung lower"]
    assert state_of([*log, undo(3, "n")], BEATS).said == ()


@given(logs())
def test_no_count_is_lost(log: list[Entry]) -> None:
    counts = [one for one in log if one.deed is Deed.COUNT and one.by > 0]
    assert state_of(counts, 10**6).done == sum(one.by for one in counts)


def test_ids_are_counted_once() -> None:
    assert len(in_order([count(1), count(1), count(2)])) == 2


def test_an_empty_log_is_the_start() -> None:
    start: Callable[[], State] = State
    assert state_of([], BEATS) == start()
