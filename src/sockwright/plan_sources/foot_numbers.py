"""Where the measures of a foot come from: what was read, or what surveys foretell from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import sqrt

from sockwright.estimates import Estimate, rectangular_sd
from sockwright.facts import fact
from sockwright.measure.adults import body
from sockwright.measure.children import best_fit, is_child
from sockwright.measure.foot_measures import (
    SPOKEN,
    SWELLING,
    FootMeasure,
    reading_error,
    sitting_growth_mm,
)
from sockwright.measure.population import CHILD_SYSTEMS, shoe_foot_length
from sockwright.order.model import Load, Sex, ShoeSize
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.foot_inputs import (
    LEAST_SHARE,
    foot_given,
    known_input,
    measured_of,
)
from sockwright.plan_sources.foretold_feet import (
    Shares,
    adults_shares,
    childs_length_shares,
    childs_shares,
)
from sockwright.plan_sources.inputs import exactly, of_fact, share, told
from sockwright.words import said

ANSUR = said("ANSUR II (Gordon et al. 2014, NATICK/TR-15/007)")
USAF = said("USAF survey of 1967 (AFFLY67), 57 men")
BY_RATIOS = ("ball_girth", "instep_girth", "heel_girth", "heel_breadth")
"""A child's measures that come by adults' proportions."""
SNYDER = said("Snyder et al. 1977 (UM-HSRI-77-17), adults' proportions where it has no girth")


def foot_numbers(plan: Plan) -> Iterator[Explained]:
    """Every measure of the foot."""
    measured, child = measured_of(plan), is_child(plan.order.wearer)
    shares = _childs_shares(plan, measured) if child else _adults_shares(plan, measured)
    for name, measure in plan.foot.measures().items():
        if name in measured:
            yield _read(plan, name, measure.estimate)
        elif name == "length" and (shoe := _shoe_told(plan, measure.estimate)):
            yield _by_shoe(plan, shoe, measure.estimate)
        elif name == "length" and child:
            yield _childs_length(plan, measure)
        else:
            yield _foretold(plan, name, measure, shares[name])


def _adults_shares(plan: Plan, measured: Mapping[str, FootMeasure]) -> Shares:
    if len(measured) == len(plan.foot.measures()):
        return {}
    return adults_shares(plan.order.wearer, measured)


def _childs_shares(plan: Plan, measured: Mapping[str, FootMeasure]) -> Shares:
    return childs_shares(plan.order.wearer, {"length": plan.foot.length, **measured})


def _read(plan: Plan, name: str, value: Estimate) -> Explained:
    """A measure that was taken."""
    foot = foot_given(plan)
    traced = name == "length" and foot.pencil_mm is not None
    error = reading_error(name, traced)
    pencil = foot.pencil_mm if traced and foot.pencil_mm is not None else 0.0
    reading = Input(
        f"reading.{name}",
        said("{measure} as drawn", measure=SPOKEN[name]) if traced else SPOKEN[name],
        Estimate(value.value + pencil, error.number, "mm"),
        share(error.number, value),
        "measured",
        said("the order; {source}", source=told(error)),
    )
    formula = said("as it was measured")
    if traced:
        formula = said("length of the outline − thickness of the pencil")
    return Explained(
        f"foot.{name}",
        SPOKEN[name],
        value,
        formula,
        (reading, *_pencil(pencil), *_sitting(plan, name, value)),
        said("the wearer's foot; {source}", source=said(error.source)),
        error.standing,
    )


def _pencil(thickness_mm: float) -> tuple[Input, ...]:
    """The thickness of the pencil as an input, where it was taken off."""
    if not thickness_mm:
        return ()
    value = exactly(thickness_mm, "mm")
    label, source = said("thickness of the pencil"), said("the order")
    return (Input("reading.pencil", label, value, 0.0, "measured", source),)


def _sitting(plan: Plan, name: str, value: Estimate) -> tuple[Input, ...]:
    """What a foot measured sitting may grow by when stood on."""
    if foot_given(plan).load is not Load.SITTING or name not in SWELLING:
        return ()
    sex = plan.order.wearer.sex
    sd = rectangular_sd(sitting_growth_mm(name, value.value, sex))
    known = fact("measuring", f"sitting_{name}_{'man' if sex is Sex.MAN else 'woman'}")
    label = said("what it grows by when stood on")
    growth = Estimate(0.0, sd, "mm")
    return (of_fact(f"reading.{name}.sitting", label, growth, share(sd, value), known),)


def _shoe_told(plan: Plan, length: Estimate) -> ShoeSize | None:
    """The shoe size, where the length comes from it."""
    shoe = plan.order.wearer.shoe
    return shoe if shoe is not None and shoe_foot_length(shoe) == length else None


def _by_shoe(plan: Plan, shoe: ShoeSize, length: Estimate) -> Explained:
    error = fact("measuring", "child_shoe_sd" if shoe.system in CHILD_SYSTEMS else "adult_shoe_sd")
    size = Input(
        "wearer.shoe_size",
        said("shoe size {system}", system=shoe.system.value),
        exactly(shoe.size, "size"),
        0.0,
        "measured",
        said("the order"),
    )
    makers = said("how much shoes of one size differ")
    spread = Estimate(0.0, error.number, "mm")
    return Explained(
        "foot.length",
        SPOKEN["length"],
        length,
        said(
            "(size − offset) ÷ sizes a millimetre, by the printed scale of {system}",
            system=shoe.system.value,
        ),
        (size, of_fact("wearer.shoe_error", makers, spread, share(error.number, length), error)),
        said("printed shoe conversions (secondary to ISO 19407:2023)"),
        "published",
    )


def _childs_length(plan: Plan, measure: FootMeasure) -> Explained:
    """The length of a child's foot by its stature or by its age, whichever is surer."""
    wearer, known = plan.order.wearer, body(plan.order.wearer)
    age = wearer.age_years or 0.0
    if "stature" in known and best_fit("length", age, known).estimate == measure.estimate:
        shares = childs_length_shares(wearer)["length"]
        return _foretold(plan, "length", measure, shares)
    years = exactly(age, "year")
    given = Input("wearer.age", said("age"), years, 0.0, "measured", said("the order"))
    formula = said("mean of the feet of children of this age, in completed years")
    return _from_survey(plan, "length", measure, formula, (given,))


