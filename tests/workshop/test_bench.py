"""Pairs at the machine: logs kept once each, in any order, and what was really knitted by them."""

from __future__ import annotations

import csv
import json
from datetime import UTC, datetime
from io import StringIO
from typing import Any
from uuid import UUID

import pytest

from databases import ON_ANY_KIND
from sockwright.bench.log import FIRST, SECOND, Action, state_of
from sockwright.plan.data import instructions
from sockwright.store.database import sqlite_url
from sockwright.store.items import ItemKind, NotKept, Thing
from sockwright.store.kept import KeptEntry, add_entries
from sockwright.workshop import Planned, PlannedSock, Problems, Refused, Workshop, bench
from sockwright.workshop.backup import JoinResult
from sockwright.workshop.bench import MOST_AHEAD, Added, SockAtBench, log_as_csv
from workshops import database_of, problems, workshop

TABLET = str(UUID(int=1))
PHONE = str(UUID(int=2))


def entry(number: int, deed: str = "count", device: str = TABLET, **more: Any) -> dict[str, Any]:
    return {
        "id": str(UUID(int=1000 + number)),
        "clock": number,
        "device": device,
        "time": "2025-11-03T20:20:00+01:00",
        "deed": deed,
        **({"by": 1} if deed == "count" and "by" not in more else {}),
        **more,
    }


def plan(answer: object) -> PlannedSock:
    assert isinstance(answer, PlannedSock), answer
    return answer


def added(one: Workshop, pair: Thing, entries: list[Any]) -> Added:
    """What became of entries that were sent."""
    answer = one.add_to_bench_log(pair.id, FIRST, entries)
    assert isinstance(answer, Added), answer
    return answer


def rounds_of_leg(one: Workshop, pair: Thing) -> int:
    """The instruction that knits the leg's first rounds."""
    planned = plan(one.plan_at_bench(pair.id, FIRST)).plan
    return next(
        each.number
        for each in instructions(planned)
        if each.section.value == "leg" and each.count and each.count.last > each.count.first
    )


def test_entries_are_kept_once_in_the_order_of_their_clock(one: Workshop, pair: Thing) -> None:
    log = added(one, pair, [entry(2, by=10), entry(1)]).log
    again = added(one, pair, [entry(1), entry(3, device=PHONE)]).log
    assert [one.clock for one in log] == [1, 2]
    assert [one.clock for one in again] == [1, 2, 3]
    assert state_of(again, 500).done == 12
    assert one.bench_log(pair.id, FIRST) == again
    assert one.bench_log(pair.id, SECOND) == ()


def test_an_entry_that_came_first_is_not_written_over(one: Workshop, pair: Thing) -> None:
    one.add_to_bench_log(pair.id, FIRST, [entry(1)])
    log = added(one, pair, [{**entry(1), "by": 99}]).log
    assert [one.by for one in log] == [1]


def test_the_first_entry_begins_the_pair(one: Workshop, pair: Thing) -> None:
    assert pair.fields["status"] == "planned"
    one.add_to_bench_log(pair.id, FIRST, [entry(1)])
    assert one.thing(ItemKind.SOCK, pair.id).fields["status"] == "being made"


def test_each_entry_is_kept_or_refused_by_itself(one: Workshop, pair: Thing) -> None:
    sent = [
        entry(1),
        {**entry(2), "clock": 0},
        {**entry(3), "deed": "fly"},
        {**entry(4), "id": "x"},
        {**entry(5), "by": 1e99},
        {**entry(6), "text": "a\x00b"},
        {**entry(7), "more": 1},
        "no table",
        {**entry(9), "text": "hidden\u202eorder"},
        entry(10, by=4),
    ]
    answer = added(one, pair, sent)
    assert [(each.number, each.problems[0].path) for each in answer.refused] == [
        (2, "entries[2].clock"),
        (3, "entries[3].deed"),
        (4, "entries[4].id"),
        (5, "entries[5].by"),
        (6, "entries[6].text"),
        (7, "entries[7].more"),
        (8, "entries[8]"),
        (9, "entries[9].text"),
    ]
    ids = {each.number: each.id for each in answer.refused}
    assert (ids[4], ids[6], ids[8]) == ("", entry(6)["id"], "")
    assert [each.clock for each in answer.log] == [1, 10]
    assert one.bench_log(pair.id, FIRST) == answer.log
    assert one.thing(ItemKind.SOCK, pair.id).fields["status"] == "being made"


@ON_ANY_KIND
def test_what_was_refused_is_taken_once_it_is_mended(one: Workshop, pair: Thing) -> None:
    wrong = entry(1, "note", text="bell\a")
    assert [each.id for each in added(one, pair, [wrong, entry(2)]).refused] == [wrong["id"]]
    again = added(one, pair, [{**wrong, "text": "bell"}])
    assert not again.refused
    assert [each.text for each in again.log] == ["bell", ""]


