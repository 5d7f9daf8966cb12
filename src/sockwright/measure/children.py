"""The unmeasured parts of a child's foot, by Snyder's tables, and how fast it will outgrow them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, partial
from importlib.resources import files
from math import floor, hypot, sqrt
from typing import Any

from sockwright import facts
from sockwright.estimates import THE_ORDER, Derivation, Estimate, Input
from sockwright.facts import fact
from sockwright.facts.feet import foot_measures
from sockwright.i18n import _
from sockwright.measure.adults import body, shoe_words
from sockwright.measure.foot_measures import Foot, FootMeasure, listed, spoken
from sockwright.measure.population import Prediction, how_people_differ, shoe_foot_length
from sockwright.order.model import Sex, WearerGiven
from sockwright.quantities import format_both

GROWTH_AGES = ((2, 5), (3, 5), (5, 8), (8, 11), (10, 13), (13, 15), (15, 18))
"""Ages between which growth was fitted; where two overlap the later one is used."""

SURVEY = _("children's feet (Snyder et al. 1977)")
"""The survey of the children's tables, as the notes name it."""

SNYDER = _("Snyder et al. 1977 (UM-HSRI-77-17), adults' proportions where it has no girth")
RATIOS = {name: one.children for name, one in foot_measures().items() if one.children}
"""A child's measures that come by adults' proportions."""

RATIO_NOTE = _("by adults' proportions, for lack of a survey of children that measured it")


@dataclass(frozen=True)
class Fit:
    """A least-squares fit of one measure on others, for children of ages[0] <= age < ages[1]."""

    ages: tuple[float, float]
    of: str
    intercept: float
    slopes: dict[str, float]
    sd: float

    def predict(self, known: Mapping[str, Estimate]) -> Estimate:
        """The measure in mm, its sd made of the fit's residual and the errors of what it uses."""
        value = self.intercept + sum(b * known[x].value for x, b in self.slopes.items())
        errors = [b * known[x].sd for x, b in self.slopes.items()]
        return Estimate(value, hypot(self.sd, *errors), "mm")


def is_child(wearer: WearerGiven) -> bool:
    """Whether the wearer's age is given and below 18."""
    adult_from = fact("children_feet", "adult_from").number
    return wearer.age_years is not None and wearer.age_years < adult_from


def child_foot(
    wearer: WearerGiven,
    measured: Mapping[str, FootMeasure],
    told: Mapping[str, Estimate] | None = None,
) -> Foot:
    """The whole foot of a child of 2 to 17: `measured` as it is, the rest from Snyder et al. 1977.

    Girths no survey of children took come by adults' ratios, with a wider sd. An order gives no
    age below 2; ValueError without an age. `told` takes the place of the wearer's stature and
    weight, to see what other sds of them would do.
    """
    age = _age(wearer)
    whole = dict(measured)
    whole.setdefault("length", _length(wearer, age))
    known = {"length": whole["length"].estimate, **(body(wearer) if told is None else told)}
    if "foot_breadth" in measured:
        known["foot_breadth"] = measured["foot_breadth"].estimate
    for name in foot_measures():
        if name not in whole and name not in RATIOS and name != "foot_breadth":
            whole[name] = best_fit(name, age, known)
    _add_by_ratios(whole, best_fit("foot_breadth", age, known))
    taken = {"length": whole["length"], **measured}
    return Foot(_derived(wearer, taken, whole), tuple(_notes(wearer, age, whole)))


def _derived(
    wearer: WearerGiven, taken: Mapping[str, FootMeasure], whole: Mapping[str, FootMeasure]
) -> dict[str, FootMeasure]:
    """The measures, those that are not `taken` with their derivations."""
    told = body(wearer)

    def work(known: Mapping[str, Estimate]) -> dict[str, Estimate]:
        given = {name: replace(taken[name], estimate=known[name]) for name in taken}
        foot = child_foot(wearer, given, {name: known[name] for name in told})
        return {name: one.estimate for name, one in foot.measures().items()}

    known = {name: measure.estimate for name, measure in taken.items()} | told
    telling = Prediction(known, work)
    return {
        name: measure
        if name in taken
        else replace(
            measure,
            estimate=telling.named(
                name,
                spoken(name),
                measure.estimate,
                SNYDER,
                "derived" if name in RATIOS else "published",
            ),
        )
        for name, measure in whole.items()
    }


