"""Which yarn each part is knitted in, and the change from one to the next."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright import steps as op
from sockwright.program.draft import Draft

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
