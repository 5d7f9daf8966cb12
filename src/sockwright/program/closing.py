"""Off the machine and closed: waste rounds, take-off, graft or gather, cord, first edge."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.program.draft import Draft
from sockwright.program.yarns import WASTE

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
