"""Where everything lies on a tracing page, mm from the page's top left corner, y downward.

The heel stands against the heel line, the foot's axis runs up the middle of the page. Two sheets
make a page for longer feet: the toe sheet is cut along its lower edge line and laid on the joint
line of the heel sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sockwright.drawing.aruco import Corners, square_corners
from sockwright.drawing.svg import Point

EDGE_MM = 12.0
"""White edge of the page; a printer reaches at least this far."""
PENCIL_MM = 4.0
"""Room between the foot and the white edge for the pencil's line: half a thick pencil."""
FLAP_MM = 10.0
"""Overlap of the two sheets, for the tape or the glue."""
MARKER_MM = 20.0
CLEAR_MM = 8.0
"""White between a marker and the joint: more than a cell, and room for its number."""
STRIP_MM = 126.0
"""Width kept free for the foot: broader than 99 men's feet in 100 (115 mm), with the pencil."""


class Layout(StrEnum):
    """Which printed page it is."""

    ONE_PAGE = "one page"
    HEEL_SHEET = "heel sheet"
    TOE_SHEET = "toe sheet"


FIRST_MARKER = {Layout.ONE_PAGE: 0, Layout.HEEL_SHEET: 4, Layout.TOE_SHEET: 8}


@dataclass(frozen=True)
class TracingPage:
    """One page: its layout, its size as it is looked at (mm), the heel point on its axis, and the
    part of the foot's length that lies on it, mm from the heel.

    On a toe sheet the heel point lies below the page.
    """

    layout: Layout
    width_mm: float
    height_mm: float
    heel: Point
    start_mm: float
    end_mm: float

    @property
    def top(self) -> float:
        """y where the part of the foot on this page ends: the joint, or the longest toe."""
        return self.heel[1] - self.end_mm

    @property
    def bottom(self) -> float:
        """y where it begins: the heel line, or the cut edge."""
        return self.heel[1] - self.start_mm

    @property
    def strip(self) -> tuple[float, float]:
        """x of the two sides of the strip that is kept free for the foot."""
        return self.heel[0] - STRIP_MM / 2, self.heel[0] + STRIP_MM / 2

    def marker_corners(self) -> dict[int, Corners]:
        """Corners of the page's four markers by their numbers, clockwise from the top left one."""
        left, right = EDGE_MM, self.width_mm - EDGE_MM - MARKER_MM
        joined_above = self.layout is Layout.HEEL_SHEET
        joined_below = self.layout is Layout.TOE_SHEET
        top = self.top + CLEAR_MM if joined_above else EDGE_MM
        low = self.bottom - CLEAR_MM if joined_below else self.height_mm - EDGE_MM
        low -= MARKER_MM
        first = FIRST_MARKER[self.layout]
        places = ((left, top), (right, top), (right, low), (left, low))
        return {first + n: square_corners(place, MARKER_MM) for n, place in enumerate(places)}


def one_page(width_mm: float, height_mm: float) -> TracingPage:
    """The page for one sheet, upright."""
    end = height_mm - 2 * (EDGE_MM + PENCIL_MM)
    heel = (width_mm / 2, height_mm - EDGE_MM - PENCIL_MM)
    return TracingPage(Layout.ONE_PAGE, width_mm, height_mm, heel, 0.0, end)


def two_sheets(width_mm: float, height_mm: float) -> tuple[TracingPage, TracingPage]:
    """Heel sheet and toe sheet, both lying on their long side; sizes are those of the paper
    upright."""
    wide, high = height_mm, width_mm
    heel = (wide / 2, high - EDGE_MM - PENCIL_MM)
    joint = EDGE_MM + FLAP_MM
    below = heel[1] - joint
    cut = high - EDGE_MM
    above = cut - EDGE_MM - PENCIL_MM
    return (
        TracingPage(Layout.HEEL_SHEET, wide, high, heel, 0.0, below),
        TracingPage(Layout.TOE_SHEET, wide, high, (wide / 2, cut + below), below, below + above),
    )
