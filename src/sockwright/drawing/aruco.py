"""Square markers that a camera finds in a photograph: ArUco, dictionary 4x4_50.

A marker is 6 x 6 cells: 4 x 4 that tell its number, and a black border one cell wide. It needs a
white margin of at least one cell on every side.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sockwright.drawing.svg import Point, group, number, path, rectangle, write
from sockwright.facts import fact

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
