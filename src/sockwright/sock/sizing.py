"""Sizing: how many rounds and rows of everything, once the cylinder and the gauge are known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import pi
from typing import NamedTuple

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import (
    THE_ORDER,
    Count,
    Derivation,
    Estimate,
    Propagated,
    asked,
    counted,
    exactly,
    rectangular_sd,
    wished,
)
from sockwright.facts import with_standing
from sockwright.i18n import _
from sockwright.machine import Cylinder, Machine
from sockwright.measure.fabrics import cuff_fabric, leg_fabric
from sockwright.measure.gauge import Gauge
from sockwright.order.model import Closing, SockGiven, ToeHalf
from sockwright.quantities import format_both
from sockwright.sock.cuff import Cuff, hem_note, size_cuff
from sockwright.sock.cup import LABELS, Cup, kept_choices, kept_of, rows_of, size_cup
from sockwright.sock.heel import OF_SOCK, Heel, size_heel
from sockwright.sock.leg import Courses, leg_factor, leg_rounds, split_leg, top_factor
from sockwright.sock.leg import formulas as leg_formulas

FEWEST_FOOT_ROUNDS = 2


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
        formula = _("a gathered toe has none")
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
    cup = given.cup if given.cup is not None else sock.heel.cup
    return Toe(given.half, size_cup(needles, cup, "sock.toe.kept"), given.closing)


def gather_loss(needles: int, gauge: Gauge) -> Estimate:
    """Length a gathered end takes from the tube, in courses.

    The last rounds close over a disc of radius girth / 2 pi: all of it if the end lies flat, none
    if it draws to a point; half, with a rectangular error of the other half (derived).
    """
    radius = needles * gauge.wale.value / (2 * pi) / gauge.course.value
    source = with_standing(_("all of the radius or none of it"), "derived")
    label = _("how flat the gathered end lies")
    flat = Derivation("sizing.gather_flatness", label, source, origin="table")
    return (Estimate(0.0, rectangular_sd(radius / 2), "course", flat) + radius / 2).named(
        "sizing.gather_loss",
        _("courses that the gathered end takes"),
        "course",
        _("half the radius of the tube in courses: needles × wale ÷ 2π ÷ 2 ÷ course"),
        OF_SOCK,
        also=(exactly(needles), gauge.wale, gauge.course),
    )


@dataclass(frozen=True)
class Sizing:
    """How many of everything, and what that measures.

    `leg_shape` lists (rounds, loop-length factor) from the cuff down; lengths are Estimates in mm,
    `gather_loss` courses that a gathered end takes.
    """

    needles: Count
    heel_needles: Count
    cuff: Cuff
    leg_rounds: Count
    leg_shape: tuple[tuple[int, float], ...]
    heel: Heel
    foot_rounds: Count
    toe: Toe
    foot_length: Estimate
    leg_height: Estimate
    cuff_depth: Estimate
    length_wish_mm: float
    gather_loss: Estimate | None = None
    notes: tuple[str, ...] = ()

    @property
    def top_factor(self) -> float:
        """Loop-length factor of the cuff: that of the top of the leg."""
        return self.leg_shape[0][1]

    @property
    def total_courses(self) -> float:
        """Courses from the back of the heel to the tip of the toe; the heel's corner, where it is
        worth a length beyond them, comes besides."""
        return self.heel.share + self.foot_rounds + self.toe.share


class Formulas(NamedTuple):
    """The formulas of the foot in words."""

    rounds: str
    length: str


FORMULAS = {
    (True, False): Formulas(
        _("foot length × (1 − length ease) ÷ course − courses of heel and toe"),
        _("(courses of the heel + rounds of the foot + courses of the toe) × course"),
    ),
    (False, False): Formulas(
        _("(foot length × (1 − length ease) − the turn) ÷ course − courses of the toe"),
        _("(rounds of the foot + courses of the toe) × course + the turn"),
    ),
    (True, True): Formulas(
        _(
            "foot length × (1 − length ease) ÷ course − courses of the heel + what the gathered "
            "end takes"
        ),
        _("(courses of the heel + rounds of the foot − what the gathered end takes) × course"),
    ),
    (False, True): Formulas(
        _("(foot length × (1 − length ease) − the turn) ÷ course + what the gathered end takes"),
        _("(rounds of the foot − what the gathered end takes) × course + the turn"),
    ),
}
"""By whether there is a heel, and whether the toe is gathered."""


def length_ease(sock: SockGiven) -> Estimate:
    """How much shorter than the foot the sock is asked to be, as a share."""
    return wished("sock.ease.length", _("length ease wished for"), sock.ease.length)


def needles_of(sock: SockGiven, cylinder: Cylinder, scores: Iterable[Estimate] = ()) -> Count:
    """The needles of the sock, as asked for or by the `scores` of the cylinders."""
    key, label = "sizing.needles", _("needles")
    if sock.needles is not None:
        return asked(key, label, cylinder.needles, "order.needles")
    return counted(
        cylinder.needles,
        key,
        label,
        _("the cylinder with the lowest score of those on which the whole sock can be made"),
        _("the weights of the score order what fits"),
        "assumption",
        scores,
    )


def size_sock(
    sock: SockGiven,
    cylinder: Cylinder,
    machine: Machine,
    gauge: Gauge,
    foot_length: Estimate,
    leg_shape: tuple[float, ...] = (1.0,),
    scores: Iterable[Estimate] = (),
) -> Sizing:
    """Size the whole sock for a foot of so many mm.

    Foot rounds are rounded so that the sock's length from heel to toe comes nearest the wish;
    `leg_shape` gives the loop-length factors of the leg from the top down, in equal parts;
    `scores` are those of the cylinders that could be chosen.
    Raises CannotMake with offers where the foot or the leg is too short for the parts.
    """
    course = gauge.course
    cuffs, legs = gauge.of(cuff_fabric(sock.cuff)), gauge.of(leg_fabric(sock.cuff))
    courses = Courses(course, legs.course, cuffs.course)
    needles = needles_of(sock, cylinder, scores)
    half = _half(needles)
    cuff = size_cuff(sock.cuff, cylinder, machine, cuffs.course, top_factor(leg_shape))
    wish = foot_length * (1.0 - length_ease(sock))
    heel, toe = size_heel(sock.heel, half, wish), size_toe(sock, half)
    lost = gather_loss(needles, gauge) if toe.cup is None else None
    rounds = _foot_rounds(heel, toe, course, wish, lost)
    leg = leg_rounds(sock.leg, cuff, heel, courses, wish, leg_shape)
    shape = split_leg(leg, leg_shape)
    of_leg = leg.number * leg_factor(sum(part * factor for part, factor in shape) / leg)
    of_cuff = cuff.courses * top_factor(leg_shape)
    height = heel.courses * course + of_leg * courses.leg + of_cuff * courses.cuff
    return Sizing(
        needles=needles,
        heel_needles=half,
        cuff=cuff,
        leg_rounds=leg,
        leg_shape=shape,
        heel=heel,
        foot_rounds=rounds,
        toe=toe,
        foot_length=_foot_length(heel, toe, course, rounds, lost),
        leg_height=(height + heel.corner).named(
            "sizing.leg_length",
            _("height from the floor, by the formula"),
            "mm",
            leg_formulas(heel).length,
            OF_SOCK,
        ),
        cuff_depth=(of_cuff * courses.cuff).named(
            "sizing.cuff_depth",
            _("depth of the cuff"),
            "mm",
            _("rounds of the cuff that show × its course"),
            OF_SOCK,
        ),
        length_wish_mm=wish.value,
        gather_loss=lost,
        notes=hem_note(sock.cuff, cuff),
    )


def _half(needles: Count) -> Count:
    return counted(
        needles // 2,
        "sizing.heel_needles",
        _("needles of the heel"),
        _("half of the needles"),
        OF_SOCK,
        inputs=(needles.number,),
    )


def _foot_rounds(
    heel: Heel, toe: Toe, course: Estimate, wish: Propagated, lost: Estimate | None
) -> Count:
    """What heel and toe leave of the length wished for (mm); `lost` are courses that gathering
    takes. Raises CannotMake, with offers."""
    along = (wish - heel.corner_at(wish)) / course
    exact = along - heel.courses - toe.courses + (lost or 0.0)
    rounds = exact.whole(
        round(exact.value),
        "sizing.foot_rounds",
        _("foot rounds"),
        "round",
        FORMULAS[bool(heel.cups), toe.cup is None].rounds,
        OF_SOCK,
        each_mm=course.value,
    )
    if rounds < FEWEST_FOOT_ROUNDS:
        raise _foot_too_short(heel, toe, rounds, course.value)
    return rounds


def _foot_length(
    heel: Heel, toe: Toe, course: Estimate, rounds: Count, lost: Estimate | None
) -> Estimate:
    """Length of the sock's foot, mm."""
    courses = heel.courses + rounds.number + toe.courses - (lost or 0.0)
    return (courses * course + heel.corner).named(
        "sizing.foot_length",
        _("foot, heel to toe, by the formula"),
        "mm",
        FORMULAS[bool(heel.cups), toe.cup is None].length,
        OF_SOCK,
    )


