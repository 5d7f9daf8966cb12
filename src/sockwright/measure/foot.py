"""The best estimate of a foot: what was measured stays, tables of feet fill the gaps."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from sockwright.facts import fact
from sockwright.i18n import N_, Message, _, listed
from sockwright.measure.adults import adult_foot
from sockwright.measure.children import child_foot, is_child
from sockwright.measure.foot_measures import MEASURES, Foot, FootMeasure, as_measured
from sockwright.order.model import FootGiven, WearerGiven
from sockwright.quantities import format_both

ROUNDS_ALIKE = 2
"""Rounds by which two socks of a pair are not knitted differently."""


@dataclass(frozen=True)
class FeetComparison:
    """The word on two feet, and why. `longer` is the side ("left" where they are as long) that one
    sock for both is sized for, `note` what to know of that, "" where the feet are as long."""

    one_sock_serves_both: bool
    reason: str
    longer: str = "left"
    note: str = ""


@dataclass(frozen=True)
class _Difference:
    """By how much the right foot exceeds the left in one measure, mm, and its measuring sd."""

    template: str
    mm: float
    sd: float
    limit_mm: float

    @property
    def alike(self) -> bool:
        return abs(self.mm) <= self.limit_mm

    @property
    def words(self) -> Message:
        """Which foot exceeds the other, and by how much."""
        side = _("right") if self.mm > 0 else _("left")
        return _(self.template, side=side, by=format_both(abs(self.mm)))


def compare_feet(left: Foot, right: Foot, course_mm: float) -> FeetComparison:
    """Whether one sock serves both feet: alike within 4 mm in length and in ball girth.

    A length that differs by two courses of `course_mm` at most is alike too: nobody feels two
    rounds, and a pair of one size is knitted surer (common practice). The limit is the one SATRA
    counts unlike feet by (facts/measuring.toml).
    """
    limit = fact("measuring", "alike_within").number
    differences = (
        _difference(
            left,
            right,
            "length",
            N_("the {side} foot is {by} longer"),
            max(limit, ROUNDS_ALIKE * course_mm),
        ),
        _difference(
            left,
            right,
            "ball_girth",
            N_("the {side} foot is {by} fuller round the ball"),
            limit,
        ),
    )
    unlike = [one for one in differences if not one.alike]
    if not unlike:
        length = differences[0]
        longer = "right" if length.mm > 0 else "left"
        return FeetComparison(True, _alike(left, right, differences), longer, _one_size(length))
    different = listed([one.words for one in unlike])
    reason = _("{different}: each foot needs its own sock", different=different)
    if all(abs(one.mm) <= 2.0 * one.sd for one in unlike):
        reason = _(
            "{reason}; but two such measurements can differ so much by chance, "
            "so measure both again",
            reason=reason,
        )
    return FeetComparison(False, reason)


def _one_size(length: _Difference) -> str:
    """That both socks are as the longer foot needs them, where the feet are not as long."""
    if round(abs(length.mm)) == 0:
        return ""
    longer, shorter = _("right"), _("left")
    if length.mm < 0:
        longer, shorter = shorter, longer
    return _(
        "both socks are sized for the longer foot, the {longer}; the {shorter} is {by} shorter, at "
        "most two rounds, or less than a tape tells apart",
        longer=longer,
        shorter=shorter,
        by=format_both(abs(length.mm)),
    )


def _difference(left: Foot, right: Foot, name: str, template: str, limit_mm: float) -> _Difference:
    one, other = left.measures()[name].estimate, right.measures()[name].estimate
    return _Difference(template, other.value - one.value, hypot(one.sd, other.sd), limit_mm)


def _alike(left: Foot, right: Foot, differences: tuple[_Difference, ...]) -> str:
    if left == right:
        return _("both feet were given the same measures: one sock serves both")
    length, ball = differences
    return _(
        "the feet differ by {length} in length and {ball} round the ball: one sock serves both",
        length=format_both(abs(length.mm)),
        ball=format_both(abs(ball.mm)),
    )


__all__ = [
    "MEASURES",
    "FeetComparison",
    "Foot",
    "FootMeasure",
    "compare_feet",
    "estimate_foot",
]


def estimate_foot(wearer: WearerGiven, foot: FootGiven) -> Foot:
    """The whole of one foot of `wearer`, every measure with its sd in mm.

    What was measured stays exactly as measured; the rest follows from it, from shoe size, stature
    and weight: for adults by ANSUR II, for an age of 2 to 17 by Snyder et al. 1977. Raises
    OrderError if nothing tells the length and for a foot too short for the adults' tables.
    """
    measured = as_measured(foot, wearer.sex)
    return child_foot(wearer, measured) if is_child(wearer) else adult_foot(wearer, measured)
