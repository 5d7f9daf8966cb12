"""A chart over several pages that overlap a little, with an index of what is where."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sockwright.drawing.base.signs import Entry, lay_key, no_symbol
from sockwright.drawing.base.svg import Point, document, group, rectangle, write
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.chart.cells import Window
from sockwright.drawing.chart.chart import (
    CELL_MM,
    HEAD_MM,
    LEFT_MM,
    MARGIN_MM,
    RIGHT_MM,
    chart_key,
    draw_window,
    window_words,
)
from sockwright.drawing.chart.rows import Chart, chart_of
from sockwright.i18n import ENGLISH, Locale
from sockwright.needlebed.loops import LoopKind, LoopTable
from sockwright.plan.make import SockPlan

OVERLAP = 2
"""Needles and courses that two neighbouring pages both show."""
SMALLEST_MM = 1.7
"""Narrowest cell in which a sign is still read."""
INDEX_MM = (30.0, 46.0)
"""Room for the whole chart on the index."""
INDEX_TYPE_MM = 2.8
INDEX_LIST_MM = 150.0


@dataclass(frozen=True)
class ChartPage:
    """A page and what it shows: first and last needle and course, from 1, and that in words."""

    svg: str
    number: int
    needles: tuple[int, int]
    courses: tuple[int, int]
    words: str


@dataclass(frozen=True)
class ChartBook:
    """All pages of a chart, left to right and then down, and a picture of which is where."""

    pages: tuple[ChartPage, ...]
    index_svg: str


def chart_svgs(
    source: SockPlan | LoopTable | Chart,
    page_mm: tuple[float, float] = (190.0, 270.0),
    cell_mm: tuple[float, float] | None = None,
    theme: Theme = Theme.PRINT,
    words: Locale = ENGLISH,
    *,
    head_mm: float = 0.0,
) -> ChartBook:
    """The chart on as many pages of `page_mm` as it needs at this size of a cell; without one, a
    cell small enough to show all needles on one page if it can still be read. The topmost pages
    are `head_mm` lower than the others. ValueError where a page has no room for more than the
    overlap."""
    chart = source if isinstance(source, Chart) else chart_of(source)
    cell_mm = cell_mm or fitting_cell(chart.needles, page_mm[0])
    windows = list(_windows(chart, page_mm, cell_mm, head_mm, theme, words))
    pages = []
    for number, window in enumerate(windows, 1):
        of = words.render("page {page} of {pages}", page=number, pages=len(windows))
        page = of if len(windows) > 1 else ""
        svg = draw_window(chart, window, page, theme, words)
        needles = (window.needle + 1, window.needle_end)
        courses = (window.course + 1, window.course_end)
        said = window_words(chart, window, words)
        pages.append(ChartPage(svg, number, needles, courses, said))
    return ChartBook(tuple(pages), _index(chart, windows, pages, theme, words))


def fitting_cell(needles: int, page_mm: float) -> tuple[float, float]:
    """The largest cell up to CELL_MM with which all needles fit on the width of a page, or
    CELL_MM where that would be smaller than SMALLEST_MM."""
    room = page_mm - 2 * MARGIN_MM - LEFT_MM - RIGHT_MM
    width = room / needles
    if not SMALLEST_MM <= width < CELL_MM[0]:
        return CELL_MM
    return width, width * CELL_MM[1] / CELL_MM[0]


def _windows(
    chart: Chart,
    page_mm: tuple[float, float],
    cell_mm: tuple[float, float],
    head_mm: float,
    theme: Theme,
    words: Locale,
) -> Iterator[Window]:
    across = page_mm[0] - 2 * MARGIN_MM - LEFT_MM - RIGHT_MM
    key = chart_key(chart, page_mm[0] - 2 * MARGIN_MM, theme, words)
    down = page_mm[1] - 2 * MARGIN_MM - HEAD_MM - 2.0 - key.height
    corner = (MARGIN_MM + LEFT_MM, MARGIN_MM + HEAD_MM)
    columns = list(_parts(chart.needles, int(across / cell_mm[0] + 1e-9)))
    if max(end - start for start, end in columns) < chart.needles:
        # A narrower page may need more lines for its key.
        narrow = max(end - start for start, end in columns) * cell_mm[0] + LEFT_MM + RIGHT_MM
        key = chart_key(chart, narrow, theme, words)
        down = page_mm[1] - 2 * MARGIN_MM - HEAD_MM - 2.0 - key.height
    room, first = (int(high / cell_mm[1] + 1e-9) for high in (down, down - head_mm))
    for course, course_end in _parts(chart.courses, room, first):
        for needle, needle_end in columns:
            yield Window(needle, needle_end, course, course_end, cell_mm, corner)


def _parts(whole: int, room: int, first: int | None = None) -> Iterator[tuple[int, int]]:
    """The stretch 0..whole in parts of at most `room`, the first of at most `first`, neighbours
    sharing OVERLAP; all parts even as far as the first has room for that."""
    first = room if first is None else first
    if first <= OVERLAP:
        raise ValueError(f"a page with room for {max(first, 0)} shows nothing beyond the overlap")
    if whole <= first:
        yield 0, whole
        return
    pages = 1 + -(-(whole - first) // (room - OVERLAP))
    each = -(-(whole - OVERLAP) // pages) + OVERLAP
    start = 0
    if each > first:
        yield 0, first
        each = -(-(whole - first) // (pages - 1)) + OVERLAP
        start = first - OVERLAP
    while start + OVERLAP < whole:
        yield start, min(start + each, whole)
        start += each - OVERLAP


def _index(
    chart: Chart, windows: list[Window], pages: list[ChartPage], theme: Theme, words: Locale
) -> str:
    """The whole chart small, a frame for every page, and a list of the pages."""
    small = (INDEX_MM[0] / chart.needles, INDEX_MM[1] / chart.courses)
    corner = (0.3, 0.3)
    whole = Window(0, chart.needles, 0, chart.courses, small, corner)
    frames = [
        _frame(replace(w, cell_mm=small, corner=_corner(w, whole)), n, theme)
        for n, w in enumerate(windows, 1)
    ]
    entries = [Entry(no_symbol, page.words, str(page.number)) for page in pages]
    left = corner[0] + whole.width
    key = lay_key(entries, INDEX_LIST_MM, INDEX_TYPE_MM)
    body = (_silhouette(chart, whole, theme), group(frames), key.svg(left, corner[1]))
    height = max(corner[1] + whole.height + 0.3, corner[1] + key.height)
    title = words.render(
        "Chart of {needles} needles and {courses} courses",
        needles=chart.needles,
        courses=chart.courses,
    )
    said = "; ".join(f"{page.number}: {page.words}" for page in pages)
    return document(left + INDEX_LIST_MM, height, title, said, body, theme)


def _corner(window: Window, whole: Window) -> Point:
    return whole.x(window.needle), whole.y(window.course)


def _silhouette(chart: Chart, window: Window, theme: Theme) -> str:
    """Every band as a bar over the needles it knits."""
    parts = []
    for band in chart.bands:
        spans = [span for span, kind in band.cells if kind not in (LoopKind.WRAP, LoopKind.FLOAT)]
        if not spans:
            continue
        low, high = min(s[0] for s in spans), max(s[1] for s in spans)
        top = window.y(band.first)
        fill = theme.tint if band.waste else theme.faint
        width = window.x(high) - window.x(low)
        parts.append(rectangle((window.x(low), top), width, window.y(band.end) - top, fill=fill))
    return group(parts)


def _frame(window: Window, number: int, theme: Theme) -> str:
    x, y = window.corner
    box = rectangle(
        (x, y), window.width, window.height, fill="none", stroke=theme.ink, stroke_width=0.3
    )
    at = (x + window.width / 2, y + window.height / 2 + 1.4)
    return box + write(at, str(number), 4.0, anchor="middle", bold=True)