# Clocks


@ON_ANY_KIND
def test_a_forged_clock_is_refused_and_spoils_no_later_count(one: Workshop, pair: Thing) -> None:
    answer = added(one, pair, [entry(1), entry(1_000_000_000), entry(2)])
    assert [each.problems[0].path for each in answer.refused] == ["entries[2].clock"]
    assert [each.clock for each in answer.log] == [1, 2]
    assert not added(one, pair, [entry(3)]).refused


@ON_ANY_KIND
def test_clocks_in_a_row_are_taken_however_long_a_device_was_away(
    one: Workshop, pair: Thing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bench, "MOST_AHEAD", 5)
    added(one, pair, [entry(1)])
    for first in (2, 22, 42):
        row = [entry(number) for number in range(first, first + 20)]
        assert not added(one, pair, row[::-1]).refused
    assert one.bench_log(pair.id, FIRST)[-1].clock == 61


@ON_ANY_KIND
def test_forged_clocks_cannot_climb_by_steps_within_one_sending(one: Workshop, pair: Thing) -> None:
    steps = [entry(number * MOST_AHEAD) for number in range(1, 30)]
    assert added(one, pair, steps).log[-1].clock <= MOST_AHEAD + len(steps)


def test_a_log_that_holds_a_forged_clock_from_before_is_counted_on(
    one: Workshop, pair: Thing
) -> None:
    forged = 1_000_000_000
    with database_of(one).writing() as session:
        now = datetime(2025, 11, 3, tzinfo=UTC)
        old = {**entry(forged, "place", at=7), "sock_id": pair.id, "which": FIRST, "received": now}
        add_entries(session, [KeptEntry(**old)])
    undo = entry(forged + 1, "undo", of=old["id"])
    answer = added(one, pair, [entry(forged), undo, entry(forged + 2, by=3), entry(5, by=2)])
    assert not answer.refused
    assert state_of(answer.log, 500).done == 5
    other = added(one, pair, [entry(forged + 2 + 2 * MOST_AHEAD)])
    assert len(other.refused) == 1
    # The whole workshop with that log goes to another and is counted on there.
    data = one.export_all()
    assert isinstance(one.import_all(data), JoinResult)


@ON_ANY_KIND
def test_far_too_many_are_refused(one: Workshop, pair: Thing) -> None:
    found = problems(one.add_to_bench_log(pair.id, FIRST, [entry(1)] * 2001))
    assert set(found) == {"entries"}
    assert "2001" in found["entries"]


def test_no_such_pair(one: Workshop) -> None:
    with pytest.raises(NotKept):
        one.add_to_bench_log(str(UUID(int=7)), FIRST, [entry(1)])


@ON_ANY_KIND
def test_what_was_really_knitted_is_proven_anew(one: Workshop, pair: Thing) -> None:
    number = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=2, at=number)])
    planned = plan(one.plan_at_bench(pair.id, FIRST)).plan
    knitted = plan(one.as_knitted(pair.id, FIRST)).plan
    assert knitted.dry_run.ok
    assert knitted.dry_run.loops.courses == planned.dry_run.loops.courses + 2
    longer = knitted.fabric.leg_length.value - planned.fabric.leg_length.value
    assert longer == pytest.approx(2 * planned.gauge.course.value)
    assert knitted.use["main"].mass.value > planned.use["main"].mass.value


@ON_ANY_KIND
def test_the_second_sock_follows_the_first(one: Workshop, pair: Thing) -> None:
    number = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=3, at=number)])
    first = plan(one.plan_at_bench(pair.id, FIRST)).plan
    second = plan(one.plan_at_bench(pair.id, SECOND)).plan
    assert second.dry_run.ok
    assert second.dry_run.loops.courses == first.dry_run.loops.courses + 3
    assert second.program == plan(one.as_knitted(pair.id, FIRST)).plan.program


def test_a_second_sock_once_begun_follows_no_later_change(one: Workshop, pair: Thing) -> None:
    number = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=3, at=number)])
    before = plan(one.plan_at_bench(pair.id, SECOND)).plan.program
    one.add_to_bench_log(pair.id, SECOND, [entry(2)])
    one.add_to_bench_log(pair.id, FIRST, [entry(3, "extra", by=5, at=number)])
    assert plan(one.plan_at_bench(pair.id, SECOND)).plan.program == before


@ON_ANY_KIND
def test_what_the_second_was_begun_with_stands_whenever_it_comes(
    one: Workshop, pair: Thing
) -> None:
    """Counted without a network before the first was changed, brought back after."""
    number = rounds_of_leg(one, pair)
    of_pair = one.plan_of(pair.id)
    assert isinstance(of_pair, Planned)
    planned = plan(one.plan_at_bench(pair.id, SECOND)).plan.program
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=2, at=number)])
    following = one.following(pair.id, of_pair)
    assert (following.follows, following.begun) == ({number: 2}, False)
    one.add_to_bench_log(pair.id, SECOND, [entry(2, "begin"), entry(3, by=40)])
    assert plan(one.plan_at_bench(pair.id, SECOND)).plan.program == planned
    following = one.following(pair.id, of_pair)
    assert (following.follows, following.later, following.begun) == ({}, {number: 2}, True)


