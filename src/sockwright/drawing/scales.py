"""Scales to read lengths from: ticks at true distances, with numbers."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from sockwright.drawing.aruco import BLACK
from sockwright.drawing.lettering import CAP_HEIGHT
from sockwright.drawing.shapes import shift
from sockwright.drawing.svg import Point, group, path, segments_data, write

MM, TENTH = 1.0, 10
INCH_MM = 25.4
EIGHTHS = 8


@dataclass(frozen=True)
class Division:
    """How a scale is divided: `step_mm` between ticks; a tick that is a multiple of so many steps
    is so long (mm), the first that fits; a number every `numbered` steps, counting `worth` each."""

    step_mm: float
    lengths: tuple[tuple[int, float], ...]
    numbered: int
    worth: float

    def length(self, tick: int) -> float:
        """Length of a tick, mm."""
        return next(long for every, long in self.lengths if tick % every == 0)


MILLIMETRES = Division(MM, ((TENTH, 4.0), (5, 2.8), (1, 1.7)), TENTH, 10)
"""Every mm; a number every 10 mm, in mm."""
CENTIMETRES = Division(MM, ((TENTH, 4.0), (5, 2.8), (1, 1.7)), TENTH, 1)
"""Every mm; a number every cm, in cm."""
INCHES = Division(INCH_MM / EIGHTHS, ((8, 4.0), (4, 2.8), (2, 2.2), (1, 1.5)), EIGHTHS, 1)
"""Every 1/8 in; a number every inch."""
STROKE_MM = 0.13
TYPE_MM = 2.8
GAP_MM = 0.7


@dataclass(frozen=True)
class Scale:
    """A scale from `start_mm` to `end_mm`, counted from `zero` along the unit vector `along`;
    ticks and numbers on the side of the unit vector `side`."""

    zero: Point
    along: Point
    side: Point
    start_mm: float
    end_mm: float
    division: Division = MILLIMETRES

    def at(self, length_mm: float) -> Point:
        """The point `length_mm` from zero."""
        return shift(self.zero, (self.along, length_mm))

    def ticks(self) -> range:
        """Numbers of the ticks that lie on the scale."""
        step = self.division.step_mm
        return range(ceil(self.start_mm / step - 1e-9), floor(self.end_mm / step + 1e-9) + 1)

    def svg(self, *, numbers: bool = True) -> str:
        """The scale as a drawing: its ticks and, unless `numbers` is False, its numbers."""
        ends = []
        for tick in self.ticks():
            foot = self.at(tick * self.division.step_mm)
            ends.append((foot, shift(foot, (self.side, self.division.length(tick)))))
        lines = path(segments_data(ends), stroke=BLACK, stroke_width=STROKE_MM, fill="none")
        return group((lines, *(self._numbers() if numbers else ())))

    def _numbers(self) -> list[str]:
        return [
            self._number(tick)
            for tick in self.ticks()
            if tick % self.division.numbered == 0 and self._inside(tick)
        ]

    def _inside(self, tick: int) -> bool:
        """Whether a tick is far enough from both ends for its number."""
        at = tick * self.division.step_mm
        return self.start_mm + TYPE_MM / 2 <= at <= self.end_mm - TYPE_MM / 2

    def _number(self, tick: int) -> str:
        text = f"{tick / self.division.numbered * self.division.worth:g}"
        reach = self.division.length(tick) + GAP_MM
        x, y = shift(self.at(tick * self.division.step_mm), (self.side, reach))
        if abs(self.side[0]) > 0.5:
            anchor = "start" if self.side[0] > 0 else "end"
            return write((x, y + CAP_HEIGHT * TYPE_MM / 2), text, TYPE_MM, anchor=anchor)
        drop = CAP_HEIGHT * TYPE_MM if self.side[1] > 0 else 0.0
        return write((x, y + drop), text, TYPE_MM, anchor="middle")
