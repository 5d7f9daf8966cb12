"""A program being written: steps are added in order and courses counted as the bed counts them."""

from __future__ import annotations

from math import ceil

from sockwright import steps as op

MOST_ROUNDS_A_WEIGHT = 60
"""Rounds after which the main weight is moved higher at the latest (common practice: every 40 to
60)."""


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
        """Knit `count` rounds. The main weight is moved higher before them where it would not last
        them, and between like parts of them where they are many: never shortly before a change."""
        if count <= 0:
            return
        if self.since_weight and self.since_weight + count > MOST_ROUNDS_A_WEIGHT:
            self.weigh(op.Weight.MAIN)
        parts = ceil(count / MOST_ROUNDS_A_WEIGHT)
        for part in range(parts):
            if part:
                self.weigh(op.Weight.MAIN)
            share = count * (part + 1) // parts - count * part // parts
            self._append_rounds(share)
            self.course += share
            self.since_weight += share

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
