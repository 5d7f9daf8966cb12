"""What a swatch or a finished sock tells of the stitch cam: a setting and its loop on a pitch."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import isclose, sqrt

from sockwright.estimates import Estimate
from sockwright.facts import fact

STEPS = (1.0, 0.5, 0.25, 0.1, 0.05)
"""How finely a cam may be divided, coarsest first."""
FINEST = 0.01


class YarnClass(StrEnum):
    """Yarns so alike that one curve serves them, by fineness."""

    FINE = "fine"
    FINGERING = "fingering"
    HEAVY = "heavy"


def yarn_class(tex: float) -> YarnClass:
    """The class of a yarn of `tex`."""
    if tex < fact("cam", "fingering_from").number:
        return YarnClass.FINE
    return YarnClass.HEAVY if tex > fact("cam", "heavy_from").number else YarnClass.FINGERING


class PointKind(StrEnum):
    """What a loop was read on."""

    SWATCH = "swatch"
    SOCK = "finished sock"


@dataclass(frozen=True)
class CurvePoint:
    """A `loop` (mm; washing does not change it) knitted at the setting `cam`, on `needles` with
    a `pitch` (mm; with an sd where the diameter is only assumed).

    `wale` is the fabric's washed width of a wale, mm, where it is known. `pull` is that part of the
    loop's relative sd which all points of one hand have alike. `stale` ones are from before the
    last service.
    """

    name: str
    needles: int
    pitch: Estimate
    cam: float
    loop: Estimate
    kind: PointKind = PointKind.SWATCH
    stale: bool = False
    wale: Estimate | None = None
    pull: float = 0.0

    @property
    def drop(self) -> float | None:
        """How far its needles were drawn below the ring, mm; None where loop and pitch cannot both
        be right: a loop hardly longer than the pitch leaves nothing to draw."""
        square = (self.loop.value**2 - self.pitch.value**2) / 4
        if square <= 0 or sqrt(square) <= self.loop.sd * self.loop.value / (4 * sqrt(square)):
            return None
        return sqrt(square)


def noted_step(settings: Iterable[float]) -> float:
    """The step of a cam that nobody told, by how finely its settings were noted: whole numbers
    tell of clicks, 5.5 of halves."""
    every = tuple(settings)
    return next(
        (step for step in STEPS if all(_is_multiple(one, step) for one in every)),
        FINEST,
    )


def _is_multiple(setting: float, step: float) -> bool:
    return isclose(setting / step, round(setting / step), abs_tol=1e-6)
