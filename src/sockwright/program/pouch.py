"""From rounds into the rows of a heel or toe and back to rounds."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.program.cup import knit_cup
from sockwright.program.draft import Draft
from sockwright.program.yarns import change_yarn
from sockwright.sock.cup import Cup


def enter_rows(draft: Draft, change: op.Change, held: tuple[int, ...], *, ribbed: bool) -> None:
    """Ready for rows: ribber off, the held half raised, heel weights on."""
    draft.add(op.Check, change)
    if ribbed:
        draft.add(op.Ribber, False)
    draft.add(op.Raise, held)
    draft.weigh(op.Weight.HEEL)


def leave_rows(
    draft: Draft, change: op.Change | None, held: tuple[int, ...], *, ribbed: bool
) -> None:
    """Ready for rounds again: heel weights off, the held half in work."""
    draft.add(op.Unweigh, op.Weight.HEEL)
    draft.add(op.Lower, held)
    if ribbed:
        draft.add(op.Ribber, True)
    if change is not None:
        draft.add(op.Check, change)
    draft.weigh(op.Weight.MAIN)


def middle(first: int, needles: int) -> int:
    """Where the carrier stops, in the middle of a run of needles, for the others to be raised or
    lowered: nowhere else is it clear of them all (common practice)."""
    return first + (needles - 1) // 2


def knit_pouch(
    draft: Draft,
    cup: Cup,
    first: int,
    held: tuple[int, ...],
    section: op.Section,
    *,
    into: op.Change,
    out: op.Change | None,
    yarns: tuple[str, str, str],
    ribbed: bool = False,
    to_end: bool = False,
) -> None:
    """A whole pouch on the run of needles from `first` on. The carrier comes to its last needle in
    a round. At the end it stands in the middle of the run, the last row half done; where the yarn
    changes, or with `to_end`, past its last needle.

    `held` are all other needles with loops (on the cylinder), `yarns` those of the rounds before,
    of the pouch and of what follows; `ribbed` tells that the held half has loops on a connected
    dial.
    """
    last, stop = first + cup.needles - 1, middle(first, cup.needles)
    before, own, after = yarns
    draft.add(op.PartRound, stop)
    enter_rows(draft, into, held, ribbed=ribbed)
    draft.add(op.PartRound, last)
    draft.section = section
    # The carrier stands past the last needle of the run, beside the first that is held.
    change_yarn(draft, before, own, between=(last, held[0]))
    draft.add(op.HeelSpring, True)
    knit_cup(draft, cup, first, held, stop)
    draft.add(op.HeelSpring, False)
    leave_rows(draft, out, held, ribbed=ribbed)
    if to_end or own != after:
        draft.add(op.PartRound, last)
        change_yarn(draft, own, after)
