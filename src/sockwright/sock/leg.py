"""The leg: its rounds from a height, a length or a count, and a calf shaped by the stitch cam with
looser loops towards the top."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, floor, hypot
from typing import NamedTuple

from sockwright.errors import CannotMake, Offer
from sockwright.estimates import THIS_PLAN, Count, Derivation, Estimate, Propagated, asked, wished
from sockwright.facts import fact
from sockwright.i18n import N_, _
from sockwright.measure.foot import Foot
from sockwright.measure.gauge import Gauge
from sockwright.order.model import LegGiven, RibEnd
from sockwright.quantities import format_both
from sockwright.sock.cuff import Cuff, shallowest
from sockwright.sock.heel import OF_SOCK, Heel

FEWEST_LEG_ROUNDS = 2
PRE_HEEL_ROUNDS = 5
"""Plain rounds with the heel half's rib loops back on the cylinder before a heel (common
practice: five or ten)."""
DEFAULT_HEIGHT = 0.74
"""Height from the floor as a share of the sock's foot length when none is given (8 1/2 in leg on
an 11 1/2 in foot: the adult sock of a 1920s home-work contract, common practice)."""
STEPS = 4
"""Cam settings of a shaped leg (from memory: three to five, each ten to twenty rounds)."""


@dataclass(frozen=True)
class LegShape:
    """Loop-length factors from the top of the leg down, and what should be said of them."""

    factors: tuple[float, ...]
    notes: tuple[str, ...]


def girth_at(foot: Foot, height_mm: float) -> Estimate:
    """Girth of the leg at a height from the floor, mm, straight between ankle and calf; its sd is
    that of both girths and of the heights at which legs differ in having them."""
    length = foot.length.estimate.value
    low = fact("fit", "ankle_level_by_length").estimate
    high = fact("fit", "calf_level_by_length").estimate
    rise = (high.value - low.value) * length
    share = min(max((height_mm - low.value * length) / rise, 0.0), 1.0)
    ankle, calf = foot.ankle_girth.estimate, foot.calf_girth.estimate
    widening = calf.value - ankle.value
    level_sd = 0.0
    if 0 < share < 1:
        level_sd = widening * length / rise * hypot((1 - share) * low.sd, share * high.sd)
    levels = high.called(
        Derivation(
            "fit.leg_levels",
            _("heights of ankle and calf"),
            fact("fit", "calf_level_by_length").told,
            origin="table",
        )
    )
    differ = replace(levels, value=0.0, sd=level_sd, unit="mm")
    return (ankle * (1 - share) + calf * share + differ).named(
        "top.leg",
        _("girth of the leg at the top"),
        "mm",
        _("straight between the girths of ankle and calf, at the heights that legs have them"),
        fact("fit", "calf_level_by_length").told,
        "published",
    )


def shape_leg(foot: Foot, gauge: Gauge, needles: int, height_mm: float, ease: float) -> LegShape:
    """Factors that bring the tube to the leg's girth less `ease` at the top, as far as the cam can.

    One factor, 1, where the plain tube is wide enough already.
    """
    tube = needles * gauge.wale.value
    leg = girth_at(foot, height_mm).value
    wanted = leg * (1 - ease) / tube
    most = fact("fit", "cam_shaping_most").number
    top = min(max(wanted, 1.0), most)
    notes = []
    stretch = leg / (tube * top)
    if wanted > most:
        notes.append(
            _(
                "the stitch cam widens the top by {most:.0f} % at most; there the leg "
                "measures {leg} and the sock opens {stretch:.2f} times",
                most=100 * (most - 1),
                leg=format_both(leg),
                stretch=stretch,
            )
        )
    if top < 1.005:
        return LegShape((1.0,), (*notes, _("the plain tube is wide enough for this leg")))
    factors = tuple(1 + (top - 1) * (STEPS - 1 - step) / (STEPS - 1) for step in range(STEPS))
    return LegShape(tuple(round(factor, 3) for factor in factors), tuple(notes))


class Courses(NamedTuple):
    """Heights of a course of the heel, of the leg and of the cuff, each of its fabric, mm."""

    heel: Estimate
    leg: Estimate
    cuff: Estimate


class Formulas(NamedTuple):
    """The formulas of the leg in words; `by_default` takes a {share}."""

    rounds: str
    by_default: str
    length: str


OF_ROWS = Formulas(
    _("(height − heel − cuff) ÷ course of the leg"),
    N_("({share} × foot length × (1 − length ease) − heel − cuff) ÷ course of the leg"),
    _("courses of heel and leg and rounds of the cuff that show, each × its course"),
)
OF_A_TURN = Formulas(
    _("(height − the turn − cuff) ÷ course of the leg"),
    N_("({share} × foot length × (1 − length ease) − the turn − cuff) ÷ course of the leg"),
    _("rounds of the leg and of the cuff that show, each × its course, + the turn"),
)
LEG = _("leg rounds")
CONTRACT = _("an adult's sock of a 1920s home-work contract: 8 1/2 in leg on an 11 1/2 in foot")


def leg_rounds(
    given: LegGiven,
    cuff: Cuff,
    heel: Heel,
    courses: Courses,
    wish: Propagated,
    factors: tuple[float, ...],
) -> Count:
    """Leg rounds for the order, enough for what the leg must hold; `wish` is the sock's length in
    mm, `factors` are the loop-length factors of cuff and leg. Raises CannotMake, with offers."""
    course = courses.leg
    if given.rounds is not None:
        rounds = asked("sizing.leg_rounds", LEG, given.rounds, "order.leg_rounds")
    elif given.leg_mm is not None:
        long = wished("sock.leg.length", _("length of the leg"), given.leg_mm, "mm")
        formula = _("length of the leg ÷ course")
        rounds = _whole(long / course / mean_factor(factors), course, factors, formula)
    elif given.height_mm is not None:
        label = _("height from the floor")
        high = wished("sock.leg.height", label, given.height_mm, "mm") - heel.corner
        exact = _below(high, cuff, heel, courses, factors)
        rounds = _whole(exact, course, factors, formulas(heel).rounds)
    else:
        high = wish * DEFAULT_HEIGHT - heel.corner_at(wish)
        exact = _below(high, cuff, heel, courses, factors)
        formula = _(formulas(heel).by_default, share=DEFAULT_HEIGHT)
        rounds = _whole(exact, course, factors, formula, CONTRACT, "common practice")
    _check(given, cuff, heel, rounds, courses, factors)
    return rounds


def formulas(heel: Heel) -> Formulas:
    """The formulas of the leg above this heel."""
    return OF_ROWS if heel.cups else OF_A_TURN


def _below(
    high: Propagated, cuff: Cuff, heel: Heel, courses: Courses, factors: tuple[float, ...]
) -> Propagated:
    """Leg rounds that cuff and heel leave of a height, mm."""
    above = cuff.courses * courses.cuff * top_factor(factors)
    return (high - heel.courses * courses.heel - above) / courses.leg / mean_factor(factors)


def _whole(
    exact: Propagated,
    course: Estimate,
    factors: tuple[float, ...],
    formula: str,
    source: str = OF_SOCK,
    standing: str = "derived",
) -> Count:
    each_mm = course.value * sum(factors) / len(factors)
    count = round(exact.value)
    return exact.whole(
        count, "sizing.leg_rounds", LEG, "round", formula, source, standing, each_mm=each_mm
    )


def top_factor(factors: tuple[float, ...]) -> Estimate | float:
    """The loop-length factor of the cuff: that of the top of the leg."""
    return _factor("top_factor", _("loops of the cuff ÷ those of the foot"), factors[0])


def mean_factor(factors: tuple[float, ...]) -> Estimate | float:
    """The loop-length factor of a leg in equal parts."""
    return leg_factor(sum(factors) / len(factors))


def leg_factor(mean: float) -> Estimate | float:
    """The loop-length factor of the leg, on average."""
    return _factor("leg_factor", _("loops of the leg ÷ those of the foot, on average"), mean)


def _factor(name: str, label: str, value: float) -> Estimate | float:
    """A loop-length factor, with its name where it is not that of a plain tube."""
    if value == 1.0:
        return value
    return Estimate(value, 0.0, "1", Derivation(f"sizing.{name}", label, THIS_PLAN))


def split_leg(rounds: int, factors: tuple[float, ...]) -> tuple[tuple[int, float], ...]:
    """Share `rounds` among the cam factors as evenly as whole rounds allow."""
    each, rest = divmod(rounds, len(factors))
    parts = [(each + (place < rest), factor) for place, factor in enumerate(factors)]
    return tuple(part for part in parts if part[0])


def _check(
    given: LegGiven,
    cuff: Cuff,
    heel: Heel,
    rounds: int,
    courses: Courses,
    factors: tuple[float, ...],
) -> None:
    """Refuse a leg too short for what it must hold."""
    course = courses.leg.value
    stretch = sum(factors) / len(factors)
    carried = cuff.rib is not None and cuff.rib_to is not RibEnd.CUFF
    fewest = FEWEST_LEG_ROUNDS + (PRE_HEEL_ROUNDS if carried else 0)
    if rounds < fewest:
        if given.rounds is None and given.leg_mm is None:
            raise _too_low(cuff, heel, rounds, fewest, courses, (factors[0], stretch))
        raise CannotMake(
            _(
                "the leg is too short: {rounds} rounds, where this sock needs {fewest}",
                rounds=rounds,
                fewest=fewest,
            ),
            (
                Offer(
                    _("{fewest} leg rounds", fewest=fewest),
                    _("a leg of {length}", length=format_both(fewest * course * stretch)),
                    {"leg.rounds": fewest},
                ),
            ),
        )


def _too_low(
    cuff: Cuff,
    heel: Heel,
    rounds: int,
    fewest: int,
    courses: Courses,
    factors: tuple[float, float],
) -> CannotMake:
    """The refusal of a sock so low that cuff and heel leave too few leg rounds; `factors` are the
    loop-length factors of the cuff and, on average, of the leg."""
    looser, stretch = factors
    top, of_leg = looser * courses.cuff.value, stretch * courses.leg.value
    stands = heel.share * courses.heel.value + heel.corner.value + cuff.visible * top
    lowest = ceil(stands + fewest * of_leg)
    offers = [
        Offer(
            _("a height of {height}", height=format_both(lowest)),
            _("{fewest} leg rounds", fewest=fewest),
            {"leg.height": f"{lowest} mm"},
        )
    ]
    visible = cuff.visible - (fewest - rounds) * of_leg / top
    if visible >= shallowest(cuff.kind):
        depth = floor(visible * top)
        offers.append(
            Offer(
                _("a cuff {depth} deep", depth=format_both(depth)),
                _("{fewest} leg rounds", fewest=fewest),
                {"cuff.depth": f"{depth} mm"},
            )
        )
    return CannotMake(
        _(
            "the leg is too short: cuff and heel alone stand {stands} high, and "
            "{fewest} leg rounds must follow",
            stands=format_both(stands),
            fewest=fewest,
        ),
        tuple(offers),
    )
