"""The chart of a sock: needles across, courses downward in knitting order, each loop a cell."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.signs import (
    DOUBLE,
    Entry,
    Key,
    arrow_head,
    lay_key,
    mark_symbol,
    numbered,
)
from sockwright.drawing.base.svg import Point, document, group, line, path, rectangle, write
from sockwright.drawing.base.theme import CAP_HEIGHT, Box, Theme, without_overlaps
from sockwright.drawing.chart.cells import SIGNS, WASH, Sign, Window, draw_cells, joined_sign
from sockwright.drawing.chart.rows import Chart, CourseNumber, chart_of
from sockwright.i18n import ENGLISH, Locale
from sockwright.needlebed.loops import LoopKind, LoopTable
from sockwright.plan.make import SockPlan

CELL_MM = (2.6, 2.2)
"""Usual width and height of a cell: sixty needles across a page."""
TYPE_MM = 2.4
NUMBER_MM = 2.3
MARGIN_MM = 2.0
HEAD_MM = 12.0
"""Room above the cells for caption, marks and needle numbers."""
LEFT_MM, RIGHT_MM = 21.0, 14.0
"""Room beside the cells for section and number, and for the number in all."""
NAME_MM = 7.0
"""Room for the name of a section."""
NAME_HEIGHT_MM = 3.5
"""Height that the name of a section takes from its line on."""
ASIDE_MM = 2.6
"""Distance of course numbers from the cells: an arrowhead stands between."""
MARK_MM = 3.0
DOWN = (0.0, 1.0)
EVERY = 5
"""Courses whose number is a multiple of this are numbered."""


def chart_svg(
    source: SockPlan | LoopTable | Chart,
    cell_mm: tuple[float, float] = CELL_MM,
    theme: Theme = Theme.PRINT,
    words: Locale = ENGLISH,
    *,
    needles: tuple[int, int] | None = None,
    courses: tuple[int, int] | None = None,
) -> str:
    """The chart in one piece, or a window of it: `needles` first and last from 1, `courses` first
    and last from 1, scrap and waste counted."""
    chart = source if isinstance(source, Chart) else chart_of(source)
    first, last = needles or (1, chart.needles)
    start, end = courses or (1, chart.courses)
    window = Window(
        first - 1, last, start - 1, end, cell_mm, (MARGIN_MM + LEFT_MM, MARGIN_MM + HEAD_MM)
    )
    return draw_window(chart, window, "", theme, words)


def chart_width(cell_mm: tuple[float, float], needles: int) -> float:
    """Width in mm of a chart of so many needles."""
    return 2 * MARGIN_MM + LEFT_MM + RIGHT_MM + needles * cell_mm[0]


def draw_window(chart: Chart, window: Window, page: str, theme: Theme, words: Locale) -> str:
    """A document of one window, with numbers, marks and key; `page` goes into the caption."""
    width = chart_width(window.cell_mm, window.needle_end - window.needle)
    key = chart_key(chart, width - 2 * MARGIN_MM, theme, words)
    key_top = MARGIN_MM + HEAD_MM + window.height + 2.0
    caption = window_words(chart, window, words)
    body = (
        _caption(f"{caption} · {page}" if page else caption, theme),
        draw_cells(chart, window, theme),
        _sections(chart, window, theme, words),
        _course_numbers(chart, window, theme, words),
        _needle_numbers(window, chart.needles, theme),
        _marks(chart, window, theme),
        key.svg(MARGIN_MM, key_top),
    )
    height = key_top + key.height + MARGIN_MM
    title = words.render(
        "Chart of {needles} needles and {courses} courses",
        needles=chart.needles,
        courses=chart.courses,
    )
    return document(width, height, title, caption, body, theme)


def window_words(chart: Chart, window: Window, words: Locale) -> str:
    """What a window shows, in words."""
    ends = (chart.numbers[window.course], chart.numbers[window.course_end - 1])
    first, last = (f"{words.render(n.section)} {_label(n, words)}".strip() for n in ends)
    needles = words.render(
        "needles {first} to {last}", first=window.needle + 1, last=window.needle_end
    )
    return f"{needles} · {first} – {last}"


def _caption(text: str, theme: Theme) -> str:
    at = (MARGIN_MM, MARGIN_MM + CAP_HEIGHT * TYPE_MM)
    return write(at, text, TYPE_MM, fill=theme.muted)


def _label(course: CourseNumber, words: Locale) -> str:
    if course.row and course.number:
        return words.render("row {number}", number=course.number)
    return course.label


def _sections(chart: Chart, window: Window, theme: Theme, words: Locale) -> str:
    """A line where a section begins and its name beside it. A section that goes on from the page
    before is named if the next leaves it room."""
    shown = range(window.course, window.course_end)
    begun = [c for c in shown if c == 0 or chart.sections[c - 1] != chart.sections[c]]
    parts = [_section(chart.sections[c], window, c, True, theme, words) for c in begun]
    start = window.course
    room = window.y(begun[0]) - window.y(start) if begun else window.height
    if room >= NAME_HEIGHT_MM:
        parts.append(_section(chart.sections[start], window, start, False, theme, words))
    return group(parts)


def _section(
    section: str, window: Window, course: int, begins: bool, theme: Theme, words: Locale
) -> str:
    """The name of a section, in bold over a line where it begins."""
    x, y = window.corner[0], window.y(course)
    left, name = x - LEFT_MM, words.render(section)
    at = (left, y + CAP_HEIGHT * TYPE_MM + 0.6)
    if not begins:
        return write(at, name, TYPE_MM, fill=theme.muted)
    # The line leaves the column of the numbers free.
    stretches = ((left, left + NAME_MM), (x, x + window.width))
    lines = (line((a, y), (b, y)) for a, b in stretches)
    return write(at, name, TYPE_MM, bold=True) + group(lines, stroke=theme.ink, stroke_width=0.3)


def _course_numbers(chart: Chart, window: Window, theme: Theme, words: Locale) -> str:
    """Numbers within section or cup on the left, in all on the right, none on another; rows with
    an arrow the way they are knitted."""
    parts = []
    for course in _numbered_courses(chart, window):
        number = chart.numbers[course]
        y = window.y(course + 0.5) + CAP_HEIGHT * NUMBER_MM / 2
        left, right = window.corner[0] - ASIDE_MM, window.corner[0] + window.width + ASIDE_MM
        total = number.total_label
        if number.row:
            total = words.render("row {number}", number=number.total)
        label = _label(number, words)
        if number.section != chart.sections[course]:
            label = f"{words.render(number.section)} {label}"
        parts.append(write((left, y), label, NUMBER_MM, anchor="end"))
        parts.append(write((right, y), total, NUMBER_MM, fill=theme.muted))
    return group(parts) + _ways(chart, window, theme)


def _numbered_courses(chart: Chart, window: Window) -> list[int]:
    """The courses whose numbers are written: fives before firsts and lasts, parted rounds too."""
    ranked: list[tuple[int, int]] = []
    for course in range(window.course, window.course_end):
        number = chart.numbers[course]
        if not number.number:
            continue
        after = chart.numbers[course + 1] if course + 1 < chart.courses else None
        last = after is None or after.section != number.section or after.row != number.row
        if number.number % EVERY == 0 or number.part:
            ranked.append((0, course))
        elif number.number == 1 or last:
            ranked.append((1, course))
    order = [course for _, course in sorted(ranked)]
    boxes = (Box(0, window.y(course + 0.5), 1, NUMBER_MM) for course in order)
    keep = without_overlaps(boxes)
    return sorted(course for course, free in zip(order, keep, strict=True) if free)


def _ways(chart: Chart, window: Window, theme: Theme) -> str:
    """A small arrowhead at the end where each row turns."""
    parts = []
    size = 0.75 * window.cell_mm[1]
    for band in chart.bands:
        if band.shape != "row" or not window.course <= band.first < window.course_end:
            continue
        knitted = [
            span for span, kind in band.cells if kind is not LoopKind.WRAP and window.shows(span)
        ]
        if knitted:
            way = 1.0 if band.forward else -1.0
            edge = max(s[1] for s in knitted) if band.forward else min(s[0] for s in knitted)
            tip = (window.x(edge) + way * (size + 0.3), window.y(band.first + 0.5))
            parts.append(arrow_head(tip, (way, 0.0), size, theme.muted))
    return group(parts)


def _needle_numbers(window: Window, needles: int, theme: Theme) -> str:
    """Numbers above the columns and a stronger upright line after every fifth needle."""
    wanted = {1, *numbered(needles, EVERY * window.cell_mm[0], TYPE_MM)}
    base = window.corner[1] - 1.0
    shown = [n for n in sorted(wanted) if window.needle < n <= window.needle_end]
    texts = (
        write((window.x(n - 0.5), base), str(n), TYPE_MM, anchor="middle", bold=n == 1)
        for n in shown
    )
    lines = "".join(
        f"M{window.x(n):.3f} {window.corner[1]:.3f}v{window.height:.3f}"
        for n in range(window.needle // EVERY * EVERY + EVERY, window.needle_end, EVERY)
    )
    return group(texts) + path(lines, stroke=theme.muted, stroke_width=0.16, stroke_opacity=0.55)


def _marks(chart: Chart, window: Window, theme: Theme) -> str:
    """The painted marks above their needles or gaps, points down."""
    parts = []
    tip = window.corner[1] - 1.0 - TYPE_MM - 0.3
    for mark in chart.marks:
        place = mark.place - 0.5
        if not window.needle <= place <= window.needle_end:
            continue
        x = window.x(place)
        parts.append(mark_symbol(mark, (x, tip), MARK_MM, theme, toward=DOWN))
        side = -1 if mark.facing > 0 else 1
        anchor = "end" if side < 0 else "start"
        at = (x + side * _beside(mark), tip - 0.4)
        parts.append(write(at, mark.letter, TYPE_MM, anchor=anchor, bold=True))
    return group(parts)


def _beside(mark: PlacedMark) -> float:
    """How far from its place a mark's letter stands, mm."""
    if not mark.facing:
        return 1.6
    return 1.0 + (DOUBLE * MARK_MM if mark.role == "deep limits" else 0.0)


