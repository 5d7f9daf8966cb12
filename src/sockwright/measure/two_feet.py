"""Whether one sock serves both feet of a wearer."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from sockwright.facts import fact
from sockwright.measure.foot_values import Foot
from sockwright.quantities import format_both


@dataclass(frozen=True)
class FeetComparison:
    """The word on two feet, and why."""

    one_sock_serves_both: bool
    reason: str


@dataclass(frozen=True)
class _Difference:
    """By how much the right foot exceeds the left in one measure, mm, and its measuring sd."""

    words: tuple[str, str]
    mm: float
    sd: float
    limit_mm: float

    @property
    def alike(self) -> bool:
        return abs(self.mm) <= self.limit_mm

    def __str__(self) -> str:
        side = "right" if self.mm > 0 else "left"
        by = format_both(abs(self.mm))
        return f"the {side} foot is {by} {self.words[0]} {self.words[1]}".rstrip()


def compare_feet(left: Foot, right: Foot, course_mm: float) -> FeetComparison:
    """Whether one sock serves both feet: alike within 4 mm in length and in ball girth.

    A length that differs by less than one course, `course_mm`, cannot be knitted differently and
    is alike too. The limit is the one SATRA counts unlike feet by (facts/measuring.toml).
    """
    limit = fact("measuring", "alike_within").number
    differences = (
        _difference(left, right, "length", ("longer", ""), max(limit, course_mm)),
        _difference(left, right, "ball_girth", ("fuller", "round the ball"), limit),
    )
    unlike = [one for one in differences if not one.alike]
    if not unlike:
        return FeetComparison(True, _alike(left, right, differences))
    reason = " and ".join(str(one) for one in unlike) + ": each foot needs its own sock"
    if all(abs(one.mm) <= 2.0 * one.sd for one in unlike):
        reason += "; but two such measurements can differ so much by chance, so measure both again"
    return FeetComparison(False, reason)


def _difference(
    left: Foot, right: Foot, name: str, words: tuple[str, str], limit_mm: float
) -> _Difference:
    one, other = left.measures()[name].estimate, right.measures()[name].estimate
    return _Difference(words, other.value - one.value, hypot(one.sd, other.sd), limit_mm)


def _alike(left: Foot, right: Foot, differences: tuple[_Difference, ...]) -> str:
    if left == right:
        return "both feet were given the same measures: one sock serves both"
    length, ball = differences
    return (
        f"the feet differ by {format_both(abs(length.mm))} in length and "
        f"{format_both(abs(ball.mm))} round the ball: one sock serves both"
    )
