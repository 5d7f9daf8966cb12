"""A loop table as a chart: bands of like courses, each loop a cell over its needle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from sockwright.drawing.base.places import PlacedMark, limits_of_program, place_marks
from sockwright.drawing.base.theme import paint
from sockwright.needlebed.loops import Course, LoopKind, LoopTable
from sockwright.plan.make import SockPlan


@dataclass(frozen=True)
class CourseNumber:
    """A course's section, whether it is a row, its number within section, cup or waste, its number
    in all (0 for waste), and the part of a parted round ("a", "b" ...); `number` is 0 for scrap
    hung on the needles."""

    section: str
    row: bool
    number: int
    total: int
    part: str = ""

    @property
    def label(self) -> str:
        """Number and part, as "12" or "40a"."""
        return f"{self.number}{self.part}" if self.number else ""

    @property
    def total_label(self) -> str:
        """The number in all, with its part."""
        return f"{self.total}{self.part}" if self.total else ""


def number_courses(table: LoopTable) -> tuple[CourseNumber, ...]:
    """One number a course, in order."""
    return tuple(_count(table))


def _count(table: LoopTable) -> Iterator[CourseNumber]:
    section, rounds, rows, all_rounds, all_rows = "", 0, 0, 0, 0
    last = 0  # needle of the rounds
    opened: CourseNumber | None = None
    for place, run in enumerate(table.runs):
        if run.section != section:
            section, rounds = run.section, 0
        if run.shape == "row":
            rows, all_rows = rows + 1, all_rows + 1
            yield CourseNumber(section, row=True, number=rows, total=all_rows)
            continue
        needles = [slot for slot in run.slots if slot < table.needles]
        last = needles[-1] if run.shape == "round" else last
        if run.shape == "part" and (table.removable[run.yarn] or (needles[0] and not opened)):
            # The rest of a row that stopped half way.
            yield CourseNumber(section, row=True, number=rows, total=all_rows)
            continue
        rows = 0
        if opened is not None:
            opened = replace(opened, part=chr(ord(opened.part) + 1))
            yield opened
            opened = None if needles[-1] >= last else opened
        elif run.shape == "round" and table.removable[run.yarn]:
            yield from _waste(table, place)
        else:
            part = "a" if run.shape == "part" else ""
            for _ in range(run.rounds):
                rounds, all_rounds = rounds + 1, all_rounds + 1
                number = CourseNumber(section, False, rounds, all_rounds, part)
                yield number
                opened = number if part else opened


def _waste(table: LoopTable, place: int) -> Iterator[CourseNumber]:
    """Rounds of waste or cord, counted from the first of their yarn on; scrap has no number."""
    run = table.runs[place]
    scrap = bool(run.slots) and table.kind[run.first] == LoopKind.SCRAP
    before = 0
    while before < place and table.runs[place - before - 1].yarn == run.yarn:
        before += 1
    done = sum(other.rounds for other in table.runs[place - before : place])
    for nth in range(1, run.rounds + 1):
        yield CourseNumber(run.section, row=False, number=0 if scrap else done + nth, total=0)


REACH = 1.0
"""A dial loop is drawn in the column of an idle needle at most this far away."""
OVERLAID = 0.25
"""Half the width of a dial loop that has no idle needle's column to itself, in needles."""

Span = tuple[float, float]
"""Left and right edge of a cell in needles from the chart's left edge: needle 1 is (0, 1)."""


@dataclass(frozen=True)
class Band:
    """`count` like courses from course `first` (from 0): the cells of each in knitting order.

    `shape` is "round", "part" or "row"; `forward` the way of the course; `waste` tells that its
    yarn leaves the sock.
    """

    first: int
    count: int
    section: str
    yarn: str
    waste: bool
    shape: str
    forward: bool
    cells: tuple[tuple[Span, LoopKind], ...]

    @property
    def end(self) -> int:
        """The course after the last."""
        return self.first + self.count


@dataclass(frozen=True)
class ChartYarn:
    """A yarn's name and the colour its cells are washed in."""

    name: str
    paint: str


@dataclass(frozen=True)
class Chart:
    """A chart of `needles` columns and `courses` lines, read downwards in knitting order.

    `numbers` and `sections` have one entry a course; `joined` are the cells, by course, that pull
    a loop through more than one (wraps not counted); `yarns` the yarns beside the main one, by
    their role.
    """

    needles: int
    courses: int
    bands: tuple[Band, ...]
    numbers: tuple[CourseNumber, ...]
    sections: tuple[str, ...]
    joined: Mapping[int, tuple[Span, ...]]
    marks: tuple[PlacedMark, ...] = ()
    yarns: Mapping[str, ChartYarn] = field(default_factory=dict)


