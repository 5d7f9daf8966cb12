"""The heel's part in the formulas of a sizing: rows that count as courses, or a tube's turn."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.plan import Plan
from sockwright.plan_sources.explained import Input
from sockwright.plan_sources.inputs import reckoned
from sockwright.plan_sources.sizing_words import LABELS, count_input
from sockwright.words import phrase, said


@dataclass(frozen=True)
class Formulas:
    """The formulas in which a heel has its part; `leg_by_default` takes a {share}."""

    foot_rounds: str
    foot_length: str
    leg_rounds: str
    leg_by_default: str
    leg_length: str


_OF_ROWS = Formulas(
    said("foot length × (1 − length ease) ÷ course − courses of heel and toe"),
    said("(courses of the heel + rounds of the foot + courses of the toe) × course"),
    said("height ÷ course − courses of heel and cuff"),
    phrase("{share} × foot length × (1 − length ease) ÷ course − courses of heel and cuff"),
    said("(courses of the heel + rounds of the leg + rounds of the cuff that show) × course"),
)
_OF_A_TURN = Formulas(
    said("(foot length × (1 − length ease) − the turn) ÷ course − courses of the toe"),
    said("(rounds of the foot + courses of the toe) × course + the turn"),
    said("(height − the turn) ÷ course − courses of the cuff"),
    phrase("({share} × foot length × (1 − length ease) − the turn) ÷ course − courses of the cuff"),
    said("(rounds of the leg + rounds of the cuff that show) × course + the turn"),
)
_GATHERED = {
    True: (
        said(
            "foot length × (1 − length ease) ÷ course − courses of the heel + what the gathered "
            "end takes"
        ),
        said("(courses of the heel + rounds of the foot − what the gathered end takes) × course"),
    ),
    False: (
        said("(foot length × (1 − length ease) − the turn) ÷ course + what the gathered end takes"),
        said("(rounds of the foot − what the gathered end takes) × course + the turn"),
    ),
}


def formulas(plan: Plan) -> Formulas:
    """The formulas of this sock."""
    rows = bool(plan.sizing.heel.cups)
    made = _OF_ROWS if rows else _OF_A_TURN
    if plan.sizing.toe.cup is not None:
        return made
    return Formulas(*_GATHERED[rows], made.leg_rounds, made.leg_by_default, made.leg_length)


def heel_input(plan: Plan, part: float) -> Input:
    """The heel as the input of another number; its turn makes `part` of the variance."""
    heel = plan.sizing.heel
    if heel.cups:
        return count_input("heel_rows", heel.rows)
    return reckoned("sizing.heel_corner", LABELS["heel_corner"], heel.corner, part)
