"""Numbers that move with the rounds knitted more: the page tells what the program would."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import pytest

from orders import order
from sockwright.bench.knitted import as_knitted, round_counts
from sockwright.bench.log import FIRST
from sockwright.bench.sentences import moves
from sockwright.bench.sheet import bench_data
from sockwright.plan import Plan, make_plan
from sockwright.plan_data import instructions
from sockwright.words import tongue


@cache
def plan() -> Plan:
    return make_plan(order(61))


def filled(data: dict[str, Any], place: int, extra: dict[int, int]) -> str:
    moving = dict(data["moving"].get(place, ()))
    nth = iter(range(99))

    def number(found: re.Match[str]) -> str:
        return str(int(found[0]) + sum(extra.get(one, 0) for one in moving.get(next(nth), ())))

    return re.sub(r"\d+", number, data["sentences"][place])


def told(data: dict[str, Any], extra: dict[int, int]) -> list[list[str]]:
    columns = data["instruction_columns"]
    rows = [dict(zip(columns, row, strict=True)) for row in data["instructions"]]
    return [
        [
            " ".join(filled(data, place, extra) for place in places)
            for places in (row["head"], row["text"], *row["items"])
        ]
        for row in rows
    ]


@pytest.mark.parametrize("language", ["en", "de"])
def test_it_tells_what_the_program_of_what_was_knitted_tells(language: str) -> None:
    counted = [
        each.number
        for each in instructions(plan())
        if each.count and round_counts(plan()).get(each.number, 0) > 1
    ]
    extra = dict(zip(counted, (2, -3, 70), strict=False))
    data = bench_data(plan(), FIRST, tongue(language))
    other = bench_data(as_knitted(plan(), extra), FIRST, tongue(language))
    assert told(data, extra) == told(other, {})
    assert told(data, {}) != told(other, {})


def test_only_a_number_that_is_one_higher_moves() -> None:
    assert moves("round 9 of 38, 7 wraps", [(5, "round 10 of 39, 7 wraps")]) == (
        (0, (5,)),
        (1, (5,)),
    )
    assert moves("1 round", [(5, "2 rounds")]) == ()
    assert moves("needle 9", [(5, "needle 12")]) == ()
    assert moves("38", [(5, "39"), (7, "39"), (9, "38")]) == ((0, (5, 7)),)
