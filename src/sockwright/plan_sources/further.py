"""Measurements that could still be taken, and what each would leave of every number's variance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot

from sockwright.estimates import Estimate, rectangular_sd
from sockwright.facts import fact
from sockwright.measure.belief import Belief, believe, from_yarn
from sockwright.measure.foot_measures import SPOKEN, SWELLING, reading_error
from sockwright.measure.levels import sort_swatches
from sockwright.measure.next_reading import PHRASES, SPAN_MM, planned_readings, tools_of
from sockwright.measure.stretch import stretch_readings
from sockwright.measure.swatch import division, ratio_sd
from sockwright.order.model import Load
from sockwright.plan import Plan
from sockwright.plan_sources.foot_inputs import foot_given, measured_of
from sockwright.plan_sources.gauge_numbers import ROWS, Fabric, fabric_of
from sockwright.plan_sources.opening_numbers import opening_key
from sockwright.plan_sources.yarn_numbers import ROLES, fineness_key
from sockwright.words import said

MM_G_PER_TEX = 1e6


@dataclass(frozen=True)
class Candidate:
    """A measurement, and for the keys of the numbers that it tells of the share of their variance
    that it would leave."""

    measurement: str
    left: Mapping[str, float]


def candidates(plan: Plan) -> tuple[Candidate, ...]:
    """Every measurement that the order could still take in."""
    fabrics = fabrics_of(plan)
    return (
        *(each for fabric in fabrics for each in _readings(fabric)),
        *(_stretch(fabric) for fabric in fabrics),
        *_skeins(plan, fabrics),
        *_feet(plan),
    )


def fabrics_of(plan: Plan) -> tuple[Fabric, ...]:
    """The fabric of the sock, then those on the other cylinders."""
    own = plan.sizing.needles
    others = {fit.cylinder.needles: fit.gauge for fit in plan.ranking}
    others.pop(own, None)
    gauges = {own: plan.gauge, **others}
    return tuple(fabric_of(plan, gauge, needles) for needles, gauge in gauges.items())


def _belief(fabric: Fabric, tex: Estimate) -> Belief:
    order = fabric.plan.order
    seen = sort_swatches(order.swatches, tex, fabric.needles, order.sock.drape)
    return believe(from_yarn(tex, order.sock.drape), seen.observations)


def _left(fabric: Fabric, before: Belief, after: Belief) -> dict[str, float]:
    """What is left of the variance of each number of a fabric."""
    pairs = {
        name: (before.sd(before.row(row)), after.sd(after.row(row))) for name, row in ROWS.items()
    }
    return {fabric.key(name): (new / old) ** 2 for name, (old, new) in pairs.items() if old}


def _readings(fabric: Fabric) -> Iterator[Candidate]:
    """Readings of a swatch on this cylinder."""
    tex = fabric.plan.yarns["main"].tex
    belief = _belief(fabric, tex)
    tools = tools_of(fabric.seen.own)
    for planned in planned_readings(belief, tex, fabric.needles, tools):
        left = _left(fabric, belief, believe(belief, [planned]))
        yield Candidate(_on(fabric, PHRASES[planned.kind]), left)


def _on(fabric: Fabric, phrase: str) -> str:
    """A reading of a swatch, with its cylinder where that is not the sock's."""
    if fabric.prefix == "gauge":
        return phrase
    return said("{reading}, knitted on {needles} needles", reading=phrase, needles=fabric.needles)


def _stretch(fabric: Fabric) -> Candidate:
    """One more piece stretched."""
    ruler_mm, _ = tools_of(fabric.seen.own)
    half, ratio = division(ruler_mm), fabric.gauge.open_ratio
    hand = fact("gauge", "stretch_relative_sd").number
    weight = 1 / ratio_sd(SPAN_MM * ratio.value, half, SPAN_MM, half) ** 2
    seen = stretch_readings(fabric.seen.own, ())
    if seen is not None:
        weight += sum(1 / sd**2 for _, _, sd in seen.readings)
    new = ratio.value * hypot(hand, weight**-0.5)
    phrase = said("measure a washed swatch relaxed, then gently stretched in width")
    return Candidate(_on(fabric, phrase), {opening_key(fabric): (new / ratio.sd) ** 2})


def _skeins(plan: Plan, fabrics: Sequence[Fabric]) -> Iterator[Candidate]:
    """A measured length of each yarn, weighed."""
    for given in plan.order.yarns:
        tex = plan.yarns[given.role].tex
        weighed = _weighed(tex, tools_of(fabrics[0].seen.own)[1])
        if weighed.sd >= tex.sd:
            continue
        left = {fineness_key(plan, given.role): (weighed.sd / tex.sd) ** 2}
        if given.role == "main":
            for fabric in fabrics:
                left |= _left(fabric, _belief(fabric, tex), _belief(fabric, weighed))
        skein_m = fact("gauge", "skein_length").number / 1000
        phrase = said("weigh {m:g} m of the {yarn}", m=skein_m, yarn=ROLES[given.role])
        yield Candidate(phrase, left)


def _weighed(tex: Estimate, balance_g: float) -> Estimate:
    """The fineness of a yarn of which a skein was weighed."""
    mass_g = fact("gauge", "skein_length").number * tex.value / MM_G_PER_TEX
    pull = fact("gauge", "pull_relative_sd").number
    return replace(tex, sd=tex.value * hypot(rectangular_sd(division(balance_g)) / mass_g, pull))


def _feet(plan: Plan) -> Iterator[Candidate]:
    """Each measure of the foot taken, taken standing or taken once more."""
    measured, sitting = measured_of(plan), foot_given(plan).load is Load.SITTING
    for name, measure in plan.foot.measures().items():
        variance = measure.estimate.sd**2
        taken = (reading_error(name, traced=False).number) ** 2 / variance
        if name not in measured:
            phrase, left = said("measure the {measure}", measure=SPOKEN[name]), taken
        elif sitting and name in SWELLING:
            phrase = said("measure the {measure} standing", measure=SPOKEN[name])
            left = taken
        else:
            phrase, left = said("measure the {measure} again", measure=SPOKEN[name]), 0.5
        if left < 1:
            yield Candidate(phrase, {f"foot.{name}": left})
