"""What surveys of people predict of one person, and the shoe sizes of a foot.

A survey is kept as the means and covariances of its columns, and taken as jointly Gaussian: what
is known, each with its measuring error, conditions the rest.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import floor
from typing import Any

import numpy as np
import numpy.typing as npt

from sockwright import facts
from sockwright.estimates import Estimate
from sockwright.facts import fact
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

    def foretell(self, known: Mapping[str, Estimate]) -> dict[str, Estimate]:
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


@cache
def adult_feet(sex: Sex) -> Population:
    """The feet of adults, as ANSUR II found them, with the instep girth added to its columns.

    Instep girth is no column of ANSUR II: it is the regression on foot length and ball girth of
    57 men of the USAF survey of 1967, and given those two independent of all else (assumption).
    The people are soldiers: of 507 civilians' ankles and calves, foretold from stature and weight,
    83 to 97 % lie in what should hold 95 % (bdims: Heinz et al., J. Stat. Educ. 11(2), 2003).
    """
    data = _survey()
    rows, instep = data[sex.value], data["instep_girth"]
    columns = tuple(data["columns"])
    slopes = np.array([instep.get(column, 0.0) for column in columns])
    mean, cov = np.array(rows["mean"]), np.array(rows["cov"])
    beside = cov @ slopes
    instep_variance = slopes @ beside + instep["sd"] ** 2
    return Population(
        columns=(*columns, "instep_girth"),
        mean=np.append(mean, instep["intercept"] + slopes @ mean),
        cov=np.block([[cov, beside[:, None]], [beside[None, :], instep_variance]]),
        people=rows["people"],
        source=data["source"],
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
    sd = fact("measuring", "child_shoe_sd" if shoe.system in CHILD_SYSTEMS else "adult_shoe_sd")
    scale = _scale(shoe.system)
    return Estimate((shoe.size - scale.offset) / scale.per_mm, sd.number, "mm")


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
