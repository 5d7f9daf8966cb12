"""Drawing the cells of a chart: the grid of knitted loops and a sign for every other one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from sockwright.drawing.base.svg import Point, circle, group, number, path, rectangle
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.chart.rows import Band, Chart, Span
from sockwright.needlebed.loops import LoopKind

WASH = 0.3
"""How thick the colour of a yarn other than the main one lies on its cells, 0 to 1."""
CELL_KINDS = (LoopKind.KNIT, LoopKind.PURL, LoopKind.TUCK, LoopKind.SCRAP)
"""Kinds that fill a cell; wraps and floats lie where nothing is knitted."""


@dataclass(frozen=True)
class Window:
    """The part of a chart that is drawn: needles and courses from and up to, from 0, the size of
    a cell, and where its top left corner lies, mm."""

    needle: int
    needle_end: int
    course: int
    course_end: int
    cell_mm: tuple[float, float]
    corner: Point = (0.0, 0.0)

    @property
    def width(self) -> float:
        """Width of all columns, mm."""
        return (self.needle_end - self.needle) * self.cell_mm[0]

    @property
    def height(self) -> float:
        """Height of all courses, mm."""
        return (self.course_end - self.course) * self.cell_mm[1]

    def x(self, needles: float) -> float:
        """Place across, mm, of a distance in needles from the chart's left edge."""
        return self.corner[0] + (needles - self.needle) * self.cell_mm[0]

    def y(self, course: float) -> float:
        """Place down, mm, of the upper edge of a course."""
        return self.corner[1] + (course - self.course) * self.cell_mm[1]

    def shows(self, span: Span) -> bool:
        """Whether the middle of a cell lies within the window."""
        return self.needle <= (span[0] + span[1]) / 2 < self.needle_end

    def clipped(self, band: Band) -> tuple[int, int]:
        """First course of a band within the window, and the course after its last."""
        return max(band.first, self.course), min(band.end, self.course_end)


def draw_cells(chart: Chart, window: Window, theme: Theme) -> str:
    """All bands within the window, then the cells where loops are joined."""
    bands = [band for band in chart.bands if _seen(band, window)]
    return group(
        (
            *(_draw_band(band, chart, window, theme) for band in bands),
            _draw_joined(chart, window, theme),
        )
    )


def _seen(band: Band, window: Window) -> bool:
    first, end = window.clipped(band)
    return first < end


def _draw_band(band: Band, chart: Chart, window: Window, theme: Theme) -> str:
    cells = [cell for cell in band.cells if window.shows(cell[0])]
    full = sorted(span for span, kind in cells if kind in CELL_KINDS)
    rows = window.clipped(band)
    top, height = window.y(rows[0]), (rows[1] - rows[0]) * window.cell_mm[1]
    blocks = list(_blocks(full))
    fill, opacity = _fill(band, chart, theme)
    areas = (
        rectangle(
            (window.x(low), top),
            window.x(high) - window.x(low),
            height,
            fill=fill,
            fill_opacity=opacity,
        )
        for low, high in blocks
    )
    grid = path(
        _grid(full, blocks, rows, window),
        fill="none",
        stroke=theme.faint if band.waste else theme.muted,
        stroke_width=0.1,
    )
    return "\n".join((*areas, grid, _signs(cells, rows, window, theme)))


def _fill(band: Band, chart: Chart, theme: Theme) -> tuple[str, float | None]:
    """Paint of a band's cells and how thick it lies."""
    yarn = chart.yarns.get(band.yarn)
    if band.waste:
        return theme.tint, None
    return (yarn.paint, WASH) if yarn is not None else (theme.paper, None)


def _blocks(spans: Iterable[Span]) -> Iterator[Span]:
    """Neighbouring cells, taken together."""
    low: float | None = None
    high = 0.0
    for left, right in spans:
        if low is not None and left - high > 1e-9:
            yield low, high
            low = None
        low = left if low is None else low
        high = max(right, high)
    if low is not None:
        yield low, high


def _grid(spans: list[Span], blocks: list[Span], rows: tuple[int, int], window: Window) -> str:
    """Upright lines between the cells, as tall as the band, and a level line at every course."""
    top, bottom = window.y(rows[0]), window.y(rows[1])
    edges = sorted({edge for span in spans for edge in span})
    uprights = "".join(
        f"M{number(window.x(edge))} {number(top)}V{number(bottom)}" for edge in edges
    )
    levels = "".join(
        f"M{number(window.x(low))} {number(window.y(course))}H{number(window.x(high))}"
        for course in range(rows[0], rows[1] + 1)
        for low, high in blocks
    )
    return uprights + levels


def _signs(
    cells: list[tuple[Span, LoopKind]], rows: tuple[int, int], window: Window, theme: Theme
) -> str:
    parts = []
    for kind, sign in SIGNS.items():
        spans = [span for span, one in cells if one is kind]
        parts += [
            sign(window.x((span[0] + span[1]) / 2), window.y(course + 0.5), window.cell_mm, theme)
            for course in range(*rows)
            for span in spans
        ]
    return "\n".join(parts)


def _draw_joined(chart: Chart, window: Window, theme: Theme) -> str:
    return group(
        joined_sign(
            window.x((span[0] + span[1]) / 2), window.y(course + 0.5), window.cell_mm, theme
        )
        for course in range(window.course, window.course_end)
        for span in chart.joined.get(course, ())
        if window.shows(span)
    )


Cell = tuple[float, float]


def purl_sign(x: float, y: float, cell: Cell, theme: Theme) -> str:
    """A level bar: the purl bump."""
    size = min(cell)
    half = 0.28 * size
    return path(
        f"M{number(x - half)} {number(y)}h{number(2 * half)}",
        stroke=theme.ink,
        stroke_width=0.2 * size,
    )


def wrap_sign(x: float, y: float, cell: Cell, theme: Theme) -> str:
    """A lozenge: yarn lying round the stem of a raised needle."""
    half = 0.3 * min(cell)
    far = number(half)
    return path(
        f"M{number(x)} {number(y - half)}l{far} {far}l-{far} {far}l-{far} -{far}z",
        fill=theme.paper,
        stroke=theme.ink,
        stroke_width=0.18,
    )


def tuck_sign(x: float, y: float, cell: Cell, theme: Theme) -> str:
    """A ring: the hole that yarn over an empty needle leaves."""
    return circle((x, y), 0.26 * min(cell), fill="none", stroke=theme.ink, stroke_width=0.25)


def float_sign(x: float, y: float, cell: Cell, theme: Theme) -> str:
    """A fine level line right across: the yarn passes behind an idle needle."""
    half = cell[0] / 2
    return path(
        f"M{number(x - half)} {number(y)}h{number(2 * half)}", stroke=theme.muted, stroke_width=0.15
    )


def joined_sign(x: float, y: float, cell: Cell, theme: Theme) -> str:
    """A solid point upward: a loop pulled through two."""
    half = 0.27 * min(cell)
    return path(
        f"M{number(x)} {number(y - half)}l{number(half)} {number(2 * half)}h-{number(2 * half)}z",
        fill=theme.ink,
    )


Sign = Callable[[float, float, Cell, Theme], str]
SIGNS: dict[LoopKind, Sign] = {
    LoopKind.FLOAT: float_sign,
    LoopKind.PURL: purl_sign,
    LoopKind.TUCK: tuck_sign,
    LoopKind.WRAP: wrap_sign,
}
