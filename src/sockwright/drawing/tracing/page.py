"""A page to trace a foot on and the card of squares: where everything lies, and its drawing.

The heel stands against the heel line, the foot's axis runs up the middle of the page. Two sheets
make a page for longer feet: the toe sheet is cut along its lower edge line and laid on the joint
line of the heel sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from sockwright.drawing.base.scales import (
    BLACK,
    CENTIMETRES,
    INCH_MM,
    INCHES,
    Corners,
    Scale,
    board_corners,
    draw_markers,
    square_corners,
)
from sockwright.drawing.base.signs import arrow_head
from sockwright.drawing.base.svg import (
    Point,
    document,
    group,
    line,
    path,
    polyline_data,
    rectangle,
    segments_data,
    write,
)
from sockwright.drawing.base.theme import Theme

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


UP: Point = (0.0, -1.0)
LEFT: Point = (-1.0, 0.0)
RIGHT: Point = (1.0, 0.0)
SIDE_SCALES_FROM_MM = 95.0
"""The scales at the sides begin below the shortest foot they are for."""
REGISTER_MM = (-90.0, -45.0, 45.0, 90.0)
"""Register marks of the joint, mm to the right of the axis."""
REGISTER_LONG_MM = 5.0
UNIT_OFF_MM, UNIT_TYPE_MM = 4.7, 2.8


def tracing_page_svg(page: TracingPage, title: str, theme: Theme = Theme.PRINT) -> str:
    """The page at true size, without its words."""
    body = (
        _axis(page, theme),
        group(scale.svg() for scale in _scales(page)),
        _units(page),
        _ends(page, theme),
        draw_markers(page.marker_corners()),
    )
    return document(page.width_mm, page.height_mm, title, title, body, theme)


def _axis(page: TracingPage, theme: Theme) -> str:
    x = page.heel[0]
    ends = ((x, page.bottom), (x, page.top))
    return line(*ends, stroke=theme.ink, stroke_width=0.25)


def _scales(page: TracingPage) -> Iterator[Scale]:
    """Centimetres and inches on the axis; centimetres on both sides, to read a straight edge laid
    across the toes."""
    left, right = page.strip
    y = page.heel[1]
    start, end = page.start_mm, page.end_mm
    yield Scale(page.heel, UP, LEFT, start, end, CENTIMETRES)
    yield Scale(page.heel, UP, RIGHT, start, end, INCHES)
    beside = max(start, SIDE_SCALES_FROM_MM)
    yield Scale((left, y), UP, RIGHT, beside, end, CENTIMETRES)
    yield Scale((right, y), UP, LEFT, beside, end, CENTIMETRES)


def _units(page: TracingPage) -> str:
    """What the numbers on the axis count, written between the first two of them."""
    x, y = page.heel
    centimetres = (ceil(page.start_mm / 10) + 0.5) * 10
    inches = (ceil(page.start_mm / INCH_MM) + 0.5) * INCH_MM
    return group(
        (
            write((x - UNIT_OFF_MM, y - centimetres + 0.9), "cm", UNIT_TYPE_MM, anchor="end"),
            write((x + UNIT_OFF_MM, y - inches + 0.9), "in", UNIT_TYPE_MM),
        ),
        fill=Theme.PRINT.muted,
    )


def _ends(page: TracingPage, theme: Theme) -> str:
    if page.layout is Layout.HEEL_SHEET:
        return group((_heel_line(page), _joint(page, theme)))
    if page.layout is Layout.TOE_SHEET:
        return group((_toe_line(page, theme), _cut(page)))
    return group((_heel_line(page), _toe_line(page, theme)))


def _heel_line(page: TracingPage) -> str:
    """The line the heel stands against, with a notch where the axis begins."""
    (left, right), (x, y) = page.strip, page.heel
    notch = polyline_data(((x - 2.5, y + 3.0), (x, y), (x + 2.5, y + 3.0)))
    return group(
        (
            line((left, y), (right, y), stroke_width=0.5),
            path(notch, fill="none", stroke_width=0.35),
        ),
        stroke=BLACK,
    )


def _toe_line(page: TracingPage, theme: Theme) -> str:
    """The end of the length that a foot on this page may have, and the way to the second toe."""
    left, right = page.strip
    tip = (page.heel[0], page.top)
    dashes = line((left, tip[1]), (right, tip[1]), stroke_dasharray="2 1.6")
    return group((dashes, arrow_head(tip, UP, 4.0, theme.ink)), stroke=theme.ink, stroke_width=0.2)


def _joint(page: TracingPage, theme: Theme) -> str:
    """The line for the cut edge of the other sheet, the flap beyond it, and register marks."""
    ends = ((EDGE_MM, page.top), (page.width_mm - EDGE_MM, page.top))
    flap = rectangle(
        (EDGE_MM, page.top - FLAP_MM), page.width_mm - 2 * EDGE_MM, FLAP_MM, fill=theme.tint
    )
    return group((flap, line(*ends, stroke=BLACK, stroke_width=0.25), _register(page, page.top, 1)))


def _cut(page: TracingPage) -> str:
    ends = ((0.0, page.bottom), (page.width_mm, page.bottom))
    dashes = line(*ends, stroke=BLACK, stroke_width=0.25, stroke_dasharray="3 1.5")
    return group((dashes, _register(page, page.bottom, -1)))


def _register(page: TracingPage, y: float, down: int) -> str:
    """Marks that meet across the joint."""
    places = (page.heel[0] + offset for offset in REGISTER_MM)
    marks = [((x, y), (x, y + down * REGISTER_LONG_MM)) for x in places]
    return path(segments_data(marks), stroke=BLACK, stroke_width=0.35, fill="none")


CARD_MM = (128.0, 106.0)
"""About a postcard."""
COLUMNS, ROWS = 5, 3
CARD_MARKER_MM, GAP_MM = 16.0, 4.0
FIRST_CARD_MARKER = 16
BOARD_AT: Point = (16.0, 14.0)
BARS_AT: Point = (13.0, 74.0)
"""Where the check bars stand."""
CUT_MM = 6.0
"""Length of the cut lines, outside the card's corners."""
CARD_CLEAR_MM = 1.0
CARD_SIZE_MM = (CARD_MM[0] + 2 * CUT_MM, CARD_MM[1] + 2 * CUT_MM)
"""The drawing: the card and its cut lines."""


