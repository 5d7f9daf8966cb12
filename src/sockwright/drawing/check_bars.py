"""Bars of known length, to see whether a printer has kept the scale."""

from __future__ import annotations

from sockwright.drawing.lettering import CAP_HEIGHT
from sockwright.drawing.svg import Point, document, group, rectangle, write
from sockwright.drawing.theme import Theme
from sockwright.drawing.words import ENGLISH, Words

INCH_MM = 25.4
BAR_MM = 100.0
BAR_IN = 4
HEIGHT_MM = 2.4
EDGE_MM = 0.25
TYPE_MM = 3.2
ROW_MM = 10.0
MARGIN_MM = 2.0


def check_bars_svg(theme: Theme = Theme.PRINT, words: Words = ENGLISH) -> str:
    """A document with a bar of 100 mm in centimetres and one of 4 in in half inches."""
    width = BAR_IN * INCH_MM + 2 * MARGIN_MM
    height = 2 * ROW_MM + MARGIN_MM
    body = (
        _bar((MARGIN_MM, MARGIN_MM), 10, BAR_MM / 10, words.check_mm, theme),
        _bar((MARGIN_MM, MARGIN_MM + ROW_MM), 2 * BAR_IN, INCH_MM / 2, words.check_in, theme),
    )
    return document(width, height, words.check, words.check, body, theme)


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
    base = y + HEIGHT_MM + 1.2 + CAP_HEIGHT * TYPE_MM
    return whole + light + write((x, base), label, TYPE_MM)
