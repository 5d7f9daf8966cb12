"""Where numbers come from, as data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import Query
from pydantic import BaseModel, Field

from sockwright.plan.explain import Input, sources
from sockwright.quantities.printing import told_of
from sockwright.web.context import Visit
from sockwright.web.errors import NoPage
from sockwright.web.plan.rows import Beside
from sockwright.web.plan.why import Told, told_numbers
from sockwright.words.said import said

MOST_KEYS = 20

Keys = Annotated[
    tuple[Annotated[str, Query(max_length=60)], ...],
    Query(alias="key", max_length=MOST_KEYS, description="Keys of numbers; all without."),
]


class WhyInput(BaseModel):
    """What goes into a number; `told` and `told_share` as they are printed."""

    key: str
    label: str
    value: dict[str, Any]
    share: float = Field(description="The part of the number's variance that comes from it.")
    origin: str
    source: str
    told: str
    told_share: str


class WhyData(BaseModel):
    """Where a number comes from, in the visitor's language."""

    key: str
    of: str = Field(description="The cylinder or sock among several; empty for the only one.")
    label: str
    value: dict[str, Any] | int
    told: str = Field(description="The number as it is printed.")
    formula: str
    inputs: list[WhyInput]
    rests_on: list[WhyInput] = Field(description="Readings, wishes and facts at the bottom.")
    source: str
    standing: str
    exact: dict[str, Any] | None
    rounding: str | None
    further: dict[str, Any] | None
    helps: str | None


def plans_why(
    visit: Visit, plans: Sequence[Beside], units: str, keys: tuple[str, ...]
) -> list[WhyData]:
    """What explains the numbers of these keys in every plan, all for no keys."""
    wanted = keys or [each.key for one in plans for each in sources(one.pair)]
    return why_data(visit, told_numbers(plans, wanted), units)


def why_data(visit: Visit, found: Sequence[Told], units: str) -> list[WhyData]:
    """Explanations as data; NoPage if there is none."""
    if not found:
        raise NoPage(said("no number of a plan goes by that key"))
    return [_why(visit, units, each) for each in found]


def _why(visit: Visit, units: str, found: Told) -> WhyData:
    """An explanation as data, told."""
    one, tell = found.one, visit.tongue.tell
    texts = {name: tell(getattr(one, name)) for name in ("label", "formula", "source", "standing")}
    return WhyData(
        **{
            **one.as_data(),
            **texts,
            "of": tell(found.heading),
            "rounding": None if one.rounding is None else tell(one.rounding),
            "helps": None if one.helps is None else tell(one.helps),
            "told": tell(told_of(one.key, one.value, units)),
            "inputs": [_input(visit, units, each) for each in one.inputs],
            "rests_on": [_input(visit, units, each) for each in one.rests_on],
        }
    )


def _input(visit: Visit, units: str, one: Input) -> WhyInput:
    tell = visit.tongue.tell
    return WhyInput(
        **{
            **one.as_data(),
            "label": tell(one.label),
            "source": tell(one.source),
            "told": tell(told_of(one.key, one.value, units)),
            "told_share": visit.formats.percent(one.share),
        }
    )
