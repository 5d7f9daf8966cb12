"""A small sound order as text, to be changed table by table."""

from __future__ import annotations

import pytest

from sockwright.errors import OrderError, Problem
from sockwright.order import model, parse_order

BASE = {
    "foot": 'length = "24.5 cm"',
    "yarn.main": 'fineness = "100 g / 400 m"',
    "machine": 'turns = "carrier"\ncylinders = [60, 72]',
}
SWATCH = 'state = "washed"\nneedles = 60\n'


def order_text(**changed: str) -> str:
    """A small sound order with some tables replaced or added ("__" stands for a dot)."""
    tables = BASE | {name.replace("__", "."): text for name, text in changed.items()}
    return "\n".join(f"[{name}]\n{text}" for name, text in tables.items())


def read(**changed: str) -> model.Order:
    return parse_order(order_text(**changed))


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(OrderError) as caught:
        parse_order(text)
    return caught.value.problems
