"""A run in progress: the bed, the record of loops, and the findings so far."""

from __future__ import annotations

from sockwright.needlebed.bed import Bed
from sockwright.needlebed.findings import Code, Finding
from sockwright.needlebed.recorder import Recorder
from sockwright.steps import Program

REPORTED_PER_STEP = 3
"""Findings of one code a step reports singly; the last of them counts the rest."""


class Run:
    """Everything that changes while a program is executed.

    `grafts` joins loop ids, `closed` are ids made safe by hand, `opened` ids laid bare by drawing
    out waste rows, of which `below` and `above` (slot -> loop id) are the two edges.
    """

    def __init__(self, program: Program, loop_mm: float, supply_mm: dict[str, float]) -> None:
        self.bed = Bed(program.needles, program.dial)
        self.recorder = Recorder(program.needles)
        self.recorder.loop_mm = self.base_mm = loop_mm
        self.supply_mm = supply_mm
        self.findings: list[Finding] = []
        self.grafts: list[tuple[int, int]] = []
        self.closed: list[int] = []
        self.opened: list[int] = []
        self.below: dict[int, int] = {}
        self.above: dict[int, int] = {}
        self.cord_pulled = False
        self.step = 0
        self.section = ""

    def find(self, code: Code, slots: list[int] | None = None) -> None:
        """Report `code`, once a needle but not more than a few times a step."""
        if not slots:
            self.findings.append(Finding(code, self.step))
            return
        n = self.bed.n
        self.find_at(
            code, [(slot - n + 1, True) if slot >= n else (slot + 1, False) for slot in slots]
        )

    def find_at(self, code: Code, places: list[tuple[int, bool]]) -> None:
        """Report `code` at (number, on the dial?) as the program gives them."""
        named, rest = places[:REPORTED_PER_STEP], len(places) - REPORTED_PER_STEP
        for place, (number, on_dial) in enumerate(named):
            count = 1 + max(rest, 0) if place == REPORTED_PER_STEP - 1 else 1
            self.findings.append(Finding(code, self.step, number, count, on_dial))

    def valid(self, needles: tuple[int, ...]) -> list[int]:
        """Cylinder slots of `needles`; those that do not exist are reported and left out."""
        n = self.bed.n
        bad = [needle for needle in needles if not 1 <= needle <= n]
        if bad:
            self.find_at(Code.NO_NEEDLE, [(needle, False) for needle in bad])
        return [needle - 1 for needle in needles if 1 <= needle <= n]
