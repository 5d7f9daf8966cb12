"""The axes of a plot of loops by settings: what they show, and where it stands on the paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor, log10

from sockwright.drawing.base.svg import Point

LEAST_RANGE_MM = 2.0
"""So much of the loop's length is shown at least, mm."""

CROWDED_MM = 9.0
"""Numbers of an axis stand no closer."""

CLOSE_MM = 1.8
"""Ticks of an axis stand no closer."""


BESIDE_MM = 3.5
"""Room to the right of the plot, into which the last number of its axis reaches."""


@dataclass(frozen=True)
class Area:
    """Where the plot lies on the paper, mm."""

    left: float
    top: float
    right: float
    bottom: float

    def below(self, x: float, wide: float) -> float:
        """Where the middle of a text so wide stands below a place of the axis, on the paper."""
        return min(x, self.right + 0.9 * BESIDE_MM - wide / 2)

    @property
    def width(self) -> float:
        """From its left to its right edge, mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From its top to its bottom edge, mm."""
        return self.bottom - self.top


@dataclass(frozen=True)
class Axes:
    """What a plot shows: settings from `first` to `last` and loops from `least` to `most`, mm, that
    are told in a unit of `unit_mm`."""

    area: Area
    first: float
    last: float
    least: float
    most: float
    unit_mm: float = 1.0

    def x(self, cam: float) -> float:
        """Where a setting stands, mm."""
        share = (cam - self.first) / (self.last - self.first)
        return self.area.left + share * self.area.width

    def y(self, loop: float) -> float:
        """Where a loop of so many mm stands, at the edge if beyond it."""
        share = (min(max(loop, self.least), self.most) - self.least) / (self.most - self.least)
        return self.area.bottom - share * self.area.height

    def at(self, cam: float, loop: float) -> Point:
        """The point of a setting and a loop."""
        return self.x(cam), self.y(loop)

    def loops(self) -> Iterator[tuple[float, str]]:
        """The loops, mm, whose lengths are written, and what is written."""
        size = (self.most - self.least) / self.unit_mm
        step = round_step(size * CROWDED_MM / self.area.height)
        digits = max(0, -floor(log10(step) + 1e-9))
        low = ceil(self.least / self.unit_mm / step - 1e-6)
        for count in range(low, floor(self.most / self.unit_mm / step + 1e-6) + 1):
            yield count * step * self.unit_mm, f"{count * step:.{digits}f}"

    def settings(self, step: float) -> Iterator[tuple[float, bool]]:
        """The settings that have a tick, multiples of the cam's step, and whether their number is
        written."""
        each = step * self.area.width / (self.last - self.first)
        ticks, numbers = (_whole_multiple(room / each) for room in (CLOSE_MM, CROWDED_MM))
        numbers = ticks * ceil(numbers / ticks)
        low, high = ceil(self.first / step / ticks - 1e-6), floor(self.last / step + 1e-6)
        for count in range(low * ticks, high + 1, ticks):
            yield count * step, count % numbers == 0


def axes_for(
    area: Area, span: tuple[float, float], loops: tuple[float, float], unit_mm: float
) -> Axes:
    """Axes that show a span of settings and of loops, mm, with whole steps at both ends."""
    middle = (loops[0] + loops[1]) / 2
    reach = max(loops[1] - loops[0], LEAST_RANGE_MM) / 2 * 1.06
    step = round_step(2 * reach / unit_mm * CROWDED_MM / area.height) * unit_mm
    least, most = floor((middle - reach) / step), ceil((middle + reach) / step)
    return Axes(area, *span, max(0, least) * step, most * step, unit_mm)


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 and so on, times a power of ten, that is at least so large."""
    power = 10.0 ** floor(log10(least))
    return next(times * power for times in (1, 2, 5, 10) if times * power >= least * (1 - 1e-9))


def _whole_multiple(least: float) -> int:
    return max(1, round(round_step(max(1.0, least))))
