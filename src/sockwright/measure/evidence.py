"""A Gaussian belief about several named numbers, and how readings change it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
import numpy.typing as npt

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
