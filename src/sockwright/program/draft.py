"""A program being written: steps are added in order and courses counted as the bed counts them."""

from __future__ import annotations

from sockwright import steps as op

MOVE_WEIGHT_EVERY = 50
"""Rounds after which the main weight is moved higher (common practice: every 40 to 60)."""


class Draft:
    """The steps so far, the section being written, and the number of courses knitted."""

    def __init__(self, needles: int) -> None:
        self.needles = needles
        self.steps: list[op.Step] = []
        self.section = op.Section.SET_UP
        self.course = 0
        self.since_weight = 0

    def add(self, kind: type[op.Step], *arguments: object, **named: object) -> None:
        """Add one step of `kind` in the present section."""
        self.steps.append(kind(self.section, *arguments, **named))
        if kind in (op.HangScrap, op.PartRound, op.Row):
            self.course += 1

    def rounds(self, count: int) -> None:
        """Knit `count` rounds, moving the main weight higher on the way when it is time."""
        while count > 0:
            room = MOVE_WEIGHT_EVERY - self.since_weight
            part = min(count, room) if room > 0 else 0
            if part:
                self._append_rounds(part)
                self.course += part
                self.since_weight += part
                count -= part
            if count and self.since_weight >= MOVE_WEIGHT_EVERY:
                self.weigh(op.Weight.MAIN)

    def _append_rounds(self, count: int) -> None:
        """As rounds of their own, or as more of those just written in the same section."""
        last = self.steps[-1] if self.steps else None
        if isinstance(last, op.Rounds) and last.section is self.section:
            count += last.count
            self.steps.pop()
        self.steps.append(op.Rounds(self.section, count))

    def weigh(self, kind: op.Weight) -> None:
        """Hang weight of `kind`, or move it higher."""
        self.add(op.Weigh, kind)
        if kind is op.Weight.MAIN:
            self.since_weight = 0
