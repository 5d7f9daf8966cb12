"""Toes: a cup as the heel's, or an end drawn together."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi

from sockwright.estimates import (
    THE_ORDER,
    Count,
    Derivation,
    Estimate,
    Propagated,
    counted,
    exactly,
    rectangular_sd,
)
from sockwright.facts import with_standing
from sockwright.measure.gauge import Gauge
from sockwright.order.model import Closing, SockGiven, ToeHalf
from sockwright.sock.cup import LABELS, Cup, kept_of, rows_of, size_cup
from sockwright.sock.heel import OF_SOCK
from sockwright.words import said


@dataclass(frozen=True)
class Toe:
    """A sized toe; no cup when it is gathered."""

    half: ToeHalf
    cup: Cup | None
    closing: Closing

    @property
    def kept(self) -> Count | None:
        """Needles kept at the narrowest; None for a gathered toe."""
        return None if self.cup is None else kept_of((self.cup,))

    @cached_property
    def rows(self) -> Count:
        """All its rows."""
        if self.cup is not None:
            return rows_of("toe", (self.cup,))
        formula = said("a gathered toe has none")
        return counted(0, "sizing.toe_rows", LABELS["toe_rows"], formula, THE_ORDER)

    @cached_property
    def courses(self) -> Propagated:
        """Courses the toe adds beyond the foot rounds, and what they come from."""
        return Propagated(0.0, {}) if self.cup is None else self.rows.number / 2

    @property
    def share(self) -> float:
        """Courses the toe adds beyond the foot rounds."""
        return self.courses.value


def size_toe(sock: SockGiven, needles: int) -> Toe:
    """The toe; a cup "as the heel" unless the order says otherwise."""
    given = sock.toe
    if given.closing is Closing.GATHER:
        return Toe(given.half, None, given.closing)
    pouch = given.pouch if given.pouch is not None else sock.heel.pouch
    return Toe(given.half, size_cup(needles, pouch, "sock.toe.kept"), given.closing)


def gather_loss(needles: int, gauge: Gauge) -> Estimate:
    """Length a gathered end takes from the tube, in courses.

    The last rounds close over a disc of radius girth / 2 pi: all of it if the end lies flat, none
    if it draws to a point; half, with a rectangular error of the other half (derived).
    """
    radius = needles * gauge.wale.value / (2 * pi) / gauge.course.value
    source = with_standing(said("all of the radius or none of it"), "derived")
    label = said("how flat the gathered end lies")
    flat = Derivation("sizing.gather_flatness", label, source, origin="table")
    return (Estimate(0.0, rectangular_sd(radius / 2), "course", flat) + radius / 2).named(
        "sizing.gather_loss",
        said("courses that the gathered end takes"),
        "course",
        said("half the radius of the tube in courses: needles × wale ÷ 2π ÷ 2 ÷ course"),
        OF_SOCK,
        also=(exactly(needles), gauge.wale, gauge.course),
    )
