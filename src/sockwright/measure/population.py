"""What a survey of people foretells of someone from the little that is known of her.

A survey is kept as the means and covariances of its columns, and taken as jointly Gaussian: what
is known, each with its measuring error, conditions the rest.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import numpy as np
import numpy.typing as npt

from sockwright import facts
from sockwright.estimates import Estimate
from sockwright.order.model import Sex

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
