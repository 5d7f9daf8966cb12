"""The one list of a foot's measures, from `facts/foot_measures.toml`.

The order's keys, what is estimated, forms, lists, drawings and sheets all take them from here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from sockwright import facts
from sockwright.facts import Fact, fact

Point = tuple[float, float]
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Ratio:
    """A measure as so many times another, `of`."""

    of: str
    times: Fact


@dataclass(frozen=True)
class Regression:
    """A measure of adults by others, in mm: whose `survey` had it, and what a `note` says."""

    intercept: float
    slopes: Mapping[str, float]
    sd: float
    survey: str
    note: str
    source: str
    standing: str
    men_only: bool


@dataclass(frozen=True)
class Drawn:
    """Where a measure stands in a drawing of a foot of 260 mm: its `line`, a tape or a span, other
    lines that lead to it, and its label, which may cover what it stands on (`ground`)."""

    line: tuple[Point, ...]
    tape: bool
    leads: tuple[tuple[Point, ...], ...]
    label: Point
    name: str
    ground: bool


@dataclass(frozen=True)
class Measure:
    """One measure of a foot: its words, what an order may say of it, and how it is found.

    `ranges` are the least and the most in mm, and the same over the foot's length, as facts;
    `error` is the sd of a reading, `traced` that of one off an outline. `swells` is the most it
    grows by when stood on, of a "man" and a "woman". Without `adults` it is a column of ANSUR II,
    without `children` one of the children's fits. `drawn` is where it stands, by view.
    """

    name: str
    number: int
    label: str
    short: str
    meaning: str
    wanted: bool
    ranges: Mapping[str, Fact]
    error: Fact
    traced: Fact | None
    swells: Mapping[str, Fact]
    adults: Regression | None
    children: Ratio | None
    drawn: Mapping[str, Drawn]

    @property
    def proportioned(self) -> bool:
        """Whether it is held against the foot's length."""
        return f"{self.name}_per_length_least" in self.ranges


@cache
def foot_measures() -> dict[str, Measure]:
    """Every measure by its name, in the order they are numbered and printed.

    Raises KeyError for one that lacks its label, meaning, range, error or a source.
    """
    text = files(facts).joinpath("foot_measures.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text).items()
    return {name: _measure(name, number, row) for number, (name, row) in enumerate(rows, 1)}


@cache
def foot_ranges() -> dict[str, Fact]:
    """The least and the most of all measures, as in `facts/order_limits.toml`."""
    return {name: one for each in foot_measures().values() for name, one in each.ranges.items()}


def _measure(name: str, number: int, row: Row) -> Measure:
    ranges = {
        f"{key}_{end}": _fact(f"{key}_{end}", row[part], end, unit)
        for part, key, unit in (("range", name, "mm"), ("per_length", f"{name}_per_length", "1"))
        if part in row or part == "range"
        for end in ("least", "most")
    }
    swells = row.get("swells", {})
    return Measure(
        name=name,
        number=number,
        label=row["label"],
        short=row.get("short", row["label"]),
        meaning=row["meaning"],
        wanted=row.get("wanted", False),
        ranges=ranges,
        error=fact("measuring", row["error"]),
        traced=fact("measuring", row["traced"]) if "traced" in row else None,
        swells={who: _fact(name, swells, who, "mm") for who in ("man", "woman") if swells},
        adults=_regression(row["adults"]) if "adults" in row else None,
        children=_ratio(name, row["children"]) if "children" in row else None,
        drawn={view: _drawn(row[view], row["label"]) for view in ("side", "plan") if view in row},
    )


def _fact(name: str, row: Row, value: str, unit: str) -> Fact:
    return Fact(name, row[value], unit, row["source"], row["standing"], row.get("sd"))


def _ratio(name: str, row: Row) -> Ratio:
    return Ratio(row["of"], _fact(f"{name}_per_{row['of']}", row, "value", "1"))


def _regression(row: Row) -> Regression:
    named = ("intercept", "slopes", "sd", "survey", "note", "source", "standing", "men_only")
    return Regression(**{key: row[key] for key in named})


def _drawn(row: Row, label: str) -> Drawn:
    return Drawn(
        line=_points(row.get("tape") or row["span"]),
        tape="tape" in row,
        leads=tuple(map(_points, row.get("leads", ()))),
        label=(row["label"][0], row["label"][1]),
        name=row.get("name", label),
        ground=row.get("ground", False),
    )


def _points(rows: list[list[float]]) -> tuple[Point, ...]:
    return tuple((across, up) for across, up in rows)
