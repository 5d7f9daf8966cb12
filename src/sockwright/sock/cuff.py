"""Cuffs: their kinds, how many rounds each has, and what of it shows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from sockwright.estimates import (
    THE_ORDER,
    Count,
    Estimate,
    Input,
    Propagated,
    asked,
    exactly,
    wished,
)
from sockwright.i18n import _
from sockwright.machine import Cylinder, Machine
from sockwright.order.model import CuffGiven, CuffKind, RibEnd
from sockwright.sock.rib import RibLayout, lay_out_rib

DEFAULT_DEPTH_MM = {
    CuffKind.HUNG_HEM: 25.0,
    CuffKind.PICOT_HEM: 20.0,
    CuffKind.MOCK_RIB_HEM: 30.0,
    CuffKind.TRUE_RIB: 40.0,
    CuffKind.ROLLED_EDGE: 20.0,
}
"""Visible depth of a cuff when none is given, mm (common practice: one to two inches)."""
ROLLED_SHARE = 0.5
"""Share of a rolled edge's rounds that shows; the rest curls away (assumption)."""
HEM_KINDS = (CuffKind.HUNG_HEM, CuffKind.PICOT_HEM, CuffKind.MOCK_RIB_HEM)
FEWEST_HEM_ROUNDS = {
    CuffKind.HUNG_HEM: 5,
    CuffKind.PICOT_HEM: 5,
    CuffKind.MOCK_RIB_HEM: 9,
    CuffKind.TRUE_RIB: 4,
    CuffKind.ROLLED_EDGE: 4,
}


@dataclass(frozen=True)
class Cuff:
    """A sized cuff: all its rounds, and the rounds that show (half of a folded hem's; half of a
    rolled edge's, the rest curls away)."""

    kind: CuffKind
    rounds: Count
    every: int
    rib: RibLayout | None
    rib_to: RibEnd

    @property
    def courses(self) -> Propagated:
        """Courses that show, and what they come from."""
        rounds = exactly(self.rounds)
        if self.kind in HEM_KINDS:
            return (rounds - 1) / 2
        return rounds * (ROLLED_SHARE if self.kind is CuffKind.ROLLED_EDGE else 1.0)

    @property
    def visible(self) -> float:
        """Rounds that show."""
        return self.courses.value


CUFF = _("cuff rounds")
PLAIN_DEPTH = _("depth ÷ course")
FOLDED_DEPTH = _("2 × depth ÷ course + 1, made odd: a hem folds on a middle round")
ROLLED_DEPTH = _("depth ÷ course ÷ the share that does not curl away, {share}", share=ROLLED_SHARE)
USUAL_DEPTH = _("a cuff is one to two inches deep")


def size_cuff(
    given: CuffGiven,
    cylinder: Cylinder,
    machine: Machine,
    course: Estimate,
    top: Estimate | float = 1.0,
) -> Cuff:
    """Rounds of the cuff for its depth; `top` is its loop-length factor."""
    rib = None
    if given.kind is CuffKind.TRUE_RIB:
        rib = lay_out_rib(given.rib, cylinder, machine, given.remainder, given.rib_to)
    if given.rounds is None:
        rounds = _cuff_rounds(given, course * top)
    else:
        rounds = _cuff_asked(given.kind, given.rounds)
    return Cuff(given.kind, rounds, given.every, rib, given.rib_to)


def _nearest(kind: CuffKind, rounds: float) -> int:
    """The rounds nearest to so many that a cuff of a kind can have."""
    fewest = FEWEST_HEM_ROUNDS[kind]
    if kind in HEM_KINDS:
        return max(2 * round((rounds - 1) / 2) + 1, fewest)
    return max(round(rounds), fewest)


def _cuff_rounds(given: CuffGiven, height: Propagated) -> Count:
    """Rounds for a depth, at a course so high (mm)."""
    by_default = given.depth_mm is None
    depth_mm = DEFAULT_DEPTH_MM[given.kind] if given.depth_mm is None else given.depth_mm
    depth = wished("sock.cuff.depth", _("depth of the cuff"), depth_mm, "mm")
    exact, formula = depth / height, PLAIN_DEPTH
    each_mm = height.value
    if given.kind in HEM_KINDS:
        exact, formula, each_mm = exact * 2 + 1, FOLDED_DEPTH, each_mm / 2
    elif given.kind is CuffKind.ROLLED_EDGE:
        exact, formula, each_mm = exact / ROLLED_SHARE, ROLLED_DEPTH, each_mm * ROLLED_SHARE
    return exact.whole(
        _nearest(given.kind, exact.value),
        "sizing.hem_rounds",
        CUFF,
        "round",
        formula,
        USUAL_DEPTH if by_default else THE_ORDER,
        "common practice" if by_default else "derived",
        each_mm=each_mm,
    )


def _cuff_asked(kind: CuffKind, wish: int) -> Count:
    """Rounds that the order asks for; another number where no such cuff can be hung."""
    made = wish
    if kind in HEM_KINDS:
        made = 2 * ((wish - 1) // 2) + 1
    made = max(made, FEWEST_HEM_ROUNDS[kind])
    count = asked("sizing.hem_rounds", CUFF, made, "order.hem_rounds")
    if made == wish:
        return count
    rounding = _(
        "{asked} became {made}: a hem folds on a middle round, and none is shallower than its "
        "hanging allows",
        asked=wish,
        made=made,
    )
    exact = wished("order.hem_rounds", CUFF, wish, "round")
    inputs = partial(tuple, (Input(exact),))
    return Count(made, replace(count.how, exact=exact, rounding=rounding, take=inputs))


def shallowest(kind: CuffKind) -> float:
    """Rounds that show of the shallowest cuff of `kind`."""
    fewest = FEWEST_HEM_ROUNDS[kind]
    if kind in HEM_KINDS:
        return (fewest - 1) // 2
    return fewest * (ROLLED_SHARE if kind is CuffKind.ROLLED_EDGE else 1.0)


def hem_note(given: CuffGiven, cuff: Cuff) -> tuple[str, ...]:
    """A word where a hem has other rounds than were asked for."""
    if given.rounds in (None, cuff.rounds):
        return ()
    return (
        _(
            "the cuff has {rounds} rounds, not {asked}: a hem folds on a middle round and "
            "so has an odd number, and none is shallower than its hanging allows",
            rounds=cuff.rounds,
            asked=given.rounds,
        ),
    )
