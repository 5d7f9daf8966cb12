"""The measures of a foot: which there are, and what is known of each with its error."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sockwright.estimates import THE_ORDER, Derivation, Estimate, rectangular_sd
from sockwright.facts import Fact, fact
from sockwright.measure.population import adult_feet
from sockwright.order.model import FootGiven, Load, Sex
from sockwright.quantities import format_both, format_length
from sockwright.words import Said, by_units, joined, said
from sockwright.words import listed as listed_words

Source = Literal["measured", "estimated"]

MEASURES = (
    "length",
    "ball_girth",
    "instep_girth",
    "heel_girth",
    "ankle_girth",
    "calf_girth",
    "foot_breadth",
    "heel_breadth",
    "ankle_bone_height",
)
"""The names of a foot's measures, in the order they are printed."""


SPOKEN = {
    "length": said("foot length"),
    "ball_girth": said("ball girth"),
    "instep_girth": said("instep girth"),
    "heel_girth": said("heel girth"),
    "ankle_girth": said("ankle girth"),
    "calf_girth": said("calf girth"),
    "foot_breadth": said("foot breadth"),
    "heel_breadth": said("heel breadth"),
    "ankle_bone_height": said("ankle bone height"),
    "stature": said("stature"),
    "weight": said("weight"),
}
"""What they, and what else tells of a foot, are called in a sentence."""


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
    """A foot, all in mm.

    `length` heel to longest toe; `ball_girth` round the ball; `instep_girth` round the middle of
    the foot; `heel_girth` under the heel and over the bend of the ankle; `ankle_girth` the
    smallest above the ankle bones; `calf_girth` the largest; `foot_breadth` at the ball;
    `heel_breadth`; `ankle_bone_height` floor to the outer ankle bone. `notes` speak of the whole
    foot.
    """

    length: FootMeasure
    ball_girth: FootMeasure
    instep_girth: FootMeasure
    heel_girth: FootMeasure
    ankle_girth: FootMeasure
    calf_girth: FootMeasure
    foot_breadth: FootMeasure
    heel_breadth: FootMeasure
    ankle_bone_height: FootMeasure
    notes: tuple[str, ...] = ()

    def measures(self) -> dict[str, FootMeasure]:
        """The measures by their names, in the order of MEASURES."""
        return {name: getattr(self, name) for name in MEASURES}


def spoken(name: str) -> Said:
    """A measure's name as it is said: "ball girth"."""
    return SPOKEN.get(name) or said(name.replace("_", " "))


def listed(names: list[str]) -> Said:
    """Names of measures as a list in words: "foot length, ball girth and weight"."""
    return listed_words([spoken(name) for name in names])


SWELLING = ("length", "ball_girth", "instep_girth", "heel_girth")
"""Measures known to grow when the foot bears the body."""


def as_measured(foot: FootGiven, sex: Sex) -> dict[str, FootMeasure]:
    """The measures given of `foot`, by name; those not given are left out.

    A traced length has the pencil's thickness d taken off: an upright pencil draws d/2 outside
    the foot at heel and toe. A measure taken sitting keeps its value, and its sd widens by what
    the foot may grow when stood on (facts/measuring.toml).
    """
    given = {name: getattr(foot, f"{name}_mm") for name in MEASURES}
    return {
        name: _measure(name, float(value), foot, sex)
        for name, value in given.items()
        if value is not None
    }


def sitting_growth_mm(name: str, value_mm: float, sex: Sex) -> float:
    """The most a measure of `value_mm` taken sitting can fall short of the standing foot, mm.

    0 for measures of which nothing is known; for `Sex.EITHER` the mean of both. Source: Chinese
    measuring rules (facts/measuring.toml), taken in proportion to the foot (assumption).
    """
    if name not in SWELLING:
        return 0.0
    sexes = (Sex.WOMAN, Sex.MAN) if sex is Sex.EITHER else (sex,)
    shares = [
        _number(f"sitting_{name}_{one.value}") / adult_feet(one).mean_of(name) for one in sexes
    ]
    return value_mm * sum(shares) / len(shares)


def _measure(name: str, value_mm: float, foot: FootGiven, sex: Sex) -> FootMeasure:
    traced = name == "length" and foot.pencil_mm is not None
    spoken, error = SPOKEN[name], reading_error(name, traced)
    reading = Derivation(
        f"reading.{name}",
        said("{measure} as drawn", measure=spoken) if traced else spoken,
        said("the order; {source}", source=error.told),
        origin="measured",
    )
    value = Estimate(value_mm, error.number, "mm", reading).propagated()
    words, formula = [], said("as it was measured")
    if traced and foot.pencil_mm is not None:
        formula = said("length of the outline − thickness of the pencil")
        label = said("thickness of the pencil")
        pencil = Derivation("reading.pencil", label, THE_ORDER, origin="measured")
        value -= Estimate(foot.pencil_mm, 0.0, "mm", pencil)
        words.append(_pencil_words(foot.pencil_mm))
    if foot.load is Load.SITTING and name in SWELLING:
        growth = sitting_growth_mm(name, value.value, sex)
        value += fact("measuring", f"sitting_{name}_{'man' if sex is Sex.MAN else 'woman'}").called(
            f"reading.{name}.sitting",
            said("what it grows by when stood on"),
            Estimate(0.0, rectangular_sd(growth), "mm"),
        )
        words.append(
            said("taken sitting: up to {growth} more when stood on", growth=format_both(growth))
        )
    estimate = value.named(
        f"foot.{name}",
        spoken,
        "mm",
        formula,
        said("the wearer's foot; {source}", source=said(error.source)),
        error.standing,
        origin="measured",
    )
    return FootMeasure(estimate, "measured", joined("; ", words))


def _pencil_words(thickness_mm: float) -> Said:
    """That a pencil so thick was taken off."""
    metric = said("traced, less the pencil's {pencil:g} mm", pencil=thickness_mm)
    inches = format_length(thickness_mm, "in")
    return by_units(metric, **{"in": said("traced, less the pencil's {pencil}", pencil=inches)})


def reading_error(name: str, traced: bool) -> Fact:
    """The sd, mm, of reading one measure by hand; `traced` is a length off an outline."""
    if name == "length":
        return fact("measuring", "traced_length_sd" if traced else "length_sd")
    return fact("measuring", f"{name.rsplit('_', maxsplit=1)[-1]}_sd")


def _number(name: str) -> float:
    return fact("measuring", name).number