def chart_key(chart: Chart, width: float, theme: Theme, words: Locale) -> Key:
    """What the signs in this chart mean, and its marks."""
    return lay_key(tuple(_entries(chart, theme, words)), width, TYPE_MM)


def _entries(chart: Chart, theme: Theme, words: Locale) -> Iterator[Entry]:
    kinds = {kind for band in chart.bands for _, kind in band.cells}
    yield Entry(partial(_sample, fill=theme.paper, theme=theme), words.render("knit"))
    names = {
        LoopKind.PURL: (words.render("purl, on the dial"), True),
        LoopKind.TUCK: (words.render("yarn over an empty needle"), True),
        LoopKind.WRAP: (words.render("wrap round a raised needle"), False),
        LoopKind.FLOAT: (words.render("yarn passes an idle needle"), False),
    }
    for kind, (name, cell) in names.items():
        if kind in kinds:
            yield Entry(partial(_signed, sign=SIGNS[kind], theme=theme, cell=cell), name)
    if chart.joined:
        yield Entry(
            partial(_signed, sign=joined_sign, theme=theme, cell=True),
            words.render("knitted with another loop"),
        )
    yield Entry(partial(_sample, fill=theme.tint, theme=theme), words.render("leaves the sock"))
    for role, yarn in chart.yarns.items():
        if any(band.yarn == role and not band.waste for band in chart.bands):
            yield Entry(
                partial(_sample, fill=yarn.paint, theme=theme, opacity=WASH), words.named(yarn.name)
            )
    for one in dict.fromkeys(mark.role for mark in chart.marks):
        mark = next(mark for mark in chart.marks if mark.role == one)
        yield Entry(
            partial(_mark_sample, mark=mark, theme=theme),
            words.named(mark.name),
            mark.letter,
        )


def _sample(at: Point, fill: str, theme: Theme, opacity: float | None = None) -> str:
    corner = (at[0] - CELL_MM[0] / 2, at[1] - CELL_MM[1] / 2)
    return rectangle(
        corner,
        *CELL_MM,
        fill=fill,
        fill_opacity=opacity,
        stroke=theme.muted,
        stroke_width=0.15,
    )


def _mark_sample(at: Point, mark: PlacedMark, theme: Theme) -> str:
    return mark_symbol(mark, (at[0], at[1] + TYPE_MM / 2), TYPE_MM, theme, toward=DOWN)


def _signed(at: Point, sign: Sign, theme: Theme, *, cell: bool) -> str:
    under = _sample(at, theme.paper, theme) if cell else ""
    return under + sign(at[0], at[1], CELL_MM, theme)
