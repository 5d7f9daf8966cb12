"""Where numbers come from, as pages and data tell it: the way there, and what is told of each."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import Query
from fastapi.responses import Response
from pydantic import BaseModel, Field

from sockwright.i18n.messages import _
from sockwright.plan.explain import Explained, Input, sources, swatch_sources
from sockwright.plan.make import PairPlan
from sockwright.quantities.printing import told_of
from sockwright.store.items import Thing
from sockwright.web.context import RequestContext
from sockwright.web.errors import NoPage
from sockwright.web.plan.rows import Beside, columns

Keys = Annotated[tuple[str, ...], Query(alias="key")]
"""The keys of the numbers that an address asks for."""

MOST_KEYS = 20

DataKeys = Annotated[
    tuple[Annotated[str, Query(max_length=60)], ...],
    Query(alias="key", max_length=MOST_KEYS, description="Keys of numbers; all without."),
]
"""The same of an address of the data, which names no more at once."""

SECOND = "second."
"""What keys of the second sock's numbers begin with."""

OF_ALL = ("foot.", "fit.cylinders.")
"""What keys begin with whose numbers are the same on whichever cylinder the sock is planned."""


@dataclass(frozen=True)
class ExplainLink:
    """The way to the explanations of a plan: the page that tells them, and the plan's query."""

    address: str
    query: str = ""

    def of(self, keys: Sequence[str]) -> str:
        """The address that explains these numbers."""
        asked = _asked(tuple(keys))
        return f"{self.address}?{asked}" + (f"&{self.query}" if self.query else "")


@lru_cache(maxsize=1024)
def _asked(keys: tuple[str, ...]) -> str:
    """The keys as a query: a page names the same fifty on every plan."""
    return urlencode([("key", key) for key in keys])


@dataclass(frozen=True)
class ShownExplanation:
    """An explanation with the heading of its sock, and the keys that have one of their own."""

    heading: str
    one: Explained
    keys: Set[str]


def why_answer(
    context: RequestContext,
    explained: Sequence[ShownExplanation],
    units: str,
    asking: ExplainLink,
    back: str,
) -> Response:
    """The page, or a piece of one, that tells where numbers come from; `back` is where they stand.

    NoPage where nothing is told.
    """
    if not explained:
        raise NoPage(_("no number of a plan has that key"))
    return context.page(
        "plan_why_piece.html" if context.is_fragment else "plan_why.html",
        explained=explained,
        told_of=told_of,
        units=units,
        asking=asking,
        back=back,
    )


def told_alone(every: Sequence[Explained], keys: Sequence[str]) -> list[ShownExplanation]:
    """What is told of each key where there is one table of explanations."""
    table = {each.key: each for each in every}
    return [
        ShownExplanation("", table[key], table.keys())
        for key in dict.fromkeys(keys)
        if key in table
    ]


def told_numbers(plans: Sequence[Beside], keys: Sequence[str]) -> list[ShownExplanation]:
    """What is told of each key, for every plan and every sock of it that has such a number."""
    tables = [{each.key: each for each in sources(one.pair)} for one in plans]
    told = []
    for key in dict.fromkeys(key.removeprefix(SECOND) for key in keys):
        several = [one for one in plans if not key.startswith(OF_ALL)]
        for one, table in zip(several or [Beside("", plans[0].pair)], tables, strict=False):
            socks = zip(columns(one.pair, one.heading), (key, SECOND + key), strict=False)
            told += [
                ShownExplanation(sock.heading, table[name], table.keys())
                for sock, name in socks
                if name in table
            ]
    return told


def beside_each_other(pair: PairPlan, other: PairPlan | None) -> tuple[Beside, ...]:
    """A pair alone, or two under the names of their cylinders."""
    if other is None:
        return (Beside("", pair),)
    return tuple(Beside(_("{n} needles", n=one.first.sizing.needles), one) for one in (pair, other))


def explained_swatch(context: RequestContext, swatch: Thing) -> tuple[Explained, ...]:
    """The explanations of a swatch's numbers; NoPage where it does not read any more."""
    order = context.shop.swatch_order(swatch.id, context.preferences.units)
    if order is None:
        raise NoPage(_("this swatch has nothing to explain"))
    return swatch_sources(order)


def asking_of_swatch(id: str) -> ExplainLink:
    """The way to the explanations of a swatch's numbers."""
    return ExplainLink(f"/swatches/{id}/why")


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
    context: RequestContext, plans: Sequence[Beside], units: str, keys: tuple[str, ...]
) -> list[WhyData]:
    """What explains the numbers of these keys in every plan, all for no keys."""
    wanted = keys or [each.key for one in plans for each in sources(one.pair)]
    return why_data(context, told_numbers(plans, wanted), units)


def why_data(
    context: RequestContext, found: Sequence[ShownExplanation], units: str
) -> list[WhyData]:
    """Explanations as data; NoPage if there is none."""
    if not found:
        raise NoPage(_("no number of a plan has that key"))
    return [_why(context, units, each) for each in found]


def _why(context: RequestContext, units: str, found: ShownExplanation) -> WhyData:
    """An explanation as data, told."""
    one, render = found.one, context.locale.render
    texts = {
        name: render(getattr(one, name)) for name in ("label", "formula", "source", "standing")
    }
    return WhyData(
        **{
            **one.as_data(),
            **texts,
            "of": render(found.heading),
            "rounding": None if one.rounding is None else render(one.rounding),
            "helps": None if one.helps is None else render(one.helps),
            "told": render(told_of(one.key, one.value, units)),
            "inputs": [_input(context, units, each) for each in one.inputs],
            "rests_on": [_input(context, units, each) for each in one.rests_on],
        }
    )


def _input(context: RequestContext, units: str, one: Input) -> WhyInput:
    render = context.locale.render
    return WhyInput(
        **{
            **one.as_data(),
            "label": render(one.label),
            "source": render(one.source),
            "told": render(told_of(one.key, one.value, units)),
            "told_share": context.formats.percent(one.share),
        }
    )
