"""Where the fabric's numbers come from: readings of swatches, and what the yarn lets expect."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import exp

from sockwright.estimates import Estimate
from sockwright.facts import Fact, fact
from sockwright.measure.belief import (
    AREAL_MASS_ROW,
    OF_KC,
    OF_KW,
    OF_WISH,
    TIGHTNESS_ROW,
    ErrorPart,
    error_parts,
)
from sockwright.measure.gauge import Gauge
from sockwright.measure.levels import Sorted, sort_swatches
from sockwright.measure.loop_laws import drape_tightness, munden_of
from sockwright.measure.swatch import FINENESS, Observation, observe
from sockwright.order.model import State, SwatchGiven
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.ground import Ground
from sockwright.plan_sources.inputs import of_fact, reckoned, told
from sockwright.plan_sources.swatch_readings import reading_words
from sockwright.plan_sources.yarn_numbers import fineness_input
from sockwright.words import said

ROWS: Mapping[str, Mapping[str, float]] = {
    "wale": {"wale": 1.0},
    "course": {"course": 1.0},
    "loop": {"loop": 1.0},
    "tightness": TIGHTNESS_ROW,
    "areal_mass": AREAL_MASS_ROW,
}
"""How often the logarithm of each number takes the believed ones."""

OF_OTHERS = ("wale", "loop", "tightness")
"""What the fit of a cylinder that was not chosen rests on."""

LABELS = {
    "wale": said("width of a wale"),
    "course": said("height of a course"),
    "loop": said("length of a loop"),
    "tightness": said("tightness"),
    "areal_mass": said("mass of a square metre"),
    "open_ratio": said("how far the fabric opens"),
}

FROM_YARN = {
    "wale": said("loop ÷ Munden's constant Kw, the loop being √fineness ÷ the wished tightness"),
    "course": said("loop ÷ Munden's constant Kc, the loop being √fineness ÷ the wished tightness"),
    "loop": said("√fineness ÷ the wished tightness"),
}
FROM_READINGS = {
    "wale": said(
        "all readings of the swatches together with what the yarn lets expect (wale = loop ÷ "
        "Munden's Kw), each with the weight that its error leaves it"
    ),
    "course": said(
        "all readings of the swatches together with what the yarn lets expect (course = loop ÷ "
        "Munden's Kc), each with the weight that its error leaves it"
    ),
    "loop": said(
        "all readings of the swatches together with what the yarn lets expect (loop = √fineness ÷ "
        "tightness), each with the weight that its error leaves it"
    ),
}
FROM_FABRIC = {
    "tightness": said("√fineness (tex) ÷ loop (mm)"),
    "areal_mass": said("loops in a square centimetre × loop (mm) × fineness (tex) ÷ 100"),
}

MUNDEN = said("D. L. Munden, J. Text. Inst. 50 (1959) T448-T471")
UPDATE = said("Gaussian update of ln wale, ln course and ln loop (any textbook of statistics)")
TEXCOMS = said("Texcoms Textile Technical Handbook (2023), p. 147")

LEAST_SHARE = 0.0005
"""Errors that bring less are not told."""


@dataclass(frozen=True)
class Fabric:
    """The fabric on one cylinder, what it rests on, the readings that tell it, and what its keys
    begin with."""

    plan: Ground
    gauge: Gauge
    needles: int
    seen: Sorted
    prefix: str

    def key(self, name: str) -> str:
        """The key of one of its numbers."""
        return f"{self.prefix}.{name}"

    def taken(self, name: str, share: float = 0.0) -> Input:
        """One of its numbers as the input of another."""
        return reckoned(self.key(name), LABELS[name], getattr(self.gauge, name), share)


def fabric_of(plan: Plan, gauge: Gauge, needles: int) -> Fabric:
    """The fabric of the plan on so many needles; that of the sock is called "gauge"."""
    order = plan.order
    seen = sort_swatches(order.swatches, plan.yarns["main"].tex, needles, order.sock.drape)
    own = needles == plan.sizing.needles
    return Fabric(plan, gauge, needles, seen, "gauge" if own else f"fit.cylinders.{needles}")


def gauge_numbers(fabric: Fabric) -> Iterator[Explained]:
    """The numbers of the sock's own fabric; of another cylinder's those that its fit takes."""
    own = fabric.prefix == "gauge"
    for name in ROWS if own else OF_OTHERS:
        yield _of_loops(fabric, name)
    if own:
        count = fabric.gauge.readings_used
        yield Explained(
            fabric.key("readings_used"),
            said("readings used"),
            count,
            said("single readings of size, counted over all swatches of the main yarn"),
            (),
            said("the order"),
            "derived",
        )


def _of_loops(fabric: Fabric, name: str) -> Explained:
    value: Estimate = getattr(fabric.gauge, name)
    seen, sock = fabric.seen.observations, fabric.plan.order.sock
    parts = error_parts(fabric.plan.yarns["main"].tex, sock.drape, seen, ROWS[name])
    swatches = _swatches(fabric)
    relative = (value.sd / value.value) ** 2
    inputs = [
        _input(fabric, part, part.variance / relative, swatches)
        for part in parts
        if relative and part.variance / relative >= LEAST_SHARE
    ]
    formulas = FROM_FABRIC | (FROM_READINGS if seen else FROM_YARN)
    source, standing = (UPDATE, "derived") if seen else (MUNDEN, "from memory")
    if name in FROM_FABRIC:
        source, standing = TEXCOMS, "published"
    return Explained(
        fabric.key(name), LABELS[name], value, formulas[name], tuple(inputs), source, standing
    )


def _swatches(fabric: Fabric) -> list[tuple[int, SwatchGiven, Observation]]:
    """The place and the swatch of every observation, and what was seen before it was brought to
    the level of this cylinder."""
    tex = fabric.plan.yarns["main"].tex
    return [
        (place, swatch, seen)
        for place, swatch in enumerate(fabric.plan.order.swatches, start=1)
        if swatch.yarn == "main"
        for seen in observe(swatch, tex).observations
    ]


def _input(
    fabric: Fabric,
    part: ErrorPart,
    share: float,
    swatches: list[tuple[int, SwatchGiven, Observation]],
) -> Input:
    if part.place is not None:
        place, swatch, seen = swatches[part.place]
        value = exp(seen.value)
        return Input(
            f"swatch.{place}.{seen.kind.name.lower()}",
            seen.label,
            Estimate(value, value * seen.sd, "mm"),
            share,
            "measured",
            reading_words(swatch, seen, fabric.plan.order.units),
        )
    if part.name == FINENESS:
        return fineness_input(fabric.plan, "main", share)
    if part.name in (OF_KW, OF_KC, OF_WISH):
        return _from_yarn(fabric, part, share)
    return _shared(part, share)


def _from_yarn(fabric: Fabric, part: ErrorPart, share: float) -> Input:
    """One of Munden's constants, or the wish for a drape."""
    if part.name == OF_WISH:
        drape = fabric.plan.order.sock.drape
        wished = drape_tightness(drape)
        return Input(
            "sock.drape",
            said("tightness of the wished drape"),
            Estimate(wished, wished * part.sd, "tex^0.5/mm"),
            share,
            "chosen",
            told(fact("gauge", "wish_relative_sd")),
        )
    constants = munden_of(State.WASHED)
    constant = constants.kw if part.name == OF_KW else constants.kc
    label = said("Munden's constant Kw") if part.name == OF_KW else said("Munden's constant Kc")
    number = constant.number
    return of_fact(
        f"constants.{part.name.lower()}",
        label,
        Estimate(number, number * part.sd, "1"),
        share,
        constant,
    )


def _shared(part: ErrorPart, share: float) -> Input:
    """An error that readings have in common, as a factor of 1 with its sd."""
    label, known = _shared_fact(part.name)
    key = f"gauge.error.{part.name.replace(' ', '_').replace('.', '_')}"
    return of_fact(key, label, Estimate(1.0, part.sd, "1"), share, known)


def _shared_fact(name: str) -> tuple[str, Fact]:
    if name == "pull":
        return said("pull on the straightened yarn"), fact("gauge", "pull_relative_sd")
    if name == "rested width":
        return said("washing after the rest: width"), fact("gauge", "rested_width_relative_sd")
    if name == "rested height":
        return said("washing after the rest: height"), fact("gauge", "rested_height_relative_sd")
    return said("swatches of another cylinder or cam setting"), fact("gauge", "level_relative_sd")