def _foretold(
    plan: Plan, name: str, measure: FootMeasure, shares: Mapping[str, float]
) -> Explained:
    """A measure that a survey foretells from what is known."""
    told = [(known, part) for known, part in shares.items() if part >= LEAST_SHARE]
    heaviest = sorted(told, key=lambda pair: -pair[1])
    inputs = tuple(known_input(plan, known, part) for known, part in heaviest)
    formula = said(
        "what the survey's people with these measures have on average, each measure with the "
        "weight that goes with how surely it is known"
    )
    return _from_survey(plan, name, measure, formula, inputs)


def _survey(plan: Plan, name: str) -> tuple[str, str]:
    """The survey that foretells a measure, and its standing for this wearer."""
    if is_child(plan.order.wearer):
        return SNYDER, "derived" if name in BY_RATIOS else "published"
    if name == "instep_girth":
        return USAF, "published" if plan.order.wearer.sex is Sex.MAN else "derived"
    return ANSUR, "published"


def _from_survey(
    plan: Plan,
    name: str,
    measure: FootMeasure,
    formula: str,
    inputs: tuple[Input, ...],
) -> Explained:
    """A measure from a survey; what its inputs leave of the variance is how people differ."""
    source, standing = _survey(plan, name)
    rest = max(0.0, 1.0 - sum(each.share for each in inputs)) if measure.estimate.sd else 0.0
    people = Input(
        f"survey.{name}",
        said("how much people alike in these differ"),
        Estimate(0.0, measure.estimate.sd * sqrt(rest), "mm"),
        rest,
        "table",
        source,
    )
    return Explained(
        f"foot.{name}",
        SPOKEN[name],
        measure.estimate,
        formula,
        (*inputs, people),
        source,
        standing,
    )
