"""Where the painted marks stand round the needles: one list for picture, strip, ring and chart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from sockwright.drawing.base.theme import mark_paint
from sockwright.machine import MARK_ROLES, Machine
from sockwright.needlebed.execute import Execution
from sockwright.wording.instructions import find_cups

HOME_PLACE = 0.5
"""The home gap: half a needle before needle 1."""


@dataclass(frozen=True)
class PlacedMark:
    """A mark at `place` (needle numbers; x.5 is the gap after needle x).

    `facing` is 1 or -1 where the needles it keeps have larger or smaller numbers, 0 for a mark
    that faces nowhere. `letter` stands for its role wherever there is no room for the name.
    """

    role: str
    letter: str
    name: str
    paint: str
    place: float
    facing: int = 0


def mark_letter(role: str) -> str:
    """The letter of a mark's role: A for home, B for halfway and so on."""
    return "ABCDEFGH"[MARK_ROLES.index(role)]


class TurnLimits(NamedTuple):
    """The needles that the two marks of a role stand at: the last raised ones on either side."""

    role: str
    low: int
    high: int


def place_marks(
    machine: Machine, needles: int, limits: Iterable[TurnLimits]
) -> tuple[PlacedMark, ...]:
    """All marks of a ring of `needles`: home, halfway, and the given turn limits."""
    spots = [("home", HOME_PLACE, 0), ("halfway", needles // 2 + 0.5, 0)]
    for role, low, high in limits:
        spots += [(role, float(low), 1), (role, float(high), -1)]
    return tuple(_placed(machine, *spot) for spot in spots)


def _placed(machine: Machine, role: str, place: float, facing: int) -> PlacedMark:
    mark = machine.mark(role)
    letter = mark_letter(role)
    return PlacedMark(role, letter, mark.name, mark_paint(role, mark.colour), place, facing)


def limits_of_program(run: Execution) -> tuple[TurnLimits, ...]:
    """The turn limits a program asks for, each role once."""
    found: dict[str, tuple[int, int]] = {}
    for cup in find_cups(run):
        if cup.role is not None:
            found.setdefault(cup.role, cup.limits)
    return tuple(TurnLimits(role, *ends) for role, ends in found.items())


def usual_limits(needles: int, kept: int, deep_kept: int | None = None) -> tuple[TurnLimits, ...]:
    """Turn limits for cups that keep `kept` needles of a half, on both halves, and for a first
    shallow cup that keeps `deep_kept` of the heel half. ValueError if they cannot be centred."""
    half = needles // 2
    low, high = _about_middle(half, kept)
    limits = [
        TurnLimits("heel limits", low, high),
        TurnLimits("instep limits", half + low, half + high),
    ]
    if deep_kept is not None:
        limits.append(TurnLimits("deep limits", *_about_middle(half, deep_kept)))
    return tuple(limits)


def _about_middle(half: int, kept: int) -> tuple[int, int]:
    raised, odd = divmod(half - kept, 2)
    if odd or raised < 1:
        raise ValueError(f"{kept} needles cannot be kept in the middle of {half}")
    return raised, half - raised + 1
