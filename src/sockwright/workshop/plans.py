"""Plans by the text of their orders: the last ones at hand, so that none is made twice in a row."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from sockwright.errors import CannotMake, OrderError
from sockwright.order.file import parse_order
from sockwright.workshop.answers import Composed, Planned, Problems, Refused, Written
from sockwright.workshop.memory import Memory

AT_HAND: Final = 32
"""Plans kept at hand: a plan for 60 needles takes 0.4 MB, one for 200 needles 2 MB."""


class Plans:
    """Makes plans of written orders, and remembers the last `most` of them."""

    def __init__(self, most: int = AT_HAND) -> None:
        self._made: Memory[Planned | Problems | Refused] = Memory(most)

    def of(self, written: Written) -> Planned | Problems | Refused:
        """The plan of an order, or why there is none."""
        found = self._made.of(written.toml, lambda: _planned(written.toml))
        if isinstance(found, Problems):
            return found
        return replace(found, composed=replace(found.composed, notes=written.notes))


def _planned(toml: str) -> Planned | Problems | Refused:
    from sockwright.plan.make import make_plan

    try:
        composed = Composed(parse_order(toml), toml)
        try:
            return Planned(composed, make_plan(composed.order))
        except CannotMake as refusal:
            return Refused(composed, refusal)
    except OrderError as error:
        return Problems(error.problems)
