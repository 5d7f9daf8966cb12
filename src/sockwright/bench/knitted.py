"""What was really knitted: the program with the rounds that were knitted more or fewer, proven."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from sockwright import steps as op
from sockwright.errors import SockwrightError
from sockwright.plan import Plan, with_program
from sockwright.plan_data import instructions
from sockwright.words import said

MOST_EXTRA = 500
"""Rounds more or fewer in one place: beyond any sock."""


class CannotCount(SockwrightError):
    """Rounds more or fewer where there are no rounds, or more fewer than there are."""


def possible_extra(plan: Plan, extra: Mapping[int, int]) -> dict[int, int]:
    """Of the rounds more and fewer in another sock of the pair, those that this one can have."""
    counts = round_counts(plan)
    return {
        number: by
        for number, by in extra.items()
        if number in counts and 1 <= counts[number] + by <= counts[number] + MOST_EXTRA
    }


def round_counts(plan: Plan) -> dict[int, int]:
    """How many whole rounds each instruction knits that knits any."""
    return {
        each.number: step.count
        for each in instructions(plan)
        for step in (plan.program.steps[place - 1] for place in each.steps)
        if isinstance(step, op.Rounds)
    }


def as_knitted(plan: Plan, extra: Mapping[int, int]) -> Plan:
    """The plan of one sock as it was knitted: instruction `n` with `extra[n]` rounds more.

    Its program is run, measured and weighed anew. CannotCount for an instruction without rounds
    or without so many.
    """
    told = {each.number: each for each in instructions(plan)}
    steps = list(plan.program.steps)
    for number, by in extra.items():
        covered = told[number].steps if number in told else ()
        places = [place - 1 for place in covered if isinstance(steps[place - 1], op.Rounds)]
        if not places:
            raise CannotCount(
                said("step {number} has no rounds to knit more or fewer of", number=number)
            )
        step = steps[places[0]]
        assert isinstance(step, op.Rounds)
        if not 1 <= step.count + by <= step.count + MOST_EXTRA:
            raise CannotCount(
                said(
                    "step {number} has {count} rounds; {by} more or fewer cannot be",
                    number=number,
                    count=step.count,
                    by=by,
                )
            )
        steps[places[0]] = replace(step, count=step.count + by)
    return with_program(plan, replace(plan.program, steps=tuple(steps)))
