"""A Gaussian belief about some named numbers: how readings change it, what parts its error has."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log, sqrt

import numpy as np
import numpy.typing as npt

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.swatch import FINENESS, Observation, Row, tex_error
from sockwright.measure.yarn import (
    areal_mass_g_m2,
    course_mm,
    drape_tightness,
    loop_for_tightness_mm,
    loops_per_cm2,
    munden_of,
    wale_mm,
)
from sockwright.order.model import Drape, State

Array = npt.NDArray[np.float64]

MANY = 60
"""Readings from which on the equations are solved for the numbers, which are fewer."""


@dataclass(frozen=True, eq=False)
class Belief:
    """What is believed of n named numbers: `mean` (n,) and `cov` (n, n)."""

    names: tuple[str, ...]
    mean: Array
    cov: Array

    def with_errors(self, sds: dict[str, float]) -> Belief:
        """The belief and further independent errors of mean 0 by name, each with its sd."""
        fresh = {name: sd for name, sd in sds.items() if name not in self.names}
        size = len(self.names) + len(fresh)
        cov = np.zeros((size, size))
        cov[: len(self.names), : len(self.names)] = self.cov
        spread = np.array(list(fresh.values()), dtype=np.float64)
        cov[range(len(self.names), size), range(len(self.names), size)] = spread**2
        return Belief(
            self.names + tuple(fresh), np.concatenate([self.mean, np.zeros(len(fresh))]), cov
        )

    def row(self, coefficients: Mapping[str, float]) -> Array:
        """The row (n,) that takes each named number so many times."""
        return np.array([coefficients.get(name, 0.0) for name in self.names])

    def sd(self, row: Array) -> float:
        """Standard deviation of the sum that `row` (n,) takes."""
        return sqrt(max(0.0, float(row @ self.cov @ row)))


def update(belief: Belief, rows: Array, values: Array, sds: Array) -> Belief:
    """The belief after readings values = rows @ x + error, errors independent with `sds`.

    Shapes: rows (m, n), values (m,), sds (m,), every sd above zero. Joseph's form keeps the
    covariance symmetric and positive semidefinite.
    """
    if not len(values):
        return belief
    gain = gain_of(belief, rows, sds)
    kept = np.eye(len(belief.mean)) - gain @ rows
    cov = kept @ belief.cov @ kept.T + (gain * sds**2) @ gain.T
    mean = belief.mean + gain @ (values - rows @ belief.mean)
    return Belief(belief.names, mean, (cov + cov.T) / 2)


def gain_of(belief: Belief, rows: Array, sds: Array) -> Array:
    """How far each reading moves each named number, (n, m); shapes as in `update`.

    Many readings are solved for in as many equations as there are numbers (Woodbury's identity),
    so that the work grows with the readings and not with their cube.
    """
    if len(sds) > MANY:
        moved = belief.cov @ (rows / sds[:, np.newaxis] ** 2).T
        return np.asarray(np.linalg.solve(np.eye(len(belief.mean)) + moved @ rows, moved))
    seen = rows @ belief.cov @ rows.T + np.diag(sds**2)
    return np.asarray(np.linalg.solve(seen, rows @ belief.cov).T)


def stack(rows: Sequence[Array], width: int) -> Array:
    """Rows (n,) as one matrix (m, n), also when there are none."""
    return np.array(rows).reshape(len(rows), width)


NAMES = ("wale", "course", "loop")
TIGHTNESS_ROW: Mapping[str, float] = {"loop": -1.0, FINENESS: 0.5}
AREAL_MASS_ROW: Mapping[str, float] = {"wale": -1.0, "course": -1.0, "loop": 1.0, FINENESS: 1.0}
"""How often ln tightness and ln areal mass take each believed number."""


@dataclass(frozen=True, eq=False)
class YarnErrors:
    """The independent errors behind what the yarn alone predicts: those of Kw, Kc, K and of its
    fineness. `sds` (4,) are relative; `grown` (4, 4) takes them to ln w, ln h, ln l, fineness."""

    sds: Array
    grown: Array


def yarn_errors(yarn_tex: Estimate) -> YarnErrors:
    """The errors of Munden's constants, of the wish for a drape and of the yarn's fineness."""
    constants_sd = fact("constants", "munden_relative_sd").number
    wish_sd = fact("gauge", "wish_relative_sd").number
    # Rows w, h, l, fineness; columns Kw, Kc, K, fineness.
    grown = np.array(
        [[-1.0, 0.0, -1.0, 0.5], [0.0, -1.0, -1.0, 0.5], [0.0, 0.0, -1.0, 0.5], [0, 0, 0, 1.0]]
    )
    sds = np.array([constants_sd, constants_sd, wish_sd, tex_error(yarn_tex).sd])
    return YarnErrors(sds, grown)


def from_yarn(yarn_tex: Estimate, drape: Drape) -> Belief:
    """The belief before any swatch: loop from the yarn and the wished drape, w and h from l.

    l = sqrt(tex)/K, w = l/Kw, h = l/Kc with the wet relaxed constants (Munden 1959, from memory),
    each with its own relative sd; the yarn's fineness stays correlated with all three.
    """
    loop_mm = loop_for_tightness_mm(yarn_tex.value, drape_tightness(drape))
    washed = munden_of(State.WASHED)
    middle = np.log([wale_mm(loop_mm, washed), course_mm(loop_mm, washed), loop_mm, 1.0])
    errors = yarn_errors(yarn_tex)
    return Belief(
        (*NAMES, FINENESS),
        middle,
        (errors.grown * errors.sds**2) @ errors.grown.T,
    )


def believe(belief: Belief, observations: Sequence[Observation]) -> Belief:
    """The belief after the observations; their order does not matter."""
    wider, rows = equations(belief, observations)
    values = np.array([seen.value for seen in observations])
    return update(wider, rows, values, np.array([seen.sd for seen in observations]))


def equations(belief: Belief, observations: Sequence[Observation]) -> tuple[Belief, Array]:
    """The belief widened by the observations' shared errors, and the rows (m, n) upon it."""
    wider = belief.with_errors(
        {error.name: error.sd for seen in observations for error, _ in seen.shared}
    )
    rows = [wider.row(_coefficients(seen.row, seen)) for seen in observations]
    return wider, stack(rows, len(wider.names))


def tightness(belief: Belief, yarn_tex: Estimate) -> Estimate:
    """Tightness factor sqrt(tex)/l, tex^0.5/mm, with the errors of both in step."""
    row = belief.row(TIGHTNESS_ROW)
    value = float(np.exp(log(yarn_tex.value) / 2 + row @ belief.mean))
    return Estimate(value, value * belief.sd(row), "tex^0.5/mm")


def areal_mass(belief: Belief, yarn_tex: Estimate) -> Estimate:
    """Mass of the fabric, g/m2, with the errors of wale, course, loop and fineness in step."""
    fineness = belief.row({FINENESS: 1.0})
    tex = yarn_tex.value * float(np.exp(fineness @ belief.mean))
    wale, course, loop = (length(belief, name).value for name in NAMES)
    value = areal_mass_g_m2(loops_per_cm2(course, wale), loop, tex)
    row = belief.row(AREAL_MASS_ROW)
    return Estimate(value, value * belief.sd(row), "g/m2")


def length(belief: Belief, name: str) -> Estimate:
    """The believed "wale", "course" or "loop" in mm."""
    row = belief.row({name: 1.0})
    value = float(np.exp(row @ belief.mean))
    return Estimate(value, value * belief.sd(row), "mm")


def _coefficients(row: Row, seen: Observation) -> dict[str, float]:
    return dict(zip(NAMES, row, strict=True)) | {e.name: times for e, times in seen.shared}


OF_KW, OF_KC, OF_WISH = "Kw", "Kc", "K"
YARN_PARTS = (OF_KW, OF_KC, OF_WISH, FINENESS)
"""The errors behind what the yarn alone predicts, in the order of `yarn_errors`."""


@dataclass(frozen=True)
class ErrorPart:
    """One error: its `name`, its own relative `sd`, and the `variance` it brings to the logarithm
    of the number. `place` is that of the observation whose own error it is, None for an error
    that readings share or that the yarn brings."""

    name: str
    sd: float
    variance: float
    place: int | None = None


def error_parts(
    yarn_tex: Estimate,
    drape: Drape,
    observations: Sequence[Observation],
    coefficients: Mapping[str, float],
) -> tuple[ErrorPart, ...]:
    """The parts of the variance of a sum of believed logarithms, as `coefficients` take them.

    The estimate's error is a weighted sum of independent errors, and its weights are those of the
    update: so the parts add up to the whole variance. As the update weighs best, each part is
    also by how much the variance falls, at first, with that of its error.
    """
    errors = yarn_errors(yarn_tex)
    wider, rows = equations(from_yarn(yarn_tex, drape), observations)
    own_sds = np.array([seen.sd for seen in observations])
    taken = wider.row(coefficients) @ gain_of(wider, rows, own_sds)
    left = wider.row(coefficients) - taken @ rows
    size = len(YARN_PARTS)
    # The yarn's names come first in a belief, then the errors that readings share.
    through_yarn = left[:size] @ errors.grown * errors.sds
    shared_sds = np.sqrt(np.diag(wider.cov))[size:]
    return (
        *_parts(YARN_PARTS, errors.sds, through_yarn),
        *_parts(wider.names[size:], shared_sds, left[size:] * shared_sds),
        *(
            ErrorPart(seen.label, seen.sd, float(taken[place] * seen.sd) ** 2, place)
            for place, seen in enumerate(observations)
        ),
    )


def _parts(names: Sequence[str], sds: Iterable[float], effects: Iterable[float]) -> list[ErrorPart]:
    return [
        ErrorPart(name, float(sd), float(effect) ** 2)
        for name, sd, effect in zip(names, sds, effects, strict=True)
    ]