def chart_of(source: SockPlan | LoopTable) -> Chart:
    """The chart of a plan, with its machine's marks and its yarns' colours, or of a bare table."""
    if isinstance(source, LoopTable):
        return _chart(source, (), {})
    machine, program = source.order.machine, source.program
    marks = place_marks(machine, program.needles, limits_of_program(source.execution))
    yarns = {
        yarn.role: ChartYarn(yarn.name, paint(yarn.colour))
        for yarn in source.order.yarns
        if yarn.role != "main"
    }
    return _chart(source.dry_run.loops, marks, yarns)


def _chart(
    table: LoopTable, marks: tuple[PlacedMark, ...], yarns: Mapping[str, ChartYarn]
) -> Chart:
    bands = tuple(_bands(table))
    return Chart(
        needles=table.needles,
        courses=table.courses,
        bands=bands,
        numbers=number_courses(table),
        sections=table.course_sections(),
        joined=_joined(table),
        marks=marks,
        yarns=yarns,
    )


def _bands(table: LoopTable) -> Iterator[Band]:
    course = 0
    for run in table.runs:
        kinds = [LoopKind(k) for k in table.kind[run.first : run.first + len(run.slots)].tolist()]
        spans = cell_spans(run.slots, kinds, table.needles, table.dial)
        yield Band(
            first=course,
            count=run.rounds,
            section=run.section,
            yarn=table.yarns[run.yarn],
            waste=table.removable[run.yarn],
            shape=run.shape,
            forward=_is_forward(run, kinds),
            cells=tuple(zip(spans, kinds, strict=True)),
        )
        course += run.rounds


def _is_forward(run: Course, kinds: Sequence[LoopKind]) -> bool:
    """Rounds always go forward; a row where its numbers rise."""
    if run.shape != "row":
        return True
    slots = [slot for slot, kind in zip(run.slots, kinds, strict=True) if kind is not LoopKind.WRAP]
    return len(slots) < 2 or slots[0] < slots[-1]


def cell_spans(
    slots: Sequence[int], kinds: Sequence[LoopKind], needles: int, dial: Sequence[float]
) -> list[Span]:
    """Where each loop of a course is drawn.

    A cylinder needle has its own column; dial loops share the columns of idle needles next to
    them, or lie narrow between their neighbours where no needle is idle.
    """
    busy = {
        slot
        for slot, kind in zip(slots, kinds, strict=True)
        if slot < needles and kind is not LoopKind.FLOAT
    }
    columns = {
        slot: _column(dial[slot - needles], busy, needles) for slot in slots if slot >= needles
    }
    shared: dict[int, list[int]] = {}
    for slot in sorted(columns):
        column = columns[slot]
        if column is not None:
            shared.setdefault(column, []).append(slot)
    return [_span(slot, columns, shared, needles, dial) for slot in slots]


def _column(angle: float, busy: set[int], needles: int) -> int | None:
    """The column of the nearest idle needle within reach of a dial slot."""
    around = range(int(angle) - 1, int(angle) + 3)
    near = sorted((n for n in around if 1 <= n <= needles), key=lambda n: abs(n - angle))
    idle = (n - 1 for n in near if abs(n - angle) <= REACH and n - 1 not in busy)
    return next(idle, None)


def _span(
    slot: int,
    columns: Mapping[int, int | None],
    shared: Mapping[int, list[int]],
    needles: int,
    dial: Sequence[float],
) -> Span:
    if slot < needles:
        return float(slot), slot + 1.0
    column = columns[slot]
    if column is None:
        middle = dial[slot - needles] - 0.5
        return middle - OVERLAID, middle + OVERLAID
    mates = shared[column]
    width = 1.0 / len(mates)
    left = column + mates.index(slot) * width
    return left, left + width


def _joined(table: LoopTable) -> dict[int, tuple[Span, ...]]:
    """By course, the cylinder's cells that pull their yarn through several loops."""
    found: dict[int, list[Span]] = {}
    for child, parent in table.more_parents.tolist():
        if table.kind[parent] == LoopKind.WRAP or table.bed[child] != 0:
            continue
        slot = int(table.needle[child]) - 1
        found.setdefault(int(table.course[child]), []).append((float(slot), slot + 1.0))
    return {course: tuple(dict.fromkeys(spans)) for course, spans in found.items()}
