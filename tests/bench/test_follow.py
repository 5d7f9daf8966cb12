"""The second sock follows the first: step by step where they are alike, by its parts where not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from orders import FOOT, order
from sockwright.bench.counting import sock_of
from sockwright.bench.follow import asides, by_section, carried, following
from sockwright.bench.log import (
    Action,
    Entry,
    State,
    as_knitted,
    follows_text,
    read_follows,
    round_counts,
)
from sockwright.plan.data import instructions
from sockwright.plan.make import PairPlan, SockPlan, make_plan


@cache
def alike() -> SockPlan:
    return make_plan(order(60)).first


@cache
def unlike() -> PairPlan:
    """A pair whose right foot is three centimetres shorter, on an odd cylinder."""
    one = order(61, wale_mm=3.25)
    left = replace(FOOT, length_mm=FOOT.length_mm + 35)
    right = replace(FOOT, length_mm=FOOT.length_mm + 5)
    return make_plan(replace(one, wearer=replace(one.wearer, left=left, right=right)))


def section(plan: SockPlan, number: int) -> str:
    return next(each.section.value for each in instructions(plan) if each.number == number)


def extra(by: int, at: int, number: int = 1) -> Entry:
    return Entry(f"e{number}", number, "tablet", "2025-11-03T19:20:00Z", Action.EXTRA, by=by, at=at)


def test_socks_alike_are_followed_step_by_step() -> None:
    more = {number: by for by, number in enumerate(round_counts(alike()), 1)}
    assert carried(alike(), alike(), more) == (more, {})


def test_unlike_feet_are_followed_part_by_part() -> None:
    first, own = unlike().both
    assert own is not None
    counted = [each.number for each in instructions(first) if each.count]
    assert counted != [each.number for each in instructions(own) if each.count]
    for number in set(counted) & set(round_counts(first)):
        found, left = carried(first, own, {number: 2})
        assert not left
        assert by_section(own, found) == {section(first, number): 2}
        assert as_knitted(own, found).dry_run.ok


def test_what_cannot_be_followed_is_told() -> None:
    leg = next(n for n in round_counts(alike()) if section(alike(), n) == "leg")
    log = [extra(-5000, leg)]
    found = following(alike(), alike(), log, State(), {})
    assert (found.follows, found.left) == ({}, {"leg": -5000})
    assert asides(alike(), found) == {
        1: ["This sock cannot follow the first in this: Leg: 5000 rounds fewer."]
    }


def test_where_it_follows_and_what_was_noted_is_told_at_the_step() -> None:
    leg = next(n for n in round_counts(alike()) if section(alike(), n) == "leg")
    sock = sock_of(alike())
    row = next(
        count_step
        for count_step in sock.count_steps
        if count_step.section == "heel" and count_step.kind == "row"
    )
    log = [
        extra(2, leg),
        Entry("c", 2, "tablet", "", Action.PLACE, at=row.place),
        Entry("d", 3, "tablet", "", Action.DEVIATION, text="2 rows {more}"),
    ]
    told = asides(alike(), following(alike(), alike(), log, State(), {}))
    assert told == {
        1: ["The first sock was changed: Leg: 2 rounds more. This one follows it."],
        leg: ["2 rounds more than planned, as the first sock."],
        row.instruction: ["Noted here on the first sock: “2 rows {more}”"],
    }
    begun = State(begun=True, follows={leg: 1})
    told = asides(alike(), following(alike(), alike(), log, begun, {}))
    assert list(told) == [leg, row.instruction]
    assert told[leg][0] == "1 round more than planned, as the first sock."
    assert "it has 1 round more here" in told[leg][1]


@given(st.dictionaries(st.integers(1, 999), st.integers(-500, 500).filter(bool)))
def test_what_is_followed_is_written_and_read(follows: dict[int, int]) -> None:
    assert read_follows(follows_text(follows)) == follows
