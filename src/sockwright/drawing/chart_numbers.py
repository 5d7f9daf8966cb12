"""Numbers of the courses of a chart, counted as the person at the machine counts them.

Rounds of the sock are counted within their section and in all; rows within their cup and in all;
rounds of waste and cord by themselves. A round parted by other work is one round, its parts "a",
"b" and so on, and belongs to the section that began it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sockwright.needlebed.loops import Kind, LoopTable


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
    scrap = bool(run.slots) and table.kind[run.first] == Kind.SCRAP
    before = 0
    while before < place and table.runs[place - before - 1].yarn == run.yarn:
        before += 1
    done = sum(other.rounds for other in table.runs[place - before : place])
    for nth in range(1, run.rounds + 1):
        yield CourseNumber(run.section, row=False, number=0 if scrap else done + nth, total=0)