def best_fit(name: str, age: float, known: Mapping[str, Estimate]) -> FootMeasure:
    """Of the fits for `name` at `age` that use only `known`, what the surest one predicts."""
    usable = [fit for fit in fits(age, name) if fit.slopes.keys() <= known.keys()]
    predicted = [(fit.predict(known), fit) for fit in usable]
    estimate, fit = min(predicted, key=lambda pair: pair[0].sd)
    note = _(
        "estimated from {slopes}, by a survey of {survey}",
        slopes=listed(list(fit.slopes)),
        survey=SURVEY,
    )
    if name == "ankle_bone_height":
        note = _("{note}; the inner ankle bone stands for the outer", note=note)
    return FootMeasure(estimate, "estimated", note)


def fits(age: float, of: str) -> tuple[Fit, ...]:
    """The fits of one measure that hold at `age` (years)."""
    return tuple(fit for fit in _fits() if fit.of == of and fit.ages[0] <= age < fit.ages[1])


def length_by_age(age: float, sex: Sex) -> Estimate:
    """Foot length in mm of children of this age in completed years; `Sex.EITHER` mixes both.

    Source: Snyder et al. 1977. KeyError outside 2 to 17.
    """
    sexes = (Sex.WOMAN, Sex.MAN) if sex is Sex.EITHER else (sex,)
    rows = [_length_rows(one)[floor(age)] for one in sexes]
    mean = sum(row.value for row in rows) / len(rows)
    spread = sum(row.sd**2 + (row.value - mean) ** 2 for row in rows) / len(rows)
    return Estimate(mean, sqrt(spread), "mm")


def growth_mm(age: float, sex: Sex, months: float) -> float:
    """How much longer the foot of a child of this age is likely to be in so many months, mm.

    Never below 0. Source: slopes of length on age in Snyder et al. 1977.
    """
    first, last = next((span for span in reversed(GROWTH_AGES) if span[0] <= age), GROWTH_AGES[0])
    whose = {Sex.WOMAN: ("girl",), Sex.MAN: ("boy",), Sex.EITHER: ("girl", "boy")}[sex]
    rates = [fact("children_feet", f"growth_{who}_{first}_to_{last}").number for who in whose]
    return max(0.0, sum(rates) / len(rates) * months / 12.0)


def _age(wearer: WearerGiven) -> float:
    if wearer.age_years is None:
        raise ValueError("a child without an age")
    return wearer.age_years


def _length(wearer: WearerGiven, age: float) -> FootMeasure:
    """The surest of what shoe size, stature and age say of the length."""
    known = body(wearer)
    note = _(
        "estimated from the age of {age}, by a survey of {survey}", age=floor(age), survey=SURVEY
    )
    told = [FootMeasure(_by_age(age, wearer.sex), "estimated", note)]
    if "stature" in known:
        told.append(_by_stature(age, known))
    if wearer.shoe is not None:
        told.append(FootMeasure(shoe_foot_length(wearer.shoe), "estimated", shoe_words(wearer)))
    return min(told, key=lambda measure: measure.estimate.sd)


def _by_age(age: float, sex: Sex) -> Estimate:
    value = length_by_age(age, sex)
    given = Derivation("wearer.age", _("age"), THE_ORDER, origin="measured")
    inputs = (Input(Estimate(age, 0.0, "year", given)), how_people_differ("length", value, SNYDER))
    formula = _("mean of the feet of children of this age, in completed years")
    take = partial(tuple, inputs)
    label = spoken("length")
    return value.called(Derivation("foot.length", label, SNYDER, formula, "published", take=take))


