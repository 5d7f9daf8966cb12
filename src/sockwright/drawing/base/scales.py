"""Scales to read lengths from: ticks at true distances, with numbers."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from sockwright.drawing.base.signs import shift
from sockwright.drawing.base.svg import (
    Point,
    document,
    group,
    line,
    number,
    path,
    rectangle,
    segments_data,
    write,
)
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme
from sockwright.facts import fact
from sockwright.i18n import ENGLISH, Locale

CELLS = 4
ACROSS = CELLS + 2
"""Cells of a whole marker, border and all."""
BLACK, WHITE = "#000000", "#FFFFFF"
"""Pure black: a black-only printer would dither any other dark colour and fray the edges."""
LABEL_MM = 2.2
LABEL_DROP_MM = 3.4
"""The number under a marker stands this far below it, so that a white margin remains."""

Corners = NDArray[np.float64]
"""(4, 2) mm: top left, top right, bottom right, bottom left."""


def marker_bits(marker: int) -> NDArray[np.bool_]:
    """(4, 4) True for white cells; KeyError for a number outside 0..49."""
    cells = str(fact("aruco_4x4_50", str(marker)).value)
    return np.array([cell == "1" for cell in cells]).reshape(CELLS, CELLS)


def square_corners(corner: Point, size_mm: float) -> Corners:
    """Corners of an upright marker whose top left corner is `corner`."""
    steps = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    return np.asarray(np.array(corner) + size_mm * steps)


def draw_marker(marker: int, corner: Point, size_mm: float, *, label: bool = True) -> str:
    """A marker `size_mm` wide, its number small below it unless `label` is False."""
    cell = size_mm / ACROSS
    x, y = corner
    # One path for all white cells: drawn singly, their common edges would show as grey lines.
    white = "".join(
        _square((x + (1 + column) * cell, y + (1 + row) * cell), cell)
        for row, column in np.argwhere(marker_bits(marker))
    )
    parts = [rectangle(corner, size_mm, size_mm, fill=BLACK), path(white, fill=WHITE)]
    if label:
        at = (x + size_mm / 2, y + size_mm + LABEL_DROP_MM + LABEL_MM)
        parts.append(write(at, str(marker), LABEL_MM, anchor="middle"))
    return group(parts)


def draw_markers(corners: dict[int, Corners], *, label: bool = True) -> str:
    """Upright markers at their known corners."""
    return group(_at(marker, square, label) for marker, square in corners.items())


def _at(marker: int, square: Corners, label: bool) -> str:
    (x, y), (right, _) = square[0], square[1]
    return draw_marker(marker, (float(x), float(y)), float(right - x), label=label)


def _square(corner: Point, side: float) -> str:
    x, y = corner
    return f"M{number(x)} {number(y)}h{number(side)}v{number(side)}h{number(-side)}z"


def board_corners(
    origin: Point, columns: int, rows: int, size_mm: float, gap_mm: float, first: int
) -> dict[int, Corners]:
    """Corners of markers in a grid, numbered row by row from `first`."""
    pitch = size_mm + gap_mm
    return {
        first + row * columns + column: square_corners(
            (origin[0] + column * pitch, origin[1] + row * pitch), size_mm
        )
        for row in range(rows)
        for column in range(columns)
    }


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


WIDTH_MM = 17.0
END_MM = 2.0
"""White above and below the ends."""
UNIT_TYPE_MM = 2.8
LEFT, RIGHT, DOWN = (-1.0, 0.0), (1.0, 0.0), (0.0, 1.0)


def ruler_svg(length_mm: float, title: str, theme: Theme = Theme.PRINT) -> str:
    """An upright ruler `length_mm` long, zero at its top, `WIDTH_MM` wide."""
    x = WIDTH_MM / 2
    zero = (x, END_MM)
    body = (
        line(zero, (x, END_MM + length_mm), stroke_width=0.25, stroke=theme.ink),
        Scale(zero, DOWN, LEFT, 0.0, length_mm, CENTIMETRES).svg(),
        Scale(zero, DOWN, RIGHT, 0.0, length_mm, INCHES).svg(),
        write((x - 4.7, END_MM + 5.9), "cm", UNIT_TYPE_MM, anchor="end"),
        write((x + 4.7, END_MM + INCH_MM / 2 + 0.9), "in", UNIT_TYPE_MM),
    )
    return document(WIDTH_MM, length_mm + 2 * END_MM, title, title, body, theme)


BAR_MM = 100.0
BAR_IN = 4
HEIGHT_MM = 2.4
EDGE_MM = 0.25
BAR_TYPE_MM = 3.2
ROW_MM = 10.0
MARGIN_MM = 2.0


def check_bars_svg(theme: Theme = Theme.PRINT, words: Locale = ENGLISH) -> str:
    """A document with a bar of 100 mm in centimetres and one of 4 in in half inches."""
    width = BAR_IN * INCH_MM + 2 * MARGIN_MM
    height = 2 * ROW_MM + MARGIN_MM
    in_mm, in_inches = words.render("must measure 100 mm"), words.render("must measure 4 in")
    body = (
        _bar((MARGIN_MM, MARGIN_MM), 10, BAR_MM / 10, in_mm, theme),
        _bar((MARGIN_MM, MARGIN_MM + ROW_MM), 2 * BAR_IN, INCH_MM / 2, in_inches, theme),
    )
    title = words.render("Check bars: 100 mm and 4 in")
    return document(width, height, title, title, body, theme)


def _bar(corner: Point, fields: int, field_mm: float, label: str, theme: Theme) -> str:
    """A bar of dark and light fields in turn; its outer edges are the ends of its length."""
    x, y = corner
    whole = rectangle(corner, fields * field_mm, HEIGHT_MM, fill=theme.ink)
    last = fields - 1
    light = group(
        (
            rectangle(
                (x + place * field_mm, y + EDGE_MM),
                field_mm - (EDGE_MM if place == last else 0),
                HEIGHT_MM - 2 * EDGE_MM,
            )
            for place in range(1, fields, 2)
        ),
        fill=theme.paper,
    )
    base = y + HEIGHT_MM + 1.2 + CAP_HEIGHT * BAR_TYPE_MM
    return whole + light + write((x, base), label, BAR_TYPE_MM)
