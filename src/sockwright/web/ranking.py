"""Every cylinder of a machine as the planning page ranks it: numbers, reasons, the way to it."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.estimates import Estimate
from sockwright.plan import Plan
from sockwright.sock.fit import CylinderFit
from sockwright.web.formats import Formats
from sockwright.web.plan_view import Row
from sockwright.web.planning import Planning
from sockwright.words.said import said


@dataclass(frozen=True)
class Ranked:
    """A cylinder with the numbers of its fit.

    `take` and `beside` are the queries that plan on it, and that set it beside; "" where it is so.
    """

    fit: CylinderFit
    taken: bool
    take: str
    beside: str
    rows: tuple[Row, ...]


def ranking(plan: Plan, planning: Planning, formats: Formats) -> list[Ranked]:
    """The cylinders, the best first."""
    own, other = plan.sizing.needles, planning.wish.beside
    return [
        Ranked(
            fit,
            fit.cylinder.needles == own,
            "" if fit.cylinder.needles == own else planning.query_on(fit.cylinder.needles),
            ""
            if fit.cylinder.needles in (own, other)
            else planning.query_beside(fit.cylinder.needles),
            tuple(
                Row(label, (f"fit.cylinders.{fit.cylinder.needles}.{name}",), (cell,))
                for name, label, cell in _numbers(fit, formats)
            ),
        )
        for fit in plan.ranking
    ]


def _numbers(fit: CylinderFit, formats: Formats) -> list[tuple[str, str, str]]:
    return [
        ("girth", said("Tube, round"), formats.length(fit.girth)),
        ("girth_ease", said("Narrower than the foot by"), formats.percent(fit.girth_ease)),
        ("heel_opening", said("Must open to pass the heel"), _times(fit.opening_needed, formats)),
        ("fabric_opening", said("The fabric opens"), _times(fit.opening_possible, formats)),
        ("score", said("Score (0 is perfect)"), formats.number(fit.score)),
    ]


def _times(opening: Estimate, formats: Formats) -> str:
    return said("{times} times", times=formats.number(opening))
