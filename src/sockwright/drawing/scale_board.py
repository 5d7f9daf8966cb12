"""The scale card: a board of markers as large as a postcard, to lie in a photograph as its scale.

All lengths in mm from the card's top left corner, y downward.
"""

from __future__ import annotations

from sockwright.drawing.aruco import BLACK, Corners, board_corners, draw_markers
from sockwright.drawing.scales import CENTIMETRES, INCHES, Scale
from sockwright.drawing.svg import Point, document, group, path, rectangle, segments_data, write
from sockwright.drawing.theme import Theme

CARD_MM = (128.0, 106.0)
"""About a postcard."""
COLUMNS, ROWS = 5, 3
MARKER_MM, GAP_MM = 16.0, 4.0
FIRST_MARKER = 16
BOARD_AT: Point = (16.0, 14.0)
BARS_AT: Point = (13.0, 74.0)
"""Where the check bars stand."""
CUT_MM = 6.0
"""Length of the cut lines, outside the card's corners."""
CLEAR_MM = 1.0
UNIT_TYPE_MM = 2.8
SIZE_MM = (CARD_MM[0] + 2 * CUT_MM, CARD_MM[1] + 2 * CUT_MM)
"""The drawing: the card and its cut lines."""


def card_corners() -> dict[int, Corners]:
    """Corners of the board's markers by number."""
    return board_corners(BOARD_AT, COLUMNS, ROWS, MARKER_MM, GAP_MM, FIRST_MARKER)


def scale_board_svg(title: str, theme: Theme = Theme.PRINT) -> str:
    """The card with its cut lines; rulers along the upper and lower edge."""
    shift = {marker: corners + CUT_MM for marker, corners in card_corners().items()}
    body = (_card(theme), _rulers(), draw_markers(shift, label=False))
    return document(*SIZE_MM, title, title, body, theme)


def _card(theme: Theme) -> str:
    """A faint outline to cut along, and lines at the corners that stay when it is cut through."""
    (left, top), (wide, high) = (CUT_MM, CUT_MM), CARD_MM
    right, low = left + wide, top + high
    ends = []
    for x, out in ((left, -1), (right, 1)):
        ends += [((x + out * CLEAR_MM, y), (x + out * CUT_MM, y)) for y in (top, low)]
    for y, out in ((top, -1), (low, 1)):
        ends += [((x, y + out * CLEAR_MM), (x, y + out * CUT_MM)) for x in (left, right)]
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
