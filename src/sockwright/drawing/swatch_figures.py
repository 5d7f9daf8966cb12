"""How a swatch is measured: three small drawings of the tube laid flat between its two threads."""

from __future__ import annotations

from collections.abc import Iterable

from sockwright.drawing.plane import hatch
from sockwright.drawing.shapes import arrow_head
from sockwright.drawing.svg import (
    Point,
    document,
    group,
    line,
    number,
    path,
    rectangle,
    segments_data,
)
from sockwright.drawing.theme import Theme

SIZE_MM = (58.0, 76.0)
TUBE_MM = (40.0, 70.0)
"""The tube laid flat, upright, the rounds lying level."""
CORNER: Point = (9.0, 3.0)
WASTE_MM = 8.0
THREADS = (0.23, 0.77)
"""Where the threads lie, as shares of the tube's height: rounds 10 and 50 of 60, and the waste."""
PLACES = 5
WINDOW_MM = (11.0, 7.0)
WINDOWS = ((10.5, 22.5), (29.5, 22.5), (20.0, 35.0), (10.5, 47.5), (29.5, 47.5))
"""Size of the windows to count in, and their middles from the tube's corner."""
OUTLINE_MM, THIN_MM, THREAD_MM, SPAN_MM = 0.45, 0.18, 0.7, 0.4
ARROW_MM = 2.2


def count_figure(title: str, theme: Theme = Theme.PRINT) -> str:
    """Five windows to count in, away from folds and ends."""
    wide, high = WINDOW_MM
    windows = (
        rectangle(
            (CORNER[0] + x - wide / 2, CORNER[1] + y - high / 2),
            wide,
            high,
            fill=theme.tint,
            stroke=theme.act,
            stroke_width=SPAN_MM,
        )
        for x, y in WINDOWS
    )
    return _figure(title, theme, windows)


def width_figure(title: str, theme: Theme = Theme.PRINT) -> str:
    """Five widths from fold to fold."""
    spans = (
        _span((CORNER[0], y), (CORNER[0] + TUBE_MM[0], y), (1.0, 0.0), theme)
        for y in _between(*(_thread(share) for share in THREADS))
    )
    return _figure(title, theme, spans)


def length_figure(title: str, theme: Theme = Theme.PRINT) -> str:
    """Five lengths from thread to thread."""
    low, high = (_thread(share) for share in THREADS)
    spans = (
        _span((x, low), (x, high), (0.0, 1.0), theme)
        for x in _between(CORNER[0], CORNER[0] + TUBE_MM[0])
    )
    return _figure(title, theme, spans)


def _thread(share: float) -> float:
    return CORNER[1] + share * TUBE_MM[1]


def _between(first: float, last: float) -> list[float]:
    """Five places inside, evenly spread."""
    step = (last - first) / (PLACES + 1)
    return [first + (place + 1) * step for place in range(PLACES)]


def _span(a: Point, b: Point, along: Point, theme: Theme) -> str:
    back = (-along[0], -along[1])
    return group(
        (
            line(a, b, stroke=theme.act, stroke_width=SPAN_MM),
            arrow_head(a, back, ARROW_MM, theme.act),
            arrow_head(b, along, ARROW_MM, theme.act),
        )
    )


def _figure(title: str, theme: Theme, measures: Iterable[str]) -> str:
    body = (_tube(theme), group(measures))
    return document(*SIZE_MM, title, title, body, theme)


def _tube(theme: Theme) -> str:
    """The flat tube: waste at both ends, a thread across it near either."""
    (x, y), (wide, high) = CORNER, TUBE_MM
    ends = (y, y + high - WASTE_MM)
    waste = (
        ((x, top), (x + wide, top), (x + wide, top + WASTE_MM), (x, top + WASTE_MM)) for top in ends
    )
    hatching = "".join(segments_data(hatch(end, 45, 1.6)) for end in waste)
    threads = ((x - 3.0, _thread(share)) for share in THREADS)
    dashes = " ".join(number(part) for part in (1.6, 1.0))
    return group(
        (
            path(hatching, stroke=theme.muted, stroke_width=THIN_MM),
            group(
                (rectangle((x, top), wide, WASTE_MM) for top in ends),
                fill="none",
                stroke=theme.muted,
                stroke_width=THIN_MM,
            ),
            rectangle((x, y), wide, high, fill="none", stroke=theme.ink, stroke_width=OUTLINE_MM),
            group(
                (line(at, (x + wide + 3.0, at[1]), stroke_dasharray=dashes) for at in threads),
                stroke=theme.ink,
                stroke_width=THREAD_MM,
            ),
        )
    )
