"""A ruler for the edge of a sheet: centimetres on one side, inches on the other."""

from __future__ import annotations

from sockwright.drawing.scales import CENTIMETRES, INCH_MM, INCHES, Scale
from sockwright.drawing.svg import document, line, write
from sockwright.drawing.theme import Theme

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
