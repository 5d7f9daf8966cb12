"""What pages show, as data: rows of numbers, yarns and choices, as the visitor is told them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import BaseModel, Field

from sockwright.store.things import Thing
from sockwright.web.gauge_view import GaugeLine
from sockwright.web.plan_view import Row, YarnLine
from sockwright.web.visit import Visit


class RowData(BaseModel):
    """A line of a table, as it is printed in the visitor's language and units."""

    label: str
    key: str = Field(description="The number's key at /data/plan/why; empty for none.")
    cells: list[str] = Field(description="One for each sock that is shown.")


class YarnLineData(BaseModel):
    """What a yarn's role takes, and what there is of it, as it is printed."""

    role: str
    name: str
    length: str
    mass: str
    pair_mass: str
    on_hand: str
    short: bool = Field(description="Whether what is on hand does not reach.")


class OptionData(BaseModel):
    """One of the things to choose from."""

    value: str
    words: str


class ToldGauge(BaseModel):
    """What a swatch tells, as it is printed in the visitor's language and units."""

    cam: str
    date: str
    wales: str
    courses: str
    loop: str
    stale: str


def rows_data(visit: Visit, rows: Iterable[Row]) -> list[RowData]:
    """Rows of numbers."""
    tell = visit.tongue.tell
    return [
        RowData(label=tell(row.label), key=row.key, cells=[tell(cell) for cell in row.cells])
        for row in rows
    ]


def yarns_data(visit: Visit, lines: Iterable[YarnLine]) -> list[YarnLineData]:
    """The yarn of a pair."""
    return [
        YarnLineData(
            role=visit.tongue.tell(line.role),
            name=line.name,
            length=line.length,
            mass=line.mass,
            pair_mass=line.pair_mass,
            on_hand=line.on_hand,
            short=line.short,
        )
        for line in lines
    ]


def options_data(visit: Visit, words: Mapping[str, str]) -> list[OptionData]:
    """What there is to choose from, by value."""
    return [OptionData(value=value, words=text) for value, text in visit.named(words).items()]


def things_data(things: Iterable[Thing]) -> list[OptionData]:
    """Kept things to choose from."""
    return [OptionData(value=thing.id, words=thing.name) for thing in things]


def told_gauge(visit: Visit, line: GaugeLine) -> ToldGauge:
    """What a swatch tells, printed."""
    return ToldGauge(
        cam=line.cam,
        date=line.date,
        wales=line.wales,
        courses=line.courses,
        loop=line.loop,
        stale=visit.tongue.tell(line.of.stale),
    )


def told_all(visit: Visit, texts: Iterable[Any]) -> list[str]:
    """Texts, told."""
    return [visit.tongue.tell(text) for text in texts]
