"""Where every number of a plan comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from difflib import get_close_matches
from typing import Any

from sockwright.errors import SockwrightError
from sockwright.once import once
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.fit_numbers import fit_numbers
from sockwright.plan_sources.foot_numbers import foot_numbers
from sockwright.plan_sources.further import candidates
from sockwright.plan_sources.gauge_numbers import fabric_of, gauge_numbers
from sockwright.plan_sources.knitted_numbers import knitted_numbers
from sockwright.plan_sources.opening_numbers import opening
from sockwright.plan_sources.sizing_numbers import sizing_numbers
from sockwright.plan_sources.time_numbers import time_number
from sockwright.plan_sources.tree import OTHER, completed
from sockwright.plan_sources.yarn_numbers import yarn_numbers
from sockwright.words import joined, said

SECOND = "second."
"""What keys of the second sock's numbers begin with, where the feet differ."""


class UnknownNumber(SockwrightError):
    """A key that is no number of the plan."""


@once
def sources(plan: Plan) -> tuple[Explained, ...]:
    """The explanation of every number of `plan`, in the order of `plan_data` and under its keys:
    "gauge.course", "fit.cylinders.72.girth" (by needles), "yarn.main.mass", "minutes".

    Where the feet differ those of the second sock follow, as "second.foot.length".
    """
    first = _sock(plan, plan.second)
    if plan.second is None:
        return first
    second = _sock(plan.second, plan)
    keys = {each.key for each in (*first, *second)}
    return (
        *(_renamed(each, keys, "", SECOND) for each in first),
        *(_renamed(each, keys, SECOND, "") for each in second),
    )


def explain(plan: Plan, key: str) -> Explained:
    """The explanation of one number. Raises UnknownNumber, naming keys like it."""
    table = {each.key: each for each in sources(plan)}
    if key in table:
        return table[key]
    tail = key.rsplit(".", maxsplit=1)[-1]
    near = [each for each in table if each.endswith(f".{tail}")] or get_close_matches(key, table)
    likely = joined(", ", near[:5] or list(table)[:5])
    raise UnknownNumber(
        said("{key} is no number of this plan; there is {likely}", key=key, likely=likely)
    )


def sources_data(plan: Plan) -> list[dict[str, Any]]:
    """`sources` as JSON-ready data, quantities as {"value", "sd", "unit"}."""
    return [each.as_data() for each in sources(plan)]


def _sock(plan: Plan, other: Plan | None) -> tuple[Explained, ...]:
    """The numbers of one sock; `other` is the plan of the other one, where there is one."""
    return completed(_numbers(plan, other), candidates(plan), plan.order.units)


def _numbers(plan: Plan, other: Plan | None) -> Iterator[Explained]:
    fabric = fabric_of(plan, plan.gauge, plan.sizing.needles)
    yield from gauge_numbers(fabric)
    yield opening(fabric)
    yield from foot_numbers(plan)
    yield from fit_numbers(plan)
    yield from sizing_numbers(plan)
    yield from knitted_numbers(plan)
    yield from yarn_numbers(plan, other)
    yield time_number(plan)


def _renamed(each: Explained, keys: set[str], own: str, other: str) -> Explained:
    """The explanation with `own` before the keys of its sock's numbers, `other` before those of
    the other sock."""

    def rename(one: Input) -> Input:
        if one.key.startswith(OTHER):
            return replace(one, key=other + one.key.removeprefix(OTHER))
        return replace(one, key=own + one.key) if one.key in keys else one

    return replace(
        each,
        key=own + each.key,
        inputs=tuple(rename(one) for one in each.inputs),
        rests_on=tuple(rename(one) for one in each.rests_on),
    )
