"""Numbers that move with the rounds knitted more: the page tells what the program would."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from bench_texts import text_of
from orders import order
from sockwright.bench.log import FIRST, as_knitted, round_counts
from sockwright.bench.page_data import bench_data
from sockwright.i18n import locale_of
from sockwright.machine import Counter, Counting
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan, make_plan


@cache
def plan() -> SockPlan:
    return make_plan(order(61)).first


@cache
def cranked() -> SockPlan:
    """Counted in turns of a handle that makes two rounds in three."""
    given = order(60)
    counter = Counter(Counting.HANDLE_TURNS, handle_turns_per_round=1.5)
    return make_plan(replace(given, machine=replace(given.machine, counter=counter))).first


def told(data: dict[str, Any], extra: dict[int, int]) -> list[list[str]]:
    columns = data["instruction_columns"]
    rows = [dict(zip(columns, row, strict=True)) for row in data["instructions"]]
    return [
        [text_of(data, places, extra) for places in (row["head"], row["text"], *row["items"])]
        for row in rows
    ]


@pytest.mark.parametrize("made", [plan, cranked])
@pytest.mark.parametrize("language", ["en", "de"])
def test_it_tells_what_the_program_of_what_was_knitted_tells(
    language: str, made: Callable[[], SockPlan]
) -> None:
    counted = [
        each.number
        for each in instructions(made())
        if each.count and round_counts(made()).get(each.number, 0) > 1
    ]
    extra = dict(zip(counted, (2, -3, 70), strict=False))
    data = bench_data(made(), FIRST, locale_of(language))
    other = bench_data(as_knitted(made(), extra), FIRST, locale_of(language))
    assert told(data, extra) == told(other, {})
    assert told(data, {}) != told(other, {})
