"""What a dry run finds wrong: each finding is data with a code, the step, the needle, the mend."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.needlebed.codes import Code, Level
from sockwright.needlebed.finding_words import FINDINGS
from sockwright.words import Said, phrase, said

__all__ = ["FINDINGS", "Code", "Finding", "Level"]


@dataclass(frozen=True)
class Finding:
    """One finding: step number (from 1), needle (None: no single one), how many needles or loops
    it concerns, and whether `needle` is a dial slot."""

    code: Code
    step: int
    needle: int | None = None
    count: int = 1
    on_dial: bool = False

    @property
    def level(self) -> Level:
        """Error or warning, by the code."""
        return FINDINGS[self.code][0]

    @property
    def message(self) -> Said:
        """What is wrong, in a sentence that names the program's step."""
        return self.told(said("step {step}", step=self.step))

    def told(self, step: str) -> Said:
        """What is wrong, in a sentence that names the step as the reader knows it."""
        wrong = FINDINGS[self.code][1]
        if self.count != 1:
            wrong = said("{wrong} ({count} in all)", wrong=wrong, count=self.count)
        if self.needle is None:
            return said("{step}: {wrong}", step=step, wrong=wrong)
        where = phrase("{step} at needle {needle}: {wrong}")
        if self.on_dial:
            where = phrase("{step} at dial slot {needle}: {wrong}")
        return said(where, step=step, needle=self.needle, wrong=wrong)

    @property
    def mend(self) -> Said:
        """What to do about it."""
        return FINDINGS[self.code][2]
