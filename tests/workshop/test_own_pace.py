"""The maker's own pace goes from the logs of a machine's pairs into the orders for that machine."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from databases import ON_ANY_KIND
from sockwright.bench.log import FIRST, SECOND
from sockwright.machine import OwnPace
from sockwright.order import new_order, parse_order
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Composed, Planned, Workshop
from sockwright.workshop.bench import Added
from sockwright.workshop.order_exchange import Taken
from workshops import MACHINE, chosen, kept, problems

pytestmark = ON_ANY_KIND

BEGIN = datetime(2025, 11, 3, 19, 20, tzinfo=UTC)
ROUND_S = 3.0


def counted(each_s: float, counts: int = 300) -> list[dict[str, Any]]:
    """A sock counted one by one at so many seconds each."""
    return [
        {
            "id": str(uuid4()),
            "clock": n,
            "device": "00000000-0000-4000-8000-000000000001",
            "time": (BEGIN + timedelta(seconds=n * each_s)).isoformat(),
            "deed": "count",
            "by": 1,
        }
        for n in range(1, counts + 1)
    ]


def finished(one: Workshop, pair: Thing) -> Thing:
    """The pair is made: only then its logs tell."""
    return kept(one.finish_sock(pair.id, pair.version, {}))


def keep_log(one: Workshop, pair: Thing, which: str, entries: list[dict[str, Any]]) -> None:
    answer = one.add_to_bench_log(pair.id, which, entries)
    assert isinstance(answer, Added)
    assert not answer.refused


def paces(one: Workshop, machine: str | None = None) -> dict[str, OwnPace]:
    """What the next order for a machine says of the pace on it."""
    choice = chosen(one)
    answer = one.compose_order(replace(choice, machine=machine or choice.machine))
    assert isinstance(answer, Composed), answer
    assert parse_order(answer.toml) == answer.order
    return {each.name: each for each in answer.order.machine.pace}


def test_the_logs_of_a_machine_go_into_its_next_order(one: Workshop, pair: Thing) -> None:
    before = one.plan_for(chosen(one))
    assert not paces(one)
    keep_log(one, pair, FIRST, counted(ROUND_S))
    assert not paces(one)
    finished(one, one.thing(ItemKind.SOCK, pair.id))
    # Some counts are of half a round.
    rounds = paces(one)["plain_rounds_per_minute"]
    assert (rounds.value, rounds.socks) == (
        pytest.approx(60 / ROUND_S, rel=0.05),
        1,
    )  # some half rounds
    keep_log(one, pair, SECOND, counted(4 * ROUND_S))
    both = paces(one)["plain_rounds_per_minute"]
    assert (both.value, both.socks) == (pytest.approx(60 / ROUND_S / 2, rel=0.05), 2)
    after = one.plan_for(chosen(one))
    assert isinstance(before, Planned)
    assert isinstance(after, Planned)
    # 3 to 12 s for each count: rounds take longer than usual, every change far less than 40 s.
    assert after.pair.first.minutes.value < before.pair.first.minutes.value
    assert after.pair.first.minutes.sd < before.pair.first.minutes.sd


def test_another_machine_and_a_late_log_tell_nothing(one: Workshop, pair: Thing) -> None:
    finished(one, pair)
    keep_log(one, pair, FIRST, counted(ROUND_S))
    other = kept(one.keep(ItemKind.MACHINE, {**MACHINE, "name": "the other"}))
    assert paces(one)
    assert not paces(one, other.id)
    keep_log(one, pair, SECOND, counted(0.0))
    assert {each.socks for each in paces(one).values()} == {1}


def test_a_pair_is_not_out_of_date_by_its_own_log(one: Workshop, pair: Thing) -> None:
    finished(one, pair)
    keep_log(one, pair, FIRST, counted(ROUND_S))
    assert one.changed_parts(pair.id) == ()
    choice = chosen(one)
    again = kept(one.plan_sock(choice))
    assert "[machine.pace" in again.fields["order_toml"]
    assert one.changed_parts(again.id) == ()


def test_a_machine_has_no_pace_of_its_own(one: Workshop) -> None:
    document = {**MACHINE, "pace": {"seconds_per_row": 6}}
    assert set(problems(one.keep(ItemKind.MACHINE, document))) == {"pace"}


def test_an_order_file_with_a_pace_is_imported(one: Workshop) -> None:
    """The machine is kept without it; the pair's order stays as it was."""
    text = new_order() + "\n[machine.pace]\nseconds_per_row = 6\n"
    taken = one.import_order(text)
    assert isinstance(taken, Taken), taken
    assert "pace" not in kept(one.things(ItemKind.MACHINE)[-1]).document
    order = parse_order(one.export_order(taken.sock.id))
    assert order.machine.pace == (OwnPace("seconds_per_row", 6.0),)
