"""Writing the loop table: rows are gathered in lists, tubes of like rounds in whole blocks."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sockwright.needlebed.loops import LOOP_SHARE, NONE, Bed, Course, LoopKind, LoopTable


@dataclass
class Block:
    """A stretch of the table in one yarn and one loop length, not yet written out.

    A tube has `rounds` > 0 courses of the same slots; otherwise the block holds single courses
    with their `widths`.
    """

    first: int
    course: int
    yarn: int
    start_mm: float
    loop_mm: float
    rounds: int
    slots: list[int]
    kinds: bytearray
    parents: list[int]
    widths: list[int] = field(default_factory=list)

    @property
    def size(self) -> int:
        """Loops in the block."""
        return len(self.slots) * (self.rounds or 1)


class Recorder:
    """Collects courses during a dry run and writes them out once as a `LoopTable`."""

    def __init__(self, needles: int) -> None:
        self.needles = needles
        self.yarns: list[str] = []
        self.removable: list[bool] = []
        self.used_mm: list[float] = []
        self.blocks: list[Block] = []
        self.courses: list[Course] = []
        self.course_starts: list[int] = []
        self.more_parents: list[tuple[int, int]] = []
        self.count = 0
        self.course = 0
        self.loop_mm = 1.0
        self._open: Block | None = None

    def yarn(self, name: str, *, removable: bool) -> int:
        """The number of yarn `name`, new or known."""
        if name not in self.yarns:
            self.yarns.append(name)
            self.removable.append(removable)
            self.used_mm.append(0.0)
        return self.yarns.index(name)

    def break_block(self) -> None:
        """End the open block of rows: the yarn or the loop length changes."""
        self._open = None

    def row(
        self,
        slots: list[int],
        kinds: bytes,
        parents: list[int],
        length: float,
        where: tuple[str, int, int, str],
    ) -> int:
        """Write one course of `length` loop lengths of yarn; returns the id of its first loop.

        `where` is (section, step, yarn, shape).
        """
        block = self._open
        first = self.count
        yarn = where[2]
        if block is None:
            block = Block(
                first,
                self.course,
                yarn,
                self.used_mm[yarn],
                self.loop_mm,
                0,
                [],
                bytearray(),
                [],
            )
            self.blocks.append(block)
            self._open = block
        block.slots += slots
        block.kinds += kinds
        block.parents += parents
        block.widths.append(len(slots))
        self._course(slots, 1, where)
        self.used_mm[yarn] += length * self.loop_mm
        return first

    def tube(
        self,
        slots: list[int],
        kinds: bytes,
        parents: list[int],
        rounds: int,
        where: tuple[str, int, int, str],
    ) -> int:
        """Write `rounds` like courses whose first is pulled through `parents`; returns the id of
        its first loop."""
        self._open = None
        first = self.count
        yarn = where[2]
        self.blocks.append(
            Block(
                first,
                self.course,
                yarn,
                self.used_mm[yarn],
                self.loop_mm,
                rounds,
                slots,
                bytearray(kinds),
                parents,
            )
        )
        self._course(slots, rounds, where)
        round_loops = float(LOOP_SHARE[np.frombuffer(kinds, dtype=np.int8)].sum())
        self.used_mm[yarn] += rounds * round_loops * self.loop_mm
        return first

    def _course(self, slots: list[int], rounds: int, where: tuple[str, int, int, str]) -> None:
        self.courses.append(Course(self.count, rounds, slots, *where))
        self.course_starts.append(self.course)
        self.count += len(slots) * rounds
        self.course += rounds

    def run_of(self, course: int) -> Course:
        """The run of like courses that `course` belongs to."""
        return self.courses[bisect_right(self.course_starts, course) - 1]

    def course_loops(self, course: int) -> dict[int, int]:
        """Slot -> loop id of the given course."""
        place = bisect_right(self.course_starts, course) - 1
        run = self.courses[place]
        first = run.first + (course - self.course_starts[place]) * len(run.slots)
        return {slot: first + place for place, slot in enumerate(run.slots)}

    def table(
        self,
        dial: tuple[float, ...],
        grafts: Sequence[tuple[int, int]],
        closed: Sequence[int],
    ) -> LoopTable:
        """Write everything out."""
        size = self.count
        course = np.empty(size, np.int32)
        slot = np.empty(size, np.int16)
        yarn = np.empty(size, np.int8)
        kind = np.empty(size, np.int8)
        parent = np.empty(size, np.int32)
        yarn_at = np.empty(size, np.float64)
        for block in self.blocks:
            part = slice(block.first, block.first + block.size)
            yarn[part] = block.yarn
            writer = _write_tube if block.rounds else _write_rows
            writer(block, course[part], slot[part], kind[part], parent[part], yarn_at[part])
        on_dial = slot >= self.needles if dial else None
        bed = np.zeros(size, np.int8) if on_dial is None else on_dial.astype(np.int8) * Bed.DIAL
        slot += 1
        if on_dial is not None:
            slot[on_dial] -= self.needles
        return LoopTable(
            needles=self.needles,
            dial=dial,
            course=course,
            needle=slot,
            bed=bed,
            yarn=yarn,
            kind=kind,
            parent=parent,
            yarn_at=yarn_at,
            more_parents=_pairs(self.more_parents),
            yarns=tuple(self.yarns),
            removable=tuple(self.removable),
            runs=tuple(self.courses),
            grafts=_pairs(grafts),
            closed=np.array(closed, np.int32),
            used_mm=tuple(self.used_mm),
        )


def _pairs(pairs: Sequence[tuple[int, int]]) -> np.ndarray[tuple[int, ...], np.dtype[np.int32]]:
    return np.array(pairs, np.int32).reshape(-1, 2)


def _write_rows(block: Block, course, slot, kind, parent, yarn_at) -> None:  # type: ignore[no-untyped-def]
    widths = np.array(block.widths)
    course[:] = np.repeat(np.arange(block.course, block.course + len(widths)), widths)
    slot[:] = block.slots
    kind[:] = np.frombuffer(block.kinds, dtype=np.int8)
    parent[:] = block.parents
    np.cumsum(LOOP_SHARE[kind], out=yarn_at)
    yarn_at *= block.loop_mm
    yarn_at += block.start_mm


def _write_tube(block: Block, course, slot, kind, parent, yarn_at) -> None:  # type: ignore[no-untyped-def]
    rounds, width = block.rounds, len(block.slots)
    steps = np.arange(rounds)[:, None]
    kinds = np.frombuffer(block.kinds, dtype=np.int8)
    lengths = np.cumsum(LOOP_SHARE[kinds]) * block.loop_mm
    course.reshape(rounds, width)[:] = block.course + steps
    slot.reshape(rounds, width)[:] = np.array(block.slots)
    kind.reshape(rounds, width)[:] = kinds
    # Each round is pulled through the one before; the first through what hung there.
    parent[:] = np.arange(block.first - width, block.first - width + rounds * width)
    parents = parent.reshape(rounds, width)
    parents[:, kinds == LoopKind.FLOAT] = NONE
    parents[0] = block.parents
    np.add(
        block.start_mm + steps * lengths[-1],
        lengths[None, :],
        out=yarn_at.reshape(rounds, width),
    )
