"""What pages show, as data: rows of numbers, yarns and choices, as the visitor is told them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import BaseModel, Field

from sockwright.store.items import Thing
from sockwright.web.context import Visit
from sockwright.web.plan.rows import GaugeLine, Row, YarnRows


class RowData(BaseModel):
    """A line of a table, as it is printed in the visitor's language and units."""

    label: str
    keys: list[str] = Field(description="Of its numbers, at /data/plan/why.")
    cells: list[str] = Field(description="One for each sock that is shown, or for several.")
    warnings: list[str] = Field(description="One for each cell, empty where there is none.")


class YarnData(BaseModel):
    """A yarn by what it is for and its name, with its rows."""

    role: str
    name: str
    rows: list[RowData]


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
        RowData(
            label=tell(row.label),
            keys=list(row.keys),
            cells=told_all(visit, row.cells),
            warnings=told_all(visit, row.warnings),
        )
        for row in rows
    ]


def yarns_data(visit: Visit, yarns: Iterable[YarnRows]) -> list[YarnData]:
    """The yarns of a pair."""
    return [
        YarnData(role=visit.tongue.tell(one.role), name=one.name, rows=rows_data(visit, one.rows))
        for one in yarns
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
