"""Sizing: how many rounds and rows of everything, once the cylinder and the gauge are known."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, pi

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import Estimate, rectangular_sd
from sockwright.machine.model import Cylinder, Machine
from sockwright.measure.gauge import Gauge
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    RibEnd,
    SockGiven,
    ToeHalf,
)
from sockwright.quantities import format_both
from sockwright.sock.cup import Cup, kept_choices, size_cup
from sockwright.sock.heel import Heel, size_heel
from sockwright.sock.rib import RibLayout, lay_out_rib
from sockwright.words import said

FEWEST_FOOT_ROUNDS = 2
FEWEST_LEG_ROUNDS = 2
PRE_HEEL_ROUNDS = 5
"""Plain rounds with the heel half's rib loops back on the cylinder before a heel (common
practice: five or ten)."""
DEFAULT_DEPTH_MM = {
    CuffKind.HUNG_HEM: 25.0,
    CuffKind.PICOT_HEM: 20.0,
    CuffKind.MOCK_RIB_HEM: 30.0,
    CuffKind.TRUE_RIB: 40.0,
    CuffKind.ROLLED_EDGE: 20.0,
}
"""Visible depth of a cuff when none is given, mm (common practice: one to two inches)."""
DEFAULT_HEIGHT = 0.74
"""Height from the floor as a share of the sock's foot length when none is given (8 1/2 in leg on
an 11 1/2 in foot: the adult sock of a 1920s home-work contract, common practice)."""
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
    rounds: int
    visible: float
    every: int
    rib: RibLayout | None
    rib_to: RibEnd


@dataclass(frozen=True)
class Toe:
    """A sized toe; no cup when it is gathered."""

    half: ToeHalf
    cup: Cup | None
    closing: Closing

    @property
    def share(self) -> float:
        """Courses the toe adds beyond the foot rounds."""
        return 0.0 if self.cup is None else self.cup.share


@dataclass(frozen=True)
class Sizing:
    """How many of everything, and what that measures.

    `leg_shape` lists (rounds, loop-length factor) from the cuff down; lengths are Estimates in mm.
    """

    needles: int
    heel_needles: int
    cuff: Cuff
    leg_rounds: int
    leg_shape: tuple[tuple[int, float], ...]
    heel: Heel
    foot_rounds: int
    toe: Toe
    foot_length: Estimate
    leg_height: Estimate
    length_wish_mm: float
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


def size_cuff(given: CuffGiven, cylinder: Cylinder, machine: Machine, course_mm: float) -> Cuff:
    """Rounds of the cuff for its depth at this gauge."""
    rib = None
    if given.kind is CuffKind.TRUE_RIB:
        rib = lay_out_rib(given.rib, cylinder, machine, given.remainder, given.rib_to)
    depth = DEFAULT_DEPTH_MM[given.kind] if given.depth_mm is None else given.depth_mm
    fewest = FEWEST_HEM_ROUNDS[given.kind]
    if given.kind in HEM_KINDS:
        half = round(depth / course_mm) if given.rounds is None else (given.rounds - 1) // 2
        half = max(half, (fewest - 1) // 2)
        return Cuff(given.kind, 2 * half + 1, half, given.every, rib, given.rib_to)
    curls = ROLLED_SHARE if given.kind is CuffKind.ROLLED_EDGE else 1.0
    rounds = round(depth / course_mm / curls) if given.rounds is None else given.rounds
    rounds = max(rounds, fewest)
    return Cuff(given.kind, rounds, rounds * curls, given.every, rib, given.rib_to)


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
    return Estimate(radius / 2, rectangular_sd(radius / 2), "course")


def size_sock(
    sock: SockGiven,
    cylinder: Cylinder,
    machine: Machine,
    gauge: Gauge,
    foot_length_mm: float,
    leg_shape: tuple[float, ...] = (1.0,),
) -> Sizing:
    """Size the whole sock for a foot of `foot_length_mm`.

    Foot rounds are rounded so that the sock's length from heel to toe comes nearest the wish;
    `leg_shape` gives the loop-length factors of the leg from the top down, in equal parts.
    Raises CannotMake with offers where the foot or the leg is too short for the parts.
    """
    course = gauge.course.value
    half = cylinder.needles // 2
    cuff = size_cuff(sock.cuff, cylinder, machine, course * leg_shape[0])
    wish = foot_length_mm * (1 - sock.ease.length)
    heel = size_heel(sock.heel, half, wish)
    toe = size_toe(sock, half)
    lost = gather_loss(cylinder.needles, gauge) if toe.cup is None else Estimate(0.0, 0.0, "course")
    corner = heel.corner
    rounds = round((wish - corner.value) / course - heel.share - toe.share + lost.value)
    if rounds < FEWEST_FOOT_ROUNDS:
        raise _foot_too_short(heel, toe, rounds, course)
    courses = heel.share + rounds + toe.share - lost.value
    length_sd = hypot(courses * gauge.course.sd, course * lost.sd, corner.sd)
    leg = _leg_rounds(sock, cuff, heel, course, wish, leg_shape)
    shape = split_leg(leg, leg_shape)
    height = heel.share + cuff.visible * leg_shape[0] + sum(part * factor for part, factor in shape)
    return Sizing(
        needles=cylinder.needles,
        heel_needles=half,
        cuff=cuff,
        leg_rounds=leg,
        leg_shape=shape,
        heel=heel,
        foot_rounds=rounds,
        toe=toe,
        foot_length=Estimate(courses * course + corner.value, length_sd, "mm"),
        leg_height=Estimate(
            height * course + corner.value, hypot(height * gauge.course.sd, corner.sd), "mm"
        ),
        length_wish_mm=wish,
        notes=_hem_note(sock.cuff, cuff),
    )


def _hem_note(given: CuffGiven, cuff: Cuff) -> tuple[str, ...]:
    """A word where a hem has other rounds than were asked for."""
    if given.rounds in (None, cuff.rounds):
        return ()
    return (
        said(
            "the cuff has {rounds} rounds, not {asked}: a hem folds on a middle round and "
            "so has an odd number, and none is shallower than its hanging allows",
            rounds=cuff.rounds,
            asked=given.rounds,
        ),
    )


def split_leg(rounds: int, factors: tuple[float, ...]) -> tuple[tuple[int, float], ...]:
    """Share `rounds` among the cam factors as evenly as whole rounds allow."""
    each, rest = divmod(rounds, len(factors))
    parts = [(each + (place < rest), factor) for place, factor in enumerate(factors)]
    return tuple(part for part in parts if part[0])


def _leg_rounds(
    sock: SockGiven,
    cuff: Cuff,
    heel: Heel,
    course: float,
    wish: float,
    leg_shape: tuple[float, ...],
) -> int:
    """Leg rounds for the order; `leg_shape` are the loop-length factors of cuff and leg."""
    leg, top = sock.leg, leg_shape[0]
    stretch = sum(leg_shape) / len(leg_shape)
    if leg.rounds is not None:
        rounds = leg.rounds
    elif leg.leg_mm is not None:
        rounds = round(leg.leg_mm / course / stretch)
    else:
        height = leg.height_mm if leg.height_mm is not None else DEFAULT_HEIGHT * wish
        courses = (height - heel.corner.value) / course
        rounds = round((courses - heel.share - cuff.visible * top) / stretch)
    carried = cuff.rib is not None and cuff.rib_to is not RibEnd.CUFF
    fewest = FEWEST_LEG_ROUNDS + (PRE_HEEL_ROUNDS if carried else 0)
    if rounds < fewest:
        if leg.rounds is None and leg.leg_mm is None:
            raise _leg_too_short(cuff, heel, rounds, fewest, course, (top, stretch))
        raise CannotMake(
            said(
                "the leg is too short: {rounds} rounds, where this sock needs {fewest}",
                rounds=rounds,
                fewest=fewest,
            ),
            (
                Offer(
                    said("{fewest} leg rounds", fewest=fewest),
                    said("a leg of {length}", length=format_both(fewest * course * stretch)),
                ),
            ),
        )
    return rounds


def _leg_too_short(
    cuff: Cuff, heel: Heel, rounds: int, fewest: int, course: float, factors: tuple[float, float]
) -> CannotMake:
    """The refusal of a sock so low that cuff and heel leave too few leg rounds; `factors` are the
    loop-length factors of the cuff and, on average, of the leg."""
    top, stretch = factors
    stands = heel.share + heel.corner.value / course + cuff.visible * top
    lowest = (stands + fewest * stretch) * course
    offers = [
        Offer(
            said("a height of {height}", height=format_both(lowest)),
            said("{fewest} leg rounds", fewest=fewest),
        )
    ]
    visible = cuff.visible - (fewest - rounds) * stretch / top
    if visible >= shallowest(cuff.kind):
        offers.append(
            Offer(
                said("a cuff {depth} deep", depth=format_both(visible * course * top)),
                said("{fewest} leg rounds", fewest=fewest),
            )
        )
    return CannotMake(
        said(
            "the leg is too short: cuff and heel alone stand {stands} high, and "
            "{fewest} leg rounds must follow",
            stands=format_both(stands * course),
            fewest=fewest,
        ),
        tuple(offers),
    )


def shallowest(kind: CuffKind) -> float:
    """Rounds that show of the shallowest cuff of `kind`."""
    fewest = FEWEST_HEM_ROUNDS[kind]
    if kind in HEM_KINDS:
        return (fewest - 1) // 2
    return fewest * (ROLLED_SHARE if kind is CuffKind.ROLLED_EDGE else 1.0)


def _foot_too_short(heel: Heel, toe: Toe, rounds: int, course: float) -> CannotMake:
    """The refusal of a foot too short for its cups, with larger kept counts that would fit."""
    missing = FEWEST_FOOT_ROUNDS - rounds
    fewer = Offer(said("a cylinder with fewer needles"), said("smaller cups"))
    return CannotMake(
        said(
            "the foot is too short for these cups by {missing} rounds, {longer}",
            missing=missing,
            longer=format_both(missing * course),
        ),
        (*_shallower_cups(heel, toe, missing), fewer),
    )


def _shallower_cups(heel: Heel, toe: Toe, missing: int) -> tuple[Offer, ...]:
    """The fewest needles kept at heel and toe that save `missing` rounds, if any do."""
    parts = [(said("heel"), cup) for cup in heel.cups[-1:]]
    parts += [] if toe.cup is None else [(said("toe"), toe.cup)]
    if not parts:
        return ()
    cups = [cup for _, cup in parts]
    where = said("heel and toe") if len(parts) > 1 else parts[0][0]
    needles = cups[0].needles
    largest = needles - 2 * max(cup.first_raise for cup in cups)
    for outer in heel.cups[:-1]:
        largest = min(largest, outer.kept - 1)
    for kept in kept_choices(needles):
        if kept <= largest and sum(kept - cup.kept for cup in cups) >= missing:
            return (
                Offer(
                    said("keep {kept} needles at {where}", kept=kept, where=where),
                    said("shallower cups, which grip less"),
                ),
            )
    return ()
