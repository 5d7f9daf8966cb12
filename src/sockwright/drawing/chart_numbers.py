"""Numbers of the courses of a chart, counted as the person at the machine counts them.

Rounds are counted within their section and in all; rows within their cup and in all. A round
parted by other work is one round, its parts "a" and "b", and belongs to the section that began it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sockwright.needlebed.loops import Kind, LoopTable


@dataclass(frozen=True)
class CourseNumber:
    """A course's section, whether it is a row, its number within section or cup and in all, and
    the part of a parted round ("a" or "b"); numbers are 0 for scrap hung on the needles."""

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
    opened: CourseNumber | None = None
    for run in table.runs:
        if run.section != section:
            section, rounds = run.section, 0
        if len(run.slots) and table.kind[run.first] == Kind.SCRAP:
            yield CourseNumber(section, row=False, number=0, total=0)
            continue
        if run.shape == "row":
            rows, all_rows = rows + 1, all_rows + 1
            yield CourseNumber(section, row=True, number=rows, total=all_rows)
            continue
        rows = 0
        if run.shape == "part" and opened is not None:
            yield CourseNumber(opened.section, False, opened.number, opened.total, "b")
            opened = None
            continue
        for _ in range(run.rounds):
            rounds, all_rounds = rounds + 1, all_rounds + 1
            part = "a" if run.shape == "part" else ""
            number = CourseNumber(section, row=False, number=rounds, total=all_rounds, part=part)
            yield number
            opened = number if part else opened
