"""A program being written: steps in order, yarns changed, scrap taken off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Concatenate, ParamSpec

from sockwright import steps as op

MOST_ROUNDS_A_WEIGHT = 60
"""Rounds after which the main weight is moved higher at the latest (common practice: every 40 to
60)."""

Given = ParamSpec("Given")
"""What a kind of step is made of besides its section."""


class Draft:
    """The steps so far, the section being written, and the number of courses knitted."""

    def __init__(self, needles: int) -> None:
        self.needles = needles
        self.steps: list[op.Step] = []
        self.section = op.Section.SET_UP
        self.course = 0
        self.since_weight = 0

    def add(
        self,
        kind: Callable[Concatenate[op.Section, Given], op.Step],
        *arguments: Given.args,
        **named: Given.kwargs,
    ) -> None:
        """Add one step of `kind` in the present section, with what such a step is given."""
        step = kind(self.section, *arguments, **named)
        self.steps.append(step)
        if isinstance(step, op.HangScrap | op.PartRound | op.Row):
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


WASTE = "waste"
CORD = "cord"


@dataclass(frozen=True)
class YarnPlan:
    """Name of the yarn for each part of the sock; the same name means no change."""

    main: str = "main"
    cuff: str = "main"
    heel: str = "main"
    toe: str = "main"


def change_yarn(draft: Draft, old: str, new: str, between: tuple[int, ...] = ()) -> None:
    """Cut `old` and thread `new` where they differ; before rows, their ends are held down
    `between` two needles."""
    if old != new:
        draft.add(op.CutYarn)
        draft.add(op.Thread, new, between=between)


SCRAP_ROUNDS = 12
"""Waste rounds that hold the loops off the machine (common practice: ten to fifteen)."""
TAIL_PER_NEEDLE_MM = 13.0
"""Yarn to leave for closing, mm a needle of the toe: four toe widths (common practice: three to
four), a wale being about 3.2 mm."""
SPARE_TAIL_MM = 100.0


def scrap_off(draft: Draft, *, tail_needles: int) -> None:
    """Cut with a tail long enough to close with, knit the waste that holds the loops, take off."""
    draft.add(op.Check, op.Change.INTO_CLOSING)
    draft.add(op.CutYarn, SPARE_TAIL_MM + TAIL_PER_NEEDLE_MM * tail_needles)
    draft.add(op.Thread, WASTE, removable=True)
    draft.rounds(SCRAP_ROUNDS)
    draft.add(op.CutYarn)
    draft.add(op.Check, op.Change.OFF)
    draft.add(op.TakeOff)
