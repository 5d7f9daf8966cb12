"""Laws of where a plan's numbers come from: none is left out, and shares add up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isclose
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from orders import as_tube, random_order
from sockwright.errors import CannotMake, OrderError
from sockwright.estimates import Estimate
from sockwright.facts import STANDINGS
from sockwright.i18n import Message
from sockwright.order.model import Order
from sockwright.plan.data import plan_data
from sockwright.plan.explain import Explained, sources
from sockwright.plan.make import make_plan

any_order = st.integers(0, 2**32 - 1).map(
    lambda number: random_order(np.random.default_rng(number))
)
orders = any_order | any_order.map(as_tube)

NOT_WORKED_OUT = ("program", "instructions", "next_reading", "leg_shape")
"""Parts of the data whose numbers are not worked out but written down, or have no key."""
LEFT_OUT = 0.02
"""What may be missing to 1 in shares: errors too small to tell."""


def estimates(data: Any, key: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every quantity of a plan's data that has an sd, by the key of its explanation."""
    if isinstance(data, dict) and {"value", "sd", "unit"} <= data.keys():
        if data["sd"]:
            yield key, data
    elif isinstance(data, dict):
        for name, part in data.items():
            if name not in NOT_WORKED_OUT:
                yield from estimates(part, f"{key}.{name}".removeprefix("."))
    elif isinstance(data, list):
        for part in data:
            if isinstance(part, dict) and "needles" in part:
                yield from estimates(part, f"{key}.{part['needles']}")


def counts(data: dict[str, Any]) -> Iterator[tuple[str, int]]:
    """Every count of a plan's sizing and dry run."""
    for part in ("sizing", "dry_run"):
        for name, value in data[part].items():
            if isinstance(value, int) and not isinstance(value, bool):
                yield f"{part}.{name}", value


@given(orders)
@settings(max_examples=amount(13, 320))
def test_every_number_of_a_plan_is_explained(asked: Order) -> None:
    try:
        plan = make_plan(asked)
    except (CannotMake, OrderError):
        return
    numbers = sources(plan)
    assert_none_is_left_out(plan_data(plan), numbers)
    assert_shares_add_up(numbers)
    for number in numbers:
        assert_can_be_told(number)
        assert_near_what_it_was(number)


def assert_none_is_left_out(data: dict[str, Any], numbers: Sequence[Explained]) -> None:
    explained = {each.key: each for each in numbers}
    found = dict(estimates(data))
    assert len(found) > 25
    for key, told in found.items():
        value = explained[key].value
        assert isinstance(value, Estimate), key
        assert value.as_data().items() <= told.items(), key
    for key, count in counts(data):
        assert explained[key].value == count, key


def assert_shares_add_up(numbers: Sequence[Explained]) -> None:
    """Shares add up, and inputs are the plan's own."""
    explained = {each.key: each for each in numbers}
    assert len(explained) == len(numbers)
    for number in numbers:
        for one in number.inputs:
            assert 0 <= one.share <= 1 + 1e-9, (number.key, one.key)
            if one.key in explained:
                assert same(one.value, explained[one.key]), (number.key, one.key)
        if number.spread.sd:
            for parts in (number.inputs, number.rests_on):
                whole = sum(one.share for one in parts)
                assert 1 - LEFT_OUT <= whole <= 1 + 1e-6, (number.key, whole)


def same(value: Estimate, number: Explained) -> bool:
    """Whether an input has the value of the number that it is."""
    if isinstance(number.value, Estimate):
        return value == number.value
    return isclose(value.value, number.value)


def assert_can_be_told(number: Explained) -> None:
    """Everything told can be translated, and has a source."""
    told = [number.label, number.formula, number.source, number.rounding, number.helps]
    for one in number.inputs:
        told += [one.label, one.source]
    assert all(isinstance(text, Message) and text for text in told if text is not None), number.key
    assert number.standing in STANDINGS


def assert_near_what_it_was(number: Explained) -> None:
    """A count is near what it was before it was rounded, and a help helps."""
    if number.exact is not None and isinstance(number.value, int):
        assert number.rounding is not None
        if number.key.endswith(("foot_rounds", "leg_rounds")):
            assert abs(number.exact.value - number.value) <= 0.5 + 1e-9, number.key
    if number.further is not None:
        assert number.helps is not None
        assert number.further.sd_before == number.spread.sd
        assert 0 < number.further.sd_after < 0.96 * number.further.sd_before