def _by_stature(age: float, known: Mapping[str, Estimate]) -> FootMeasure:
    measure = best_fit("length", age, known)
    telling = Prediction(known, lambda told: {"length": best_fit("length", age, told).estimate})
    estimate = telling.named("length", spoken("length"), measure.estimate, SNYDER, "published")
    return replace(measure, estimate=estimate)


def _add_by_ratios(whole: dict[str, FootMeasure], by_length: FootMeasure) -> None:
    """Fill breadths and girths, each from its neighbours on both sides where those are known."""
    breadth, note = [by_length.estimate], by_length.note
    if "ball_girth" in whole:
        note = _("{note}, and from the ball girth by adults' proportions", note=note)
        breadth.append(_divided(whole["ball_girth"].estimate, "ball_girth"))
    whole.setdefault("foot_breadth", FootMeasure(_pooled(breadth), "estimated", note))
    ball = [_times(whole["foot_breadth"].estimate, "ball_girth")]
    if "heel_girth" in whole:
        ball.append(_divided(whole["heel_girth"].estimate, "heel_girth"))
    whole.setdefault("ball_girth", FootMeasure(_pooled(ball), "estimated", RATIO_NOTE))
    for name in sorted(RATIOS, key=_relative_sd):
        estimate = _times(whole[RATIOS[name].of].estimate, name)
        whole.setdefault(name, FootMeasure(estimate, "estimated", RATIO_NOTE))


def _relative_sd(name: str) -> float:
    ratio = RATIOS[name].times.estimate
    return ratio.sd / ratio.value


def _ratio(name: str) -> tuple[float, float]:
    """An adult ratio and its relative sd when it is used for a child."""
    widening = fact("children_feet", "adult_ratio_in_children_sd").number
    return RATIOS[name].times.number, hypot(_relative_sd(name), widening)


def _times(base: Estimate, name: str) -> Estimate:
    ratio, relative_sd = _ratio(name)
    value = base.value * ratio
    return Estimate(value, hypot(base.sd * ratio, value * relative_sd), "mm")


def _divided(base: Estimate, name: str) -> Estimate:
    ratio, relative_sd = _ratio(name)
    value = base.value / ratio
    return Estimate(value, hypot(base.sd / ratio, value * relative_sd), "mm")


def _pooled(estimates: list[Estimate]) -> Estimate:
    """Independent estimates of one measure, weighted by 1 / sd squared."""
    weights = [1.0 / estimate.sd**2 for estimate in estimates]
    value = sum(w * one.value for w, one in zip(weights, estimates, strict=True)) / sum(weights)
    return Estimate(value, sqrt(1.0 / sum(weights)), "mm")


def _notes(wearer: WearerGiven, age: float, whole: Mapping[str, FootMeasure]) -> list[str]:
    notes: list[str] = []
    if whole["length"].source == "estimated":
        notes.append(_("the foot's length was not measured: measure it before you knit if you can"))
    by_ratio = [name for name, measure in whole.items() if measure.note == RATIO_NOTE]
    if by_ratio:
        notes.append(
            _("not measured, so by adults' proportions: {by_ratio}", by_ratio=listed(by_ratio))
        )
    growth = growth_mm(age, wearer.sex, months=6.0)
    if growth >= 1.0:
        notes.append(
            _(
                "the foot is likely to grow by some {growth} in half a year",
                growth=format_both(growth),
            )
        )
    return notes


@cache
def _survey() -> dict[str, Any]:
    text = files(facts).joinpath("children_fits.json").read_text(encoding="utf-8")
    survey: dict[str, Any] = json.loads(text)
    return survey


@cache
def _fits() -> tuple[Fit, ...]:
    return tuple(
        Fit(tuple(row["ages"]), row["of"], row["intercept"], row["slopes"], row["sd"])
        for row in _survey()["fits"]
    )


@cache
def _length_rows(sex: Sex) -> dict[int, Estimate]:
    rows = _survey()["length_by_age_girl" if sex is Sex.WOMAN else "length_by_age_boy"]
    return {age: Estimate(mean, sd, "mm") for age, _people, mean, sd in rows}
