"""The measures of a foot: which there are, and what is known of each with its error."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from sockwright.estimates import THE_ORDER, Derivation, Estimate, rectangular_sd
from sockwright.facts import Fact
from sockwright.facts.feet import foot_measures
from sockwright.i18n import Message, _, by_units, joined
from sockwright.i18n import listed as listed_words
from sockwright.measure.population import adult_feet
from sockwright.order.model import FootGiven, Load, Sex
from sockwright.quantities import format_both, format_length

Source = Literal["measured", "estimated"]

MEASURES = tuple(foot_measures())
"""The names of a foot's measures, in the order they are printed."""

BODY = {"stature": _("stature"), "weight": _("weight")}
"""What else tells of a foot."""


@dataclass(frozen=True)
class FootMeasure:
    """One measure of a foot in mm, where it comes from and what should be said of it."""

    estimate: Estimate
    source: Source
    note: str = ""

    def as_data(self) -> dict[str, float | str]:
        """The measure as JSON-ready data."""
        return {**self.estimate.as_data(), "source": self.source, "note": self.note}


@dataclass(frozen=True)
class Foot:
    """A foot, all in mm: every measure of `facts/foot_measures.toml` by its name, those that
    formulas name as attributes too. `notes` speak of the whole foot; `unusual` are those
    of measures that hardly go with the others, likely slips of the tape."""

    by_name: Mapping[str, FootMeasure]
    notes: tuple[str, ...] = ()
    unusual: Mapping[str, str] = field(default_factory=dict)

    def measures(self) -> dict[str, FootMeasure]:
        """The measures by their names, in the order of MEASURES."""
        return {name: self.by_name[name] for name in MEASURES}

    @property
    def length(self) -> FootMeasure:
        """From heel to longest toe."""
        return self.by_name["length"]

    @property
    def ball_girth(self) -> FootMeasure:
        """Round the ball."""
        return self.by_name["ball_girth"]

    @property
    def heel_girth(self) -> FootMeasure:
        """Under the heel and over the bend of the ankle."""
        return self.by_name["heel_girth"]

    @property
    def ankle_girth(self) -> FootMeasure:
        """The smallest above the ankle bones."""
        return self.by_name["ankle_girth"]

    @property
    def calf_girth(self) -> FootMeasure:
        """The largest of the leg."""
        return self.by_name["calf_girth"]


def spoken(name: str) -> Message:
    """What a measure, or what else tells of a foot, is called in a sentence: "ball girth"."""
    return BODY[name] if name in BODY else _(foot_measures()[name].label)


def listed(names: Iterable[str]) -> Message:
    """Names of measures as a list in words: "foot length, ball girth and weight"."""
    return listed_words([spoken(name) for name in names])


def swells(name: str) -> bool:
    """Whether a measure is known to grow when the foot bears the body."""
    return bool(foot_measures()[name].swells)


def as_measured(foot: FootGiven, sex: Sex) -> dict[str, FootMeasure]:
    """The measures given of `foot`, by name; those not given are left out.

    A traced length has the pencil's thickness d taken off: an upright pencil draws d/2 outside
    the foot at heel and toe. A measure taken sitting keeps its value, and its sd widens by what
    the foot may grow when stood on (facts/foot_measures.toml).
    """
    return {name: _measure(name, float(mm), foot, sex) for name, mm in foot.measures_mm}


def sitting_growth_mm(name: str, value_mm: float, sex: Sex) -> float:
    """The most a measure of `value_mm` taken sitting can fall short of the standing foot, mm.

    0 for measures of which nothing is known; for `Sex.EITHER` the mean of both. Source: Chinese
    measuring rules (facts/foot_measures.toml), taken in proportion to the foot (assumption).
    """
    if not swells(name):
        return 0.0
    most = foot_measures()[name].swells
    sexes = (Sex.WOMAN, Sex.MAN) if sex is Sex.EITHER else (sex,)
    shares = [most[one.value].number / adult_feet(one).mean_of(name) for one in sexes]
    return value_mm * sum(shares) / len(shares)


def _measure(name: str, value_mm: float, foot: FootGiven, sex: Sex) -> FootMeasure:
    traced = name == "length" and foot.pencil_mm is not None
    called, error = spoken(name), reading_error(name, traced)
    reading = Derivation(
        f"reading.{name}",
        _("{measure} as drawn", measure=called) if traced else called,
        _("the order; {source}", source=error.told),
        origin="measured",
    )
    value = Estimate(value_mm, error.number, "mm", reading).propagated()
    words, formula = [], _("as it was measured")
    if traced and foot.pencil_mm is not None:
        formula = _("length of the outline − thickness of the pencil")
        label = _("thickness of the pencil")
        pencil = Derivation("reading.pencil", label, THE_ORDER, origin="measured")
        value -= Estimate(foot.pencil_mm, 0.0, "mm", pencil)
        words.append(_pencil_words(foot.pencil_mm))
    if foot.load is Load.SITTING and swells(name):
        growth = sitting_growth_mm(name, value.value, sex)
        most = foot_measures()[name].swells["man" if sex is Sex.MAN else "woman"]
        value += most.called(
            f"reading.{name}.sitting",
            _("what it grows by when stood on"),
            Estimate(0.0, rectangular_sd(growth), "mm"),
        )
        words.append(
            _("taken sitting: up to {growth} more when stood on", growth=format_both(growth))
        )
    estimate = value.named(
        f"foot.{name}",
        called,
        "mm",
        formula,
        _("the wearer's foot; {source}", source=_(error.source)),
        error.standing,
        origin="measured",
    )
    return FootMeasure(estimate, "measured", joined("; ", words))


def _pencil_words(thickness_mm: float) -> Message:
    """That a pencil so thick was taken off."""
    metric = _("traced, less the pencil's {pencil:g} mm", pencil=thickness_mm)
    inches = format_length(thickness_mm, "in")
    return by_units(metric, **{"in": _("traced, less the pencil's {pencil}", pencil=inches)})


def reading_error(name: str, traced: bool) -> Fact:
    """The sd, mm, of reading one measure by hand; `traced` is a length off an outline."""
    one = foot_measures()[name]
    return one.traced if traced and one.traced else one.error
