"""The list of a plan's numbers: each has a label, a unit, a derivation, and German words."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from orders import as_tube
from sockwright.estimates import Count, Estimate
from sockwright.facts import STANDINGS
from sockwright.i18n import Message, capitalised, locale_of
from sockwright.order.file import load_order
from sockwright.order.model import FinishedGiven
from sockwright.plan.data import plan_data, schema_text
from sockwright.plan.make import PairPlan, SockPlan, make_plan
from sockwright.plan.numbers import NUMBERS, OF_FIT, label_of, numbers
from sockwright.web.plan.rows import ROWS, Column, gauge_rows, sock_rows
from sockwright.web.preferences import Formats

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
UNITS = {
    *("1", "mm", "mg", "g", "g/m2", "tex", "tex^0.5/mm", "min", "course"),
}
GERMAN = locale_of("de")


@cache
def socks() -> tuple[SockPlan, ...]:
    """Every sock of the examples, and the first as a tube."""
    orders = [load_order(path) for path in EXAMPLES]
    worn = FinishedGiven("a sock", 60, flat_width_mm=99.0, foot_length_mm=235.0)
    winch = next(one for one in orders if "winch" in one.title)
    orders.append(replace(winch, finished=(worn,)))
    return tuple(sock for order in (*orders, as_tube(orders[0])) for sock in make_plan(order).socks)


def test_each_number_is_had_by_some_sock() -> None:
    had = {key for sock in socks() for key in numbers(sock)}
    assert [each.key for each in NUMBERS if each.key not in had] == ["sizing.gather_loss"]
    keys = [each.key for each in NUMBERS]
    assert len(set(keys)) == len(keys)


def test_each_number_has_label_unit_and_derivation_in_every_language() -> None:
    for sock in socks():
        for key, value in numbers(sock).items():
            how = value.how
            assert how is not None, key
            assert how.key == key
            assert how.formula, key
            assert how.standing in STANDINGS, key
            for text in (how.label, how.formula, how.source):
                assert isinstance(text, Message), key
                assert GERMAN.render(text), key
            assert GERMAN.render(how.label) != how.label, key
            assert isinstance(value, Count) or value.unit in UNITS, (key, value)


def test_what_data_tell_is_what_the_list_has() -> None:
    for sock in socks():
        known, data = numbers(sock), plan_data(PairPlan(sock))
        for part in ("gauge", "sizing"):
            for name, told in data[part].items():
                value = known.get(f"{part}.{name}")
                if value is not None:
                    assert told == (value.as_data() if isinstance(value, Estimate) else value), name


def test_pages_call_a_number_what_the_list_calls_it() -> None:
    formats = Formats("cm", "de")
    for sock in socks():
        shown = (Column("", sock),)
        rows = [*sock_rows(shown, formats), *gauge_rows(shown, formats)]
        named = [row for row in rows if row.keys[0] not in ROWS]
        assert len(named) >= 10
        for row in named:
            assert row.label == capitalised(label_of(sock, row.keys[0]))
        assert ("fabric.tube_length" in {row.keys[0] for row in rows}) == (
            sock.tube_length is not None
        )


def test_the_schema_knows_every_number_of_the_list() -> None:
    plan = json.loads(schema_text())["$defs"]["plan"]["properties"]
    known = {f"{part}.{name}" for part in plan for name in plan[part].get("properties", {})}
    listed = {each.key for each in NUMBERS if each.in_data}
    assert listed - known == {"minutes"}
    assert "minutes" in plan
    assert OF_FIT.keys() <= json.loads(schema_text())["$defs"]["cylinder"]["properties"].keys()


@pytest.mark.parametrize("key", ["fit.girth_ease", "sizing.foot_length", "yarn.main.mass"])
def test_the_inputs_of_a_number_make_its_whole_error(key: str) -> None:
    value = numbers(socks()[0])[key]
    assert isinstance(value, Estimate)
    assert value.how is not None
    assert sum(one.share for one in value.how.take()) == pytest.approx(1.0)
