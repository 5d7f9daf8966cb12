"""Both socks of a pair at the machine: what was planned, followed and really knitted."""

from __future__ import annotations

import pytest

from databases import ON_ANY_KIND
from sockwright.bench.log import FIRST, SECOND
from sockwright.store.items import NotKept, Thing
from sockwright.workshop import Problems, Refused, Workshop
from sockwright.workshop.bench import SockAtBench
from workshop.test_bench_log import entry, rounds_of_leg

pytestmark = ON_ANY_KIND


def socks(one: Workshop, pair: Thing) -> tuple[SockAtBench, ...]:
    found = one.socks_at_bench(pair.id)
    assert not isinstance(found, Problems | Refused)
    return found


def test_before_anything_is_counted_all_is_as_planned(one: Workshop, pair: Thing) -> None:
    for sock in socks(one, pair):
        assert sock.planned.program == sock.followed.program == sock.knitted.program
        assert (sock.entries, sock.more, sock.record.begun) == ((), {}, None)


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


def test_rounds_that_cannot_be_are_told_apart(one: Workshop, pair: Thing) -> None:
    leg = rounds_of_leg(one, pair)
    one.add_to_bench_log(pair.id, FIRST, [entry(1, "extra", by=-5000, at=leg)])
    first, _ = socks(one, pair)
    assert first.impossible == {leg: -5000}
    assert first.more == {}


def test_no_such_pair(one: Workshop) -> None:
    with pytest.raises(NotKept):
        one.socks_at_bench("00000000-0000-0000-0000-000000000007")
