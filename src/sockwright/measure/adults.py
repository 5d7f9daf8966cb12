"""The unmeasured parts of an adult's foot, predicted from what was measured of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import hypot

from sockwright.errors import OrderError, Problem
from sockwright.estimates import Derivation, Estimate
from sockwright.facts import fact
from sockwright.facts.feet import foot_measures
from sockwright.i18n import N_, _, numeral
from sockwright.measure.foot_measures import MEASURES, Foot, FootMeasure, listed, spoken
from sockwright.measure.population import Population, Prediction, adult_feet, shoe_foot_length
from sockwright.order.model import Sex, WearerGiven
from sockwright.quantities import format_both

ANSUR = _("ANSUR II (Gordon et al. 2014, NATICK/TR-15/007)")

NORMAL_95 = 1.96  # half-width of the middle 95 % of a Gaussian, in sds

PEOPLE = {
    Sex.WOMAN: _("women's"),
    Sex.MAN: _("men's"),
    Sex.EITHER: _("women's and men's"),
}
"""Whose feet a table holds, in words."""


def adult_foot(wearer: WearerGiven, measured: Mapping[str, FootMeasure]) -> Foot:
    """The whole foot of an adult: `measured` as it is, the rest from ANSUR II, or by the
    regressions of facts/foot_measures.toml.

    Raises OrderError if nothing tells the foot's length, or if something has to be predicted of a
    foot shorter than any adult's in the survey.
    """
    survey = adult_feet(wearer.sex)
    measures = {**_shoe_length(wearer, measured), **measured}
    known = known_of(wearer, measured)
    if "length" not in known and "stature" not in known:
        raise OrderError((_no_length(),))
    predicted, telling = survey.predict(known), Prediction(known, survey.predict)
    whole = {
        name: measures.get(name)
        or FootMeasure(
            telling.named(name, spoken(name), predicted[name], *_survey(name, wearer.sex)),
            "estimated",
            _origin(name, wearer.sex, survey, known),
        )
        for name in MEASURES
    }
    if len(measured) < len(MEASURES):
        _refuse_too_short(wearer, whole["length"])
    odd = _unusual(survey, measured, known)
    return Foot(whole, (*_notes(wearer, whole), *odd.values()), odd)


def _survey(name: str, sex: Sex) -> tuple[str, str]:
    """The survey that predicts a measure, and its standing for this sex."""
    other = foot_measures()[name].adults
    if other is None:
        return ANSUR, "published"
    fits = sex is Sex.MAN or not other.men_only
    return _(other.survey), other.standing if fits else "derived"


def known_of(wearer: WearerGiven, measured: Mapping[str, FootMeasure]) -> dict[str, Estimate]:
    """What an adult's unmeasured measures are predicted from: those `measured`, a length by the
    shoe size where it is not, stature and weight (mm, kg)."""
    measures = {**_shoe_length(wearer, measured), **measured}
    return {name: measure.estimate for name, measure in measures.items()} | body(wearer)


def _origin(name: str, sex: Sex, survey: Population, known: Mapping[str, Estimate]) -> str:
    """Where an estimated measure comes from: not all are columns of ANSUR II."""
    other = foot_measures()[name].adults
    if other is None:
        people = _("{people:,} {whose} feet (ANSUR II)", people=survey.people, whose=PEOPLE[sex])
        return _(
            "estimated from {known}, by a survey of {people}",
            known=listed(list(known)),
            people=people,
        )
    note = _(other.note)
    if sex is Sex.MAN or not other.men_only:
        return note
    return _("{note}, for want of a survey of women's", note=note)


def body(wearer: WearerGiven) -> dict[str, Estimate]:
    """Stature and weight as given, with the sds of facts/measuring.toml (mm, kg)."""
    given = {"stature": wearer.stature_mm, "weight": wearer.weight_kg}
    return {name: _read(name, value) for name, value in given.items() if value is not None}


def _read(name: str, value: float) -> Estimate:
    error = fact("measuring", f"{name}_sd")
    source = _("the order; {source}", source=error.told)
    how = Derivation(f"wearer.{name}", spoken(name), source, origin="measured")
    return Estimate(value, error.number, error.unit, how)


def shoe_words(wearer: WearerGiven) -> str:
    """How a length from the wearer's shoe size is explained; "" if no size was given."""
    if wearer.shoe is None:
        return ""
    sd = shoe_foot_length(wearer.shoe).sd
    size = f"{wearer.shoe.system.value} {wearer.shoe.size:g}"
    return _(
        "estimated from shoe size {size}, {sd} either way", size=numeral(size), sd=format_both(sd)
    )


