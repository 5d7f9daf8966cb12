"""Whether one sock serves both feet of a wearer."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from sockwright.facts import fact
from sockwright.measure.foot_values import Foot
from sockwright.quantities import format_both
from sockwright.words import Said, listed, phrase, said


@dataclass(frozen=True)
class FeetComparison:
    """The word on two feet, and why."""

    one_sock_serves_both: bool
    reason: str


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
    def words(self) -> Said:
        """Which foot exceeds the other, and by how much."""
        side = said("right") if self.mm > 0 else said("left")
        return said(self.template, side=side, by=format_both(abs(self.mm)))


def compare_feet(left: Foot, right: Foot, course_mm: float) -> FeetComparison:
    """Whether one sock serves both feet: alike within 4 mm in length and in ball girth.

    A length that differs by less than one course, `course_mm`, cannot be knitted differently and
    is alike too. The limit is the one SATRA counts unlike feet by (facts/measuring.toml).
    """
    limit = fact("measuring", "alike_within").number
    differences = (
        _difference(
            left, right, "length", phrase("the {side} foot is {by} longer"), max(limit, course_mm)
        ),
        _difference(
            left,
            right,
            "ball_girth",
            phrase("the {side} foot is {by} fuller round the ball"),
            limit,
        ),
    )
    unlike = [one for one in differences if not one.alike]
    if not unlike:
        return FeetComparison(True, _alike(left, right, differences))
    different = listed([one.words for one in unlike])
    reason = said("{different}: each foot needs its own sock", different=different)
    if all(abs(one.mm) <= 2.0 * one.sd for one in unlike):
        reason = said(
            "{reason}; but two such measurements can differ so much by chance, "
            "so measure both again",
            reason=reason,
        )
    return FeetComparison(False, reason)


def _difference(left: Foot, right: Foot, name: str, template: str, limit_mm: float) -> _Difference:
    one, other = left.measures()[name].estimate, right.measures()[name].estimate
    return _Difference(template, other.value - one.value, hypot(one.sd, other.sd), limit_mm)


def _alike(left: Foot, right: Foot, differences: tuple[_Difference, ...]) -> str:
    if left == right:
        return said("both feet were given the same measures: one sock serves both")
    length, ball = differences
    return said(
        "the feet differ by {length} in length and {ball} round the ball: one sock serves both",
        length=format_both(abs(length.mm)),
        ball=format_both(abs(ball.mm)),
    )
