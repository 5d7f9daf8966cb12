"""How a swatch is measured: three small drawings of the tube laid flat between its two threads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from sockwright.drawing.base.geometry import hatch
from sockwright.drawing.base.signs import arrow_head
from sockwright.drawing.base.svg import (
    Point,
    circle,
    document,
    group,
    line,
    number,
    path,
    polyline_data,
    rectangle,
    segments_data,
)
from sockwright.drawing.base.theme import Theme
from sockwright.i18n import N_

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
OUTLINE_MM, FINE_MM, THREAD_MM, SPAN_MM = 0.45, 0.18, 0.7, 0.4
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
            path(hatching, stroke=theme.muted, stroke_width=FINE_MM),
            group(
                (rectangle((x, top), wide, WASTE_MM) for top in ends),
                fill="none",
                stroke=theme.muted,
                stroke_width=FINE_MM,
            ),
            rectangle((x, y), wide, high, fill="none", stroke=theme.ink, stroke_width=OUTLINE_MM),
            group(
                (line(at, (x + wide + 3.0, at[1]), stroke_dasharray=dashes) for at in threads),
                stroke=theme.ink,
                stroke_width=THREAD_MM,
            ),
        )
    )


MISHAP_MM = (60.0, 42.0)
NEEDLES_X = (10.0, 20.0, 30.0, 40.0, 50.0)
HOOK_Y, LOOP_Y, ROW_MM = 6.0, 15.0, 6.0
"""Top of the needles, where the loops hang on them, and the height of a row of fabric."""
ROWS = 4
THIN_MM, USUAL_MM, HEAVY_MM = 0.3, 0.6, 1.1
LOOP_MM = 3.2
"""Half the width of a loop."""
MIDDLE = 2
"""The needle of NEEDLES_X that it happens to."""


def dropped_figure(title: str, theme: Theme) -> str:
    """A ladder below an empty needle, its loose loop on a latch hook."""
    foot = LOOP_Y + 3 * ROW_MM
    x = NEEDLES_X[MIDDLE]
    bars = (
        line((x - LOOP_MM, y), (x + LOOP_MM, y), stroke=theme.act, stroke_width=HEAVY_MM)
        for y in (LOOP_Y + ROW_MM * row for row in (0.2, 1.1, 2.0))
    )
    hook = polyline_data(((x + 9, MISHAP_MM[1] - 2), (x + 1.2, foot - 0.5), (x - 1.2, foot - 2)))
    parts = (
        *(_needle(place, theme) for place in NEEDLES_X),
        *(_wale(place, theme) for place in NEEDLES_X if place != x),
        _loops(((x, foot),), theme.act, HEAVY_MM),
        *bars,
        path(hook, fill="none", stroke=theme.ink, stroke_width=HEAVY_MM, stroke_linecap="round"),
    )
    return _figure_of_mishap_figures(title, theme, parts)


def jumped_figure(title: str, theme: Theme) -> str:
    """The yarn passes above the hooks; two loops hang free below their needles."""
    free = NEEDLES_X[MIDDLE:4]
    yarn = polyline_data(((2.0, 13.0), (NEEDLES_X[1], 12.5), (NEEDLES_X[2], 3.0), (58.0, 1.8)))
    parts = (
        *(_needle(place, theme) for place in NEEDLES_X),
        *(_wale(place, theme) for place in NEEDLES_X if place not in free),
        *(_wale(place, theme, start=1) for place in free),
        _loops(((place, LOOP_Y + ROW_MM) for place in free), theme.act, HEAVY_MM),
        *(_arrow((place, LOOP_Y + 3.2), (place, LOOP_Y - 3.0), theme) for place in free),
        path(yarn, fill="none", stroke=theme.act, stroke_width=HEAVY_MM, stroke_linejoin="round"),
    )
    return _figure_of_mishap_figures(title, theme, parts)


def hole_figure(title: str, theme: Theme) -> str:
    """Between heel and instep the strand below the hole goes up onto the end needle."""
    x, after = NEEDLES_X[MIDDLE], NEEDLES_X[MIDDLE + 1]
    middle, y = (x + after) / 2, LOOP_Y + 2.6 * ROW_MM
    parts = (
        *(_needle(place, theme) for place in NEEDLES_X),
        *(_wale(place, theme) for place in NEEDLES_X),
        circle((middle, LOOP_Y + 1.4 * ROW_MM), 2.6, fill=theme.paper, stroke=theme.warn),
        line((x, y), (after, y), stroke=theme.act, stroke_width=HEAVY_MM),
        _arrow((middle - 0.6, y - 1), (x + 1.2, LOOP_Y - 1.5), theme),
        line(
            (middle, 1.5),
            (middle, MISHAP_MM[1] - 2),
            stroke=theme.muted,
            stroke_width=THIN_MM,
            stroke_dasharray="2 1.2",
        ),
    )
    return _figure_of_mishap_figures(title, theme, parts)


def skewed_figure(title: str, theme: Theme) -> str:
    """A wale that leans to the next needle, and beside it one that runs straight down."""
    straight, leaning, beside = NEEDLES_X[1], NEEDLES_X[3], NEEDLES_X[4]
    foot = MISHAP_MM[1] - 5
    parts = (
        *(_needle(place, theme) for place in NEEDLES_X),
        line((straight, LOOP_Y), (straight, foot), stroke=theme.ink, stroke_width=HEAVY_MM),
        _arrow((straight + 2.5, foot), (straight + 2.5, LOOP_Y), theme, theme.ink),
        line((leaning, LOOP_Y), (beside, foot), stroke=theme.act, stroke_width=HEAVY_MM),
        line(
            (leaning, LOOP_Y),
            (leaning, foot),
            stroke=theme.muted,
            stroke_width=THIN_MM,
            stroke_dasharray="2 1.2",
        ),
        _arrow((beside - 1.0, foot - 4), (leaning + 0.8, foot - 4), theme),
        *(circle((place, foot + 1.5), 1.3, fill=theme.ink) for place in NEEDLES_X),
    )
    return _figure_of_mishap_figures(title, theme, parts)


FIGURES: Mapping[str, tuple[str, Callable[[str, Theme], str]]] = {
    "dropped": (
        N_("The loose loop on a latch hook, the ladder's bars above it"),
        dropped_figure,
    ),
    "jumped": (N_("Free loops go back, each onto its own needle"), jumped_figure),
    "hole": (N_("The strand below the hole goes onto the end needle of the heel"), hole_figure),
    "skewed": (N_("Left a wale that runs straight, right one that leans"), skewed_figure),
}
"""By the key of the mishap: what the drawing shows, and the drawing."""


def _figure_of_mishap_figures(title: str, theme: Theme, parts: Iterable[str]) -> str:
    return document(*MISHAP_MM, title, title, parts, theme)


def _needle(x: float, theme: Theme) -> str:
    """A needle from its hook down to where its loop hangs."""
    data = polyline_data(
        ((x + 1.6, HOOK_Y + 1.8), (x + 1.2, HOOK_Y), (x, HOOK_Y), (x, LOOP_Y + 0.5))
    )
    return path(
        data,
        fill="none",
        stroke=theme.ink,
        stroke_width=USUAL_MM,
        stroke_linecap="round",
        stroke_linejoin="round",
    )


def _wale(x: float, theme: Theme, start: int = 0) -> str:
    """Loops below each other, the first on the needle."""
    rows = range(start, ROWS)
    return _loops(((x, LOOP_Y + row * ROW_MM) for row in rows), theme.muted, USUAL_MM)


def _loops(tops: Iterable[Point], ink: str, width: float) -> str:
    return path(
        "".join(polyline_data(_loop_points(top)) for top in tops),
        fill="none",
        stroke=ink,
        stroke_width=width,
        stroke_linejoin="round",
    )


def _loop_points(top: Point) -> Iterator[Point]:
    x, y = top
    for aside, down in ((-1.0, 1.0), (-0.55, 0.35), (-0.3, 0), (0.3, 0), (0.55, 0.35), (1.0, 1.0)):
        yield x + aside * LOOP_MM, y + down * ROW_MM


def _arrow(start: Point, end: Point, theme: Theme, ink: str = "") -> str:
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    way = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    colour = ink or theme.act
    return line(start, end, stroke=colour, stroke_width=USUAL_MM) + arrow_head(
        end, way, 2.6, colour
    )
