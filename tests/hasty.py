"""An order that leaves much to learn, its plan, and explanations taken apart."""

from __future__ import annotations

from dataclasses import replace

from orders import order
from sockwright.order.model import (
    Count,
    State,
    SwatchGiven,
    Weighed,
    YarnGiven,
)
from sockwright.plan.explain import Explained, Input, sources
from sockwright.plan.make import SockPlan, make_plan

LABEL = YarnGiven("main", "grey boot-sock wool", 277.0)
HASTY = SwatchGiven(
    "grey, washed in haste",
    State.WASHED,
    60,
    wales=(Count(30, 100.0), Count(31, 100.0)),
    courses=(Count(39, 100.0), Count(40, 100.0)),
    weighed=(Weighed(2400, 9.0),),
)
"""A swatch that leaves much to learn, by an owner of a kitchen balance."""
HASTY_ORDER = replace(order(yarns=(LABEL,)), swatches=(HASTY,))


def table(plan: SockPlan) -> dict[str, Explained]:
    """The explanations by key."""
    return {each.key: each for each in sources(plan)}


def into(number: Explained) -> dict[str, Input]:
    """The inputs of a number by key."""
    return {each.key: each for each in number.inputs}


def at_bottom(number: Explained) -> dict[str, float]:
    """The shares of what a number rests on."""
    return {each.key: each.share for each in number.rests_on}


HASTY_PAIR = make_plan(HASTY_ORDER)
PLAN, TABLE = HASTY_PAIR.first, table(HASTY_PAIR)