def card_corners() -> dict[int, Corners]:
    """Corners of the board's markers by number."""
    return board_corners(BOARD_AT, COLUMNS, ROWS, CARD_MARKER_MM, GAP_MM, FIRST_CARD_MARKER)


def scale_board_svg(title: str, theme: Theme = Theme.PRINT) -> str:
    """The card with its cut lines; rulers along the upper and lower edge."""
    shift = {marker: corners + CUT_MM for marker, corners in card_corners().items()}
    body = (_card(theme), _rulers(), draw_markers(shift, label=False))
    return document(*CARD_SIZE_MM, title, title, body, theme)


def _card(theme: Theme) -> str:
    """A faint outline to cut along, and lines at the corners that stay when it is cut through."""
    (left, top), (wide, high) = (CUT_MM, CUT_MM), CARD_MM
    right, low = left + wide, top + high
    ends = []
    for x, out in ((left, -1), (right, 1)):
        ends += [((x + out * CARD_CLEAR_MM, y), (x + out * CUT_MM, y)) for y in (top, low)]
    for y, out in ((top, -1), (low, 1)):
        ends += [((x, y + out * CARD_CLEAR_MM), (x, y + out * CUT_MM)) for x in (left, right)]
    outline = rectangle((left, top), wide, high, fill="none", stroke=theme.faint, stroke_width=0.15)
    return outline + path(segments_data(ends), stroke=BLACK, stroke_width=0.2)


def _rulers() -> str:
    """Centimetres along the upper edge and inches along the lower one, to lay fabric against."""
    start = (CUT_MM + 4.0, CUT_MM)
    below = (CUT_MM + 4.0, CUT_MM + CARD_MM[1])
    long_mm = CARD_MM[0] - 8.0
    scales = (
        Scale(start, (1.0, 0.0), (0.0, 1.0), 0.0, long_mm, CENTIMETRES),
        Scale(below, (1.0, 0.0), (0.0, -1.0), 0.0, long_mm, INCHES),
    )
    units = (
        write((start[0] + 3.2, start[1] + 6.6), "cm", UNIT_TYPE_MM),
        write((below[0] + 3.2, below[1] - 4.7), "in", UNIT_TYPE_MM),
    )
    return group((*(scale.svg() for scale in scales), *units))
