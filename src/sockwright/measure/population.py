"""What surveys of people predict of one person, and the shoe sizes of a foot.

A survey is kept as the means and covariances of its columns, and taken as jointly Gaussian: what
is known, each with its measuring error, conditions the rest.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial
from importlib.resources import files
from math import floor, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt

from sockwright import facts
from sockwright.estimates import LEAST_SHARE, THE_ORDER, Derivation, Estimate, Input
from sockwright.facts import fact
from sockwright.facts.feet import Regression, foot_measures
from sockwright.i18n import _
from sockwright.order.model import Sex, ShoeSize, ShoeSystem

FloatArray = npt.NDArray[np.float64]


def condition(
    mean: FloatArray, cov: FloatArray, known: Mapping[int, tuple[float, float]]
) -> tuple[FloatArray, FloatArray]:
    """Mean (n,) and covariance (n, n) of a Gaussian once some of its entries are measured.

    `mean` (n,) and `cov` (n, n) describe the population; `known` maps an entry's index to the
    reading and the sd of its measuring error (0 for an exact reading), in the entry's own unit.
    Nothing is changed in place. Source: the conditional distribution of a multivariate normal,
    any textbook of multivariate statistics.
    """
    if not known:
        return mean.copy(), cov.copy()
    at = sorted(known)
    readings = np.array([known[index][0] for index in at])
    noise = np.diag([known[index][1] ** 2 for index in at])
    gain = np.linalg.solve(cov[np.ix_(at, at)] + noise, cov[at, :]).T
    # Joseph's form: a sum of two squares, so that rounding cannot make a variance negative.
    kept = np.eye(len(mean))
    kept[:, at] -= gain
    after = kept @ cov @ kept.T + gain @ noise @ gain.T
    return mean + gain @ (readings - mean[at]), (after + after.T) / 2.0


@dataclass(frozen=True)
class Population:
    """A survey: its columns, their means (n,) and covariances (n, n), mm and kg, its people."""

    columns: tuple[str, ...]
    mean: FloatArray
    cov: FloatArray
    people: int
    source: str

    def mean_of(self, column: str) -> float:
        """The survey's mean of a column."""
        return float(self.mean[self.columns.index(column)])

    def predict(self, known: Mapping[str, Estimate]) -> dict[str, Estimate]:
        """Every column's estimate from the `known` columns (value and measuring sd).

        A known column comes back too, moved toward what the others make likely.
        KeyError for a column the survey does not have.
        """
        index = {column: number for number, column in enumerate(self.columns)}
        readings = {index[name]: (reading.value, reading.sd) for name, reading in known.items()}
        mean, cov = condition(self.mean, self.cov, readings)
        sds = np.sqrt(np.diag(cov))
        return {
            column: Estimate(float(mean[number]), float(sds[number]), _unit(column))
            for column, number in index.items()
        }


STEP = 1e-4
"""By what share a variance is changed to see what comes of it."""

Known = Mapping[str, Estimate]


@dataclass(frozen=True)
class Prediction:
    """Measures that a survey predicts (`work`) from what is `known`, by name."""

    known: Known
    work: Callable[[Known], Known]

    def named(self, name: str, label: str, value: Estimate, source: str, standing: str) -> Estimate:
        """One of them with its derivation: by how much each known thing makes it uncertain; what
        is missing to the whole is how much people with these measures differ."""
        formula = _(
            "what the survey's people with these measures have on average, each measure with the "
            "weight that goes with how surely it is known"
        )
        take = partial(self._inputs, name, value, source)
        how = Derivation(f"foot.{name}", label, source, formula, standing, take=take)
        return value.called(how)

    def _inputs(self, name: str, value: Estimate, source: str) -> tuple[Input, ...]:
        shares = self._shares.get(name, {})
        told = [Input(self.known[each], part) for each, part in shares.items()]
        told = sorted((one for one in told if one.share >= LEAST_SHARE), key=lambda one: -one.share)
        return (*told, how_people_differ(name, value, source, told))

    @cached_property
    def _shares(self) -> Mapping[str, Mapping[str, float]]:
        """For every measure by what share its variance falls with that of each known thing.

        A predicted variance is linear in small changes of the known ones, and grows as they all do.
        """
        now = self.work(self.known)
        changed = {
            name: [
                self.work({**self.known, name: replace(one, sd=one.sd * (1 + step) ** 0.5)})
                for step in (-STEP, STEP)
            ]
            for name, one in self.known.items()
            if one.sd
        }
        return {
            measure: {
                name: (more[measure].sd ** 2 - less[measure].sd ** 2) / (2 * STEP * whole.sd**2)
                for name, (less, more) in changed.items()
            }
            for measure, whole in now.items()
            if whole.sd
        }


def how_people_differ(
    name: str, value: Estimate, source: str, inputs: Sequence[Input] = ()
) -> Input:
    """What is left of the variance of a measure that a survey predicts."""
    rest = max(0.0, 1.0 - sum(each.share for each in inputs)) if value.sd else 0.0
    label = _("how much people alike in these differ")
    how = Derivation(f"survey.{name}", label, source, origin="table")
    return Input(Estimate(0.0, value.sd * sqrt(rest), "mm", how), rest)