@ON_ANY_KIND
def test_a_count_taken_back_begins_nothing(one: Workshop, pair: Thing) -> None:
    number = rounds_of_leg(one, pair)
    undone = [entry(2, "begin"), entry(3), entry(4, "undo", of=entry(3)["id"])]
    one.add_to_bench_log(pair.id, SECOND, undone)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=2, at=number)])
    second = plan(one.plan_at_bench(pair.id, SECOND)).plan
    assert second.program == plan(one.as_knitted(pair.id, FIRST)).plan.program
    again = [entry(5, "begin", text=f"{number}:2"), entry(6)]
    one.add_to_bench_log(pair.id, SECOND, again)
    one.add_to_bench_log(pair.id, FIRST, [entry(7, "extra", by=1, at=number)])
    assert plan(one.plan_at_bench(pair.id, SECOND)).plan.program == second.program


@ON_ANY_KIND
def test_more_rounds_fewer_than_there_are_is_not_followed(one: Workshop, pair: Thing) -> None:
    number = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=-5000, at=number)])
    planned = plan(one.plan_at_bench(pair.id, FIRST)).plan
    assert plan(one.as_knitted(pair.id, FIRST)).plan.program == planned.program


@ON_ANY_KIND
def test_the_log_goes_out_as_a_table(one: Workshop, pair: Thing) -> None:
    note = entry(2, "note", text='Weight hung "lower",\nthen higher.')
    log = added(one, pair, [entry(1), note]).log
    rows = list(csv.DictReader(StringIO(log_as_csv(log))))
    assert [row["deed"] for row in rows] == ["count", "note"]
    assert rows[1]["text"] == note["text"]
    assert Action(rows[0]["deed"]) is Action.COUNT


def test_logs_go_with_the_whole_workshop(one: Workshop, pair: Thing, tmp_path: Any) -> None:
    one.add_to_bench_log(pair.id, FIRST, [entry(1), entry(2, "note", text="Grüße")])
    data = one.export_all()
    other = workshop(sqlite_url(tmp_path / "other.db"))
    joined = other.import_all(data)
    assert isinstance(joined, JoinResult)
    assert joined.entries == 2
    assert other.bench_log(pair.id, FIRST) == one.bench_log(pair.id, FIRST)
    assert other.export_all() == data
    again = other.import_all(data)
    assert isinstance(again, JoinResult)
    assert again.entries == 0
    database_of(other).close()


def test_a_damaged_log_is_refused(one: Workshop, pair: Thing) -> None:
    one.add_to_bench_log(pair.id, FIRST, [entry(1)])
    whole = json.loads(one.export_all())
    whole["bench"][0]["by"] = 7
    assert "checksum of bench" in str(one.import_all(json.dumps(whole).encode()))


def socks(one: Workshop, pair: Thing) -> tuple[SockAtBench, ...]:
    found = one.socks_at_bench(pair.id)
    assert not isinstance(found, Problems | Refused)
    return found


@ON_ANY_KIND
def test_before_anything_is_counted_all_is_as_planned(one: Workshop, pair: Thing) -> None:
    for sock in socks(one, pair):
        assert sock.planned.program == sock.followed.program == sock.knitted.program
        assert (sock.entries, sock.more, sock.record.begun) == ((), {}, None)


@ON_ANY_KIND
def test_what_was_knitted_otherwise_is_told_of_both_socks(one: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, by=3), entry(2, "extra", by=2, at=leg)])
    one.add_to_bench_log(pair.id, SECOND, [entry(3), entry(4, "extra", by=-1, at=leg)])
    first, second = socks(one, pair)
    assert (first.more, second.more) == ({"leg": 2}, {"leg": 1})
    course = first.planned.gauge.course.value
    longer = first.knitted.fabric.leg_length.value - first.planned.fabric.leg_length.value
    assert longer == pytest.approx(2 * course)
    # The second follows the first, and then was a round shorter than that.
    assert second.followed.program == first.knitted.program
    assert second.knitted.fabric.leg_length.value == pytest.approx(
        first.knitted.fabric.leg_length.value - course
    )
    assert second.planned.program == first.planned.program


@ON_ANY_KIND
def test_rounds_that_cannot_be_are_told_apart(one: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=-5000, at=leg)])
    first, _ = socks(one, pair)
    assert first.impossible == {leg: -5000}
    assert first.more == {}


@ON_ANY_KIND
def test_no_such_pair_at_the_bench(one: Workshop) -> None:
    with pytest.raises(NotKept):
        one.socks_at_bench("00000000-0000-0000-0000-000000000007")
