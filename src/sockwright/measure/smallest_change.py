"""The smallest change of a sock that brings about a shift of its length, girth or heel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import log

from sockwright.facts import fact

BY_TWO = 2
"""Needles are kept or raised on both sides alike."""


def rounds_more(shift: float, length_mm: float, course_mm: float) -> int:
    """Rounds to add to a part of this length for a shift of its ln; below 0, to leave out."""
    return round(shift * length_mm / course_mm)


def kept_more(shift: float, half: int) -> int:
    """Needles to keep more at the turn of a heel on so many needles, for a shift of its depth in
    shares of them; below 0, to keep fewer. A deeper heel keeps fewer."""
    return -BY_TWO * round(shift * half / BY_TWO)


@dataclass(frozen=True)
class Room:
    """What of a sock can be changed for its girth.

    Two needles fewer kept at the turn add `kept_gain` to ln of the girth over heel and instep, and
    may be kept `fewer` or `more` where the heel allows it. One step of the stitch cam adds
    `cam_gain` to ln of every girth, up to `cam_steps` of them either way; 0 where it is unknown.
    `needles` are the sock's, `cylinders` the other numbers of needles that the maker has.
    """

    needles: int
    kept_gain: float
    fewer: bool = True
    more: bool = True
    cam_gain: float = 0.0
    cam_steps: int = 0
    cylinders: tuple[int, ...] = ()


@dataclass(frozen=True)
class GirthChange:
    """Needles kept more at the turn (below 0, fewer), steps of the stitch cam, the needles of the
    cylinder, and how much of the shift is `left`."""

    kept: int
    cam: int
    needles: int
    left: float


def girth_change(shift: float, room: Room) -> GirthChange:
    """The smallest change for a shift of ln girth that leaves at most `learning.girth_left`.

    Smaller than all is none, then needles kept at the turn, steps of the cam, both, and last
    another cylinder. If none leaves so little, the one that leaves least.
    """
    enough = fact("learning", "girth_left").number
    ways = list(_ways(shift, room))
    for each in ways:
        if abs(each.left) <= enough:
            return each
    return min(ways, key=lambda each: abs(each.left))


def _ways(shift: float, room: Room) -> Iterator[GirthChange]:
    yield GirthChange(0, 0, room.needles, shift)
    allowed = room.fewer if shift > 0 else room.more
    kept = (-BY_TWO if shift > 0 else BY_TWO) if allowed else 0
    by_kept = shift + kept / BY_TWO * room.kept_gain
    if kept:
        yield GirthChange(kept, 0, room.needles, by_kept)
    for its_kept, rest in ((0, shift), (kept, by_kept)):
        steps = _cam_steps(rest, room)
        if steps:
            yield GirthChange(its_kept, steps, room.needles, rest - steps * room.cam_gain)
    for needles in sorted(room.cylinders, key=lambda one: abs(one - room.needles)):
        yield GirthChange(0, 0, needles, shift - log(needles / room.needles))


def _cam_steps(shift: float, room: Room) -> int:
    if not room.cam_gain:
        return 0
    return max(-room.cam_steps, min(room.cam_steps, round(shift / room.cam_gain)))