@cache
def adult_feet(sex: Sex) -> Population:
    """The feet of adults, as ANSUR II found them, with the measures added that it had not.

    Those are regressions on its columns, of the instep girth on foot length and ball girth of 57
    men of the USAF survey of 1967, and given these independent of all else (assumption).
    The people are soldiers: of 507 civilians' ankles and calves, predicted from stature and weight,
    83 to 97 % lie in what should hold 95 % (bdims: Heinz et al., J. Stat. Educ. 11(2), 2003).
    """
    data = _survey()
    rows = data[sex.value]
    columns, mean, cov = tuple(data["columns"]), np.array(rows["mean"]), np.array(rows["cov"])
    for name, measure in foot_measures().items():
        if measure.adults is not None:
            mean, cov = _beside(columns, mean, cov, measure.adults)
            columns = (*columns, name)
    return Population(columns, mean, cov, people=rows["people"], source=data["source"])


def _beside(
    columns: Sequence[str], mean: FloatArray, cov: FloatArray, by: Regression
) -> tuple[FloatArray, FloatArray]:
    """Mean (n + 1,) and covariance (n + 1, n + 1) with a measure that follows from the others."""
    slopes = np.array([by.slopes.get(column, 0.0) for column in columns])
    beside = cov @ slopes
    variance = slopes @ beside + by.sd**2
    return (
        np.append(mean, by.intercept + slopes @ mean),
        np.block([[cov, beside[:, None]], [beside[None, :], variance]]),
    )


@cache
def _survey() -> dict[str, Any]:
    text = files(facts).joinpath("adult_feet.json").read_text(encoding="utf-8")
    survey: dict[str, Any] = json.loads(text)
    return survey


def _unit(column: str) -> str:
    return "kg" if column == "weight" else "mm"


MM_PER_INCH = 25.4  # exact: international yard and pound agreement, 1959
MM_PER_CM = 10.0

CHILD_SYSTEMS = (ShoeSystem.EU_CHILD, ShoeSystem.UK_CHILD, ShoeSystem.US_CHILD)
"""Systems of children's sizes."""

ADULT_SYSTEMS = (ShoeSystem.EU, ShoeSystem.UK, ShoeSystem.US_MEN, ShoeSystem.US_WOMEN)
"""Systems of adults' sizes that are counted in sizes, not in mm."""


@dataclass(frozen=True)
class _Scale:
    """size = per_mm x foot length + offset."""

    per_mm: float
    offset: float


def shoe_foot_length(shoe: ShoeSize) -> Estimate:
    """The foot length in mm that a shoe size stands for, with the wide sd of a shoe size.

    Formulas as in printed conversion tables (facts/shoe_sizes.toml); the sd, 6 mm for adults' and
    8 mm for children's sizes, because makers' shoes of one size differ by that (measuring.toml).
    """
    error = fact("measuring", "child_shoe_sd" if shoe.system in CHILD_SYSTEMS else "adult_shoe_sd")
    scale, system = _scale(shoe.system), shoe.system.value
    label = _("shoe size {system}", system=system)
    given = Derivation("wearer.shoe_size", label, THE_ORDER, origin="measured")
    makers = error.called(
        "wearer.shoe_error",
        _("how much shoes of one size differ"),
        Estimate(0.0, error.number, "mm"),
    )
    size = Estimate(shoe.size, 0.0, "size", given)
    return ((size - scale.offset) / scale.per_mm + makers).named(
        "foot.length",
        _("foot length"),
        "mm",
        _("(size − offset) ÷ sizes a millimetre, by the printed scale of {system}", system=system),
        _("printed shoe conversions (secondary to ISO 19407:2023)"),
        "published",
    )


def shoe_size(length_mm: float, system: ShoeSystem) -> float:
    """The size in `system` nearest to a foot of `length_mm`: half sizes, or 5 mm Mondopoint."""
    scale = _scale(system)
    step = "mondopoint_class" if system is ShoeSystem.MONDOPOINT else "half"
    return _nearest(scale.per_mm * length_mm + scale.offset, fact("shoe_sizes", step).number)


def adult_shoe_sizes(length_mm: float) -> dict[ShoeSystem, float]:
    """The nearest adult half size in each of ADULT_SYSTEMS for a foot of `length_mm`."""
    return {system: shoe_size(length_mm, system) for system in ADULT_SYSTEMS}


def _scale(system: ShoeSystem) -> _Scale:
    if system is ShoeSystem.MONDOPOINT:
        return _Scale(1.0, 0.0)
    factor = _number("child_factor") if system in CHILD_SYSTEMS else 1.0
    if system in (ShoeSystem.EU, ShoeSystem.EU_CHILD):
        offset = _number("eu_offset") if system is ShoeSystem.EU else 0.0
        return _Scale(factor * _number("eu_per_cm") / MM_PER_CM, offset)
    offset = _number(f"{system.value.lower().replace(' ', '_')}_offset")
    return _Scale(factor * _number("uk_per_inch") / MM_PER_INCH, offset)


def _nearest(size: float, step: float) -> float:
    """Halves go up: a shoe a little long can be worn, one a little short cannot."""
    return floor(size / step + 0.5) * step


def _number(name: str) -> float:
    return fact("shoe_sizes", name).number
