"""The verdict on a plan's size: how well the sock may be trusted to fit the foot.

The dry run proves that the steps hold together; it says nothing of the size, which is as good as
the measures of foot and fabric are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from math import hypot

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.plan.make import Plan
from sockwright.plan.notes import top_passing
from sockwright.quantities import format_length
from sockwright.sock.fit import Passing
from sockwright.words import Said, joined, phrase, said


class Trust(IntEnum):
    """How far a size is to be trusted, best first."""

    GOOD = 0
    FAIR = 1
    ROUGH = 2
    DOUBTFUL = 3


TRUST_WORDS = {
    Trust.GOOD: phrase("good"),
    Trust.FAIR: phrase("fair"),
    Trust.ROUGH: phrase("rough"),
    Trust.DOUBTFUL: phrase("doubtful"),
}


@dataclass(frozen=True)
class SizeVerdict:
    """`trust` is the worst of what was found; `reasons` say why it is not good, the worst first;
    `foot_sd_mm` is one standard deviation of sock against foot in length."""

    trust: Trust
    reasons: tuple[Said, ...]
    foot_sd_mm: float

    def words(self, units: str) -> Said:
        """As "rough, no swatch (foot ± 1.30 in)"."""
        return said(
            "{verdict} (foot ± {sd})",
            verdict=joined(", ", (said(TRUST_WORDS[self.trust]), *self.reasons)),
            sd=format_length(self.foot_sd_mm, units, 2),
        )


def size_verdict(plan: Plan) -> SizeVerdict:
    """The verdict on the size of one sock.

    Length and girth: good within `fit.size_good_within` and `fit.girth_good_within`, fair within
    twice as much, else rough. Rough where nothing of the fabric was measured or its readings
    contradict each other. Fair where the tube is snug or loose, or just passes heel or leg;
    doubtful where it more likely does not pass.
    """
    length = hypot(plan.fabric.foot_length.sd, plan.foot.length.estimate.sd)
    found = sorted(
        (
            *_fabric(plan),
            *_spreads(plan, length),
            *_ease(plan.fit.girth_ease),
            *_passing(plan.fit.heel, said("may not pass the heel"), said("just opens to the heel")),
            *_passing(
                top_passing(plan),
                said("the top may not go round the leg"),
                said("the top just goes round the leg"),
            ),
        ),
        key=lambda one: -one[0],
    )
    worst = found[0][0] if found else Trust.GOOD
    return SizeVerdict(worst, tuple(reason for _, reason in found), length)


Found = Iterator[tuple[Trust, Said]]


def _spreads(plan: Plan, length_sd: float) -> Found:
    """Nothing of a fabric that was not measured, which is reason enough."""
    if plan.gauge.readings_used:
        yield from _spread(length_sd, "size_good_within", said("its length is uncertain"))
        girth_sd = plan.fit.girth_ease.sd
        yield from _spread(girth_sd, "girth_good_within", said("its girth is uncertain"))


def _spread(sd: float, name: str, reason: Said) -> Found:
    good = fact("fit", name).number
    if sd > good:
        yield (Trust.ROUGH if sd > 2 * good else Trust.FAIR), reason


def _fabric(plan: Plan) -> Found:
    if not plan.gauge.readings_used:
        yield Trust.ROUGH, said("no swatch")
    elif plan.gauge.conflicts:
        yield Trust.ROUGH, said("readings contradict each other")


def _ease(ease: Estimate) -> Found:
    if ease.value > fact("fit", "girth_ease_most").number:
        yield Trust.FAIR, said("snug")
    elif ease.value < fact("fit", "girth_ease_least").number:
        yield Trust.FAIR, said("loose")


def _passing(passing: Passing, not_likely: Said, just: Said) -> Found:
    if passing.likely_tight:
        yield Trust.DOUBTFUL, not_likely
    elif passing.just:
        yield Trust.FAIR, just