def _shoe_length(
    wearer: WearerGiven, measured: Mapping[str, FootMeasure]
) -> dict[str, FootMeasure]:
    if wearer.shoe is None or "length" in measured:
        return {}
    length = shoe_foot_length(wearer.shoe)
    return {"length": FootMeasure(length, "estimated", shoe_words(wearer))}


def _no_length() -> Problem:
    return Problem(
        "foot.length",
        _("the foot has no length"),
        _("give its length, or else a shoe size or the wearer's stature"),
    )


def _refuse_too_short(wearer: WearerGiven, length: FootMeasure) -> None:
    shortest = fact("children_feet", "smallest_adult_length").number
    if length.estimate.value >= shortest:
        return
    template = N_("a foot of {length} is shorter than any adult's foot")
    if length.note:
        template = N_("a foot of {length}, {origin}, is shorter than any adult's foot")
    wrong = _(template, length=format_both(length.estimate.value), origin=length.note)
    if wearer.age_years is None:
        right = _(
            "an adult's is {shortest} or more. For a child give wearer.age",
            shortest=format_both(shortest),
        )
    else:
        right = _(
            "measure all of it, for nothing can be estimated below {shortest}",
            shortest=format_both(shortest),
        )
    raise OrderError((Problem(_length_key(wearer, length), wrong, right),))


def _length_key(wearer: WearerGiven, length: FootMeasure) -> str:
    """The key of an order that tells this length."""
    if length.source == "measured":
        return "foot.length"
    return "wearer.stature" if wearer.shoe is None else "wearer.shoe_size"


def _notes(wearer: WearerGiven, whole: Mapping[str, FootMeasure]) -> list[str]:
    notes: list[str] = []
    if wearer.sex is Sex.EITHER and any(one.source == "estimated" for one in whole.values()):
        notes.append(
            _(
                "no table of women's or men's feet was chosen: what is not measured comes "
                "from both, two thirds of them men's, and is less sure"
            )
        )
    if whole["length"].source == "estimated":
        notes.append(_("the foot's length was not measured: measure it before you knit if you can"))
    return notes


def _unusual(
    survey: Population, measured: Mapping[str, FootMeasure], known: Mapping[str, Estimate]
) -> dict[str, str]:
    """A note for each measure that hardly goes with the others: likely a slip of the tape. The
    worst is set aside before the others are looked at, for it makes all of them look odd."""
    notes: dict[str, str] = {}
    left = dict(known)
    while worst := _worst(survey, [name for name in measured if name in left], left):
        name, likely = worst
        low, high = likely.value - NORMAL_95 * likely.sd, likely.value + NORMAL_95 * likely.sd
        notes[name] = _(
            "{name} {known} is unusual beside all else "
            "given, which would have {low} to {high}: measure again",
            name=spoken(name),
            known=format_both(known[name].value),
            low=format_both(low),
            high=format_both(high),
        )
        del left[name]
    return notes


def _worst(
    survey: Population, names: Sequence[str], known: Mapping[str, Estimate]
) -> tuple[str, Estimate] | None:
    """The measure farthest from what all others let expect, and that with the sd of both; None
    where none is too far off."""
    found, worst = None, fact("measuring", "unusual_beyond_sds").number
    for name in names:
        others = {other: value for other, value in known.items() if other != name}
        if not others:
            continue
        likely = survey.predict(others)[name]
        sd = hypot(likely.sd, known[name].sd)
        apart = abs(known[name].value - likely.value) / sd
        if apart > worst:
            found, worst = (name, replace(likely, sd=sd)), apart
    return found