def _foot_too_short(heel: Heel, toe: Toe, rounds: int, course: float) -> CannotMake:
    """The refusal of a foot too short for its cups, with larger kept counts that would fit."""
    missing = FEWEST_FOOT_ROUNDS - rounds
    fewer = Offer(_("a cylinder with fewer needles"), _("smaller cups"))
    return CannotMake(
        _(
            "the foot is too short for these cups by {missing} rounds, {longer}",
            missing=missing,
            longer=format_both(missing * course),
        ),
        (*_shallower_cups(heel, toe, missing), fewer),
    )


def _shallower_cups(heel: Heel, toe: Toe, missing: int) -> tuple[Offer, ...]:
    """The fewest needles kept at heel and toe that save `missing` rounds, if any do."""
    parts = [("heel", cup) for cup in heel.cups[-1:]]
    parts += [] if toe.cup is None else [("toe", toe.cup)]
    if not parts:
        return ()
    cups = [cup for __, cup in parts]
    # A toe as the heel changes with it.
    names = [name for name, cup in parts[:1] + [one for one in parts[1:] if one[1] != cups[0]]]
    where = _("heel and toe") if len(parts) > 1 else _(parts[0][0])
    needles = cups[0].needles
    largest = needles - 2 * max(cup.first_raise for cup in cups)
    for outer in heel.cups[:-1]:
        largest = min(largest, outer.kept - 1)
    for kept in kept_choices(needles):
        if kept <= largest and sum(kept - cup.kept for cup in cups) >= missing:
            return (
                Offer(
                    _("leave {kept} needles in work at {where}", kept=kept, where=where),
                    _("shallower cups, which hold less"),
                    {f"{part}.kept": kept for part in names},
                ),
            )
    return ()
