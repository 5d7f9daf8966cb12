"""The drawing on a tracing page: heel line, axis, scales, markers and the joint of two sheets."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from sockwright.drawing.aruco import BLACK, draw_markers
from sockwright.drawing.scales import CENTIMETRES, INCH_MM, INCHES, Scale
from sockwright.drawing.shapes import arrow_head
from sockwright.drawing.svg import (
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
from sockwright.drawing.theme import Theme
from sockwright.drawing.tracing_layout import EDGE_MM, FLAP_MM, Layout, TracingPage

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
