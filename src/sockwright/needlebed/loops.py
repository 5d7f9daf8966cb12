"""The loop table: every loop of a dry run, as arrays of equal length, in memory and as a file."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from pathlib import Path
from typing import IO

import numpy as np
from numpy.typing import NDArray

from sockwright.errors import SockwrightError
from sockwright.i18n import _
from sockwright.i18n.printable import cell

Int8 = NDArray[np.int8]
Int16 = NDArray[np.int16]
Int32 = NDArray[np.int32]
Float = NDArray[np.float64]

NONE = -1


class LoopKind(IntEnum):
    """What a row of the loop table is."""

    KNIT = 0
    PURL = 1
    WRAP = 2
    TUCK = 3
    FLOAT = 4
    SCRAP = 5


class Bed(IntEnum):
    """Which needles hold it."""

    CYLINDER = 0
    DIAL = 1


LOOP_SHARE: Float = np.array([1.0, 1.0, 0.5, 0.5, 0.25, 0.0])
"""Yarn in each kind as a share of a knit loop. A strand across one idle needle is about one wale
long, a quarter of a loop (Munden: l/w is about 4.1); a wrap lies half round a stem, taken as half a
loop (assumption); scrap loops cost no yarn of the order."""


@dataclass(frozen=True, slots=True)
class Course:
    """A run of `rounds` like courses: id of its first loop, its slots in knitting order (from 0;
    dial slots follow the cylinder's), the section and step it belongs to, its yarn, and its shape:
    "round", "part" or "row"."""

    first: int
    rounds: int
    slots: list[int]
    section: str
    step: int
    yarn: int
    shape: str


@dataclass(frozen=True)
class LoopTable:
    """All loops in the order they were made; row number = loop id.

    course (n,) int32 from 0; needle (n,) int16, cylinder needle or dial slot from 1; bed, yarn and
    kind (n,) int8; parent (n,) int32, the loop this one was pulled through (-1: none); yarn_at (n,)
    float64, mm of its yarn used up to and including this loop. `more_parents` (k, 2) int32 holds
    (loop, further parent) for loops pulled through several. `yarns` names yarn numbers, `removable`
    says which leave the sock. `runs` are the courses, like rounds together. `grafts` (g, 2) int32
    joins loop ids; `closed` (c,) are ids drawn together or bound off.
    """

    needles: int
    dial: tuple[float, ...]
    course: Int32
    needle: Int16
    bed: Int8
    yarn: Int8
    kind: Int8
    parent: Int32
    yarn_at: Float
    more_parents: Int32
    yarns: tuple[str, ...]
    removable: tuple[bool, ...]
    runs: tuple[Course, ...]
    grafts: Int32
    closed: Int32
    used_mm: tuple[float, ...]

    def __len__(self) -> int:
        return len(self.course)

    @cached_property
    def courses(self) -> int:
        """Number of courses; rows and part rounds count as one each."""
        return sum(run.rounds for run in self.runs)

    @cached_property
    def stays(self) -> NDArray[np.bool_]:
        """(n,) True for loops of yarns that stay in the finished sock."""
        stay = np.ones(len(self), dtype=bool)
        for number, gone in enumerate(self.removable):
            if gone:
                stay &= self.yarn != number
        return stay

    @cached_property
    def is_loop(self) -> NDArray[np.bool_]:
        """(n,) True for knit and purl loops (not wraps, tucks, floats, scrap)."""
        return np.asarray(self.kind <= LoopKind.PURL)

    @property
    def kept(self) -> int:
        """Number of loops in the finished sock."""
        return int((self.stays & self.is_loop).sum())

    def course_sections(self) -> tuple[str, ...]:
        """The section of every course, in order."""
        return tuple(run.section for run in self.runs for _ in range(run.rounds))


COLUMNS = ("loop", "course", "section", "needle", "bed", "yarn", "kind", "parents", "yarn_at_mm")
SUFFIXES = (".csv", ".npz")


def check_table_path(path: Path) -> None:
    """Raise SockwrightError unless `path` ends in .csv or .npz and its folder is there."""
    if path.suffix.lower() not in SUFFIXES:
        raise SockwrightError(
            _(
                "{path}: a loop table is written as .csv or .npz; give the file such an ending",
                path=path,
            )
        )
    if not path.parent.is_dir():
        raise SockwrightError(
            _("{path}: there is no folder {parent}; make it first", path=path, parent=path.parent)
        )


def write_table(table: LoopTable, path: Path) -> None:
    """Write `table` whole to `path`, or nothing: the file appears when it is complete.

    CSV: one line a loop, parents joined by "+". NPZ: the arrays of `LoopTable` by their names.
    """
    check_table_path(path)
    part = path.with_name(path.name + ".part")
    try:
        with part.open("wb") as file:
            (_write_npz if path.suffix.lower() == ".npz" else _write_csv)(table, file)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _write_npz(table: LoopTable, file: IO[bytes]) -> None:
    np.savez_compressed(
        file,
        course=table.course,
        needle=table.needle,
        bed=table.bed,
        yarn=table.yarn,
        kind=table.kind,
        parent=table.parent,
        yarn_at=table.yarn_at,
        more_parents=table.more_parents,
        yarns=np.array(table.yarns),
        removable=np.array(table.removable),
        grafts=table.grafts,
        closed=table.closed,
        section=np.array(table.course_sections()),
    )


def _write_csv(table: LoopTable, file: IO[bytes]) -> None:
    more: dict[int, list[int]] = {}
    for child, parent in table.more_parents.tolist():
        more.setdefault(child, []).append(parent)
    beds = [bed.name.lower() for bed in Bed]
    kinds = [kind.name.lower() for kind in LoopKind]
    sections = [cell(section) for section in table.course_sections()]
    yarns = [cell(yarn) for yarn in table.yarns]
    lines = [",".join(COLUMNS)]
    rows = zip(
        table.course.tolist(),
        table.needle.tolist(),
        table.bed.tolist(),
        table.yarn.tolist(),
        table.kind.tolist(),
        table.parent.tolist(),
        table.yarn_at.tolist(),
        strict=True,
    )
    for loop, (course, needle, bed, yarn, kind, parent, at) in enumerate(rows):
        parents = [parent] if parent >= 0 else []
        joined = "+".join(map(str, parents + more.get(loop, [])))
        lines.append(
            f"{loop},{course},{sections[course]},{needle},{beds[bed]},{yarns[yarn]},"
            f"{kinds[kind]},{joined},{at:.1f}"
        )
    file.write(("\n".join(lines) + "\n").encode())
