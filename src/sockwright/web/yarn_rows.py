"""What the yarns of a pair come to, as rows of a page: for one sock, for the pair, on hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from sockwright.estimates import Estimate
from sockwright.plan import Plan
from sockwright.web.formats import Formats
from sockwright.web.plan_view import ROLES, Column, Row, columns
from sockwright.words.said import capitalised, said

NOTHING = "–"
"""Stands for what a plan has not."""


@dataclass(frozen=True)
class YarnRows:
    """A yarn by what it is for and its name (""), with its rows."""

    role: str
    name: str
    rows: tuple[Row, ...]


def yarn_rows(
    plans: Sequence[Column], formats: Formats, addresses: Mapping[str, str]
) -> list[YarnRows]:
    """The yarns of plans that stand side by side, role by role; one yarn plays a role in all.

    `addresses` has the page of each role's own yarn, where what is on hand is kept.
    """
    every = [one.plan for one in plans]
    return [
        YarnRows(
            ROLES[role],
            _name(every, role),
            tuple(_rows(every, role, formats, addresses.get(role, ""))),
        )
        for role in ROLES
        if any(role in plan.use for plan in every)
    ]


def pair_row(every: Sequence[Plan], role: str, formats: Formats, label: str) -> Row:
    """What pairs take of a yarn, marked where that is more than there is."""
    socks = len(columns(every[0]))
    cells, warnings = [], []
    for plan in every:
        mass = plan.pair_use[role].mass if role in plan.pair_use else None
        have = plan.yarns[role].on_hand_g
        short = mass is not None and have is not None and mass.value > have
        cells.append(NOTHING if mass is None else formats.mass(mass))
        warnings.append(said("too little") if short else "")
    return Row(label, (f"yarn.{role}.pair_mass",), tuple(cells), tuple(warnings), span=socks)


def pair_rows(plan: Plan, formats: Formats) -> list[Row]:
    """What a pair takes of each yarn."""
    return [
        pair_row([plan], role, formats, _titled(ROLES[role], _name([plan], role)))
        for role in ROLES
        if role in plan.use
    ]


def _rows(every: Sequence[Plan], role: str, formats: Formats, address: str) -> Iterator[Row]:
    socks = [sock.plan for plan in every for sock in columns(plan)]
    yield Row(
        said("One sock"),
        (f"yarn.{role}.length", f"yarn.{role}.mass"),
        tuple(_one_sock(plan, role, formats) for plan in socks),
    )
    yield pair_row(every, role, formats, said("The pair"))
    have = every[0].yarns[role].on_hand_g
    if have is not None:
        on_hand = formats.mass(Estimate(have, 0.0, "g"))
        yield Row(said("On hand"), (), (on_hand,), address=address, span=len(socks))


def _one_sock(plan: Plan, role: str, formats: Formats) -> str:
    if role not in plan.use:
        return NOTHING
    use = plan.use[role]
    return said(
        "{length}, {mass}", length=formats.yarn_length(use.length), mass=formats.mass(use.mass)
    )


def _name(every: Sequence[Plan], role: str) -> str:
    """The name that its maker gave the yarn; "" where it goes by its role alone."""
    name = every[0].yarns[role].name
    return "" if name == role else name


def _titled(role: str, name: str) -> str:
    return capitalised(said("{role}: {name}", role=role, name=name) if name else role)
