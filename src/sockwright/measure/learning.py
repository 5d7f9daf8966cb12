"""What finished socks teach: how a maker's socks come out against her swatches.

A hierarchical model. The gauge of a sock is, in each of ln wale, ln course and ln loop,

    fabric + its own deviation + the maker's bias + the bias of its machine and yarn class + scatter

with the fabric as its swatches leave it, the deviation and biases Gaussian with shares of one
variance tau^2, and the scatter of one sock with variance sigma^2. Neither tau nor sigma is known:
a grid of both is weighed by how well each pair of them explains the socks (empirical weights of
a mixture of Gaussian posteriors; any textbook of Bayesian data analysis). Nothing learnt is
stored: all of it is worked out from all socks each time, so that removing a sock undoes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from math import exp, sqrt

import numpy as np

from sockwright.facts import fact, table
from sockwright.measure.finished import COMPONENTS, Component, SockReading, pooled
from sockwright.measure.swatched import SIZES, Array, Fabrics, Numbers

INTERVAL_SDS = 1.96
"""Half of a 95 % interval, in sds."""
TINY = 1e-300
"""The least weight of a grid point whose logarithm is taken."""


@dataclass(frozen=True)
class Factor:
    """How a number comes out against the swatches alone: e^`shift` times, with the `sd` of the
    shift (relative)."""

    shift: float
    sd: float

    @property
    def value(self) -> float:
        """The factor itself."""
        return exp(self.shift)


@dataclass(frozen=True, eq=False)
class Lesson:
    """What was learnt of one fabric: shapes (4,) and (4, 4), of ln wale, ln course, ln loop (mm)
    and the relative error of its yarn's fineness.

    `mean` and `cov` are what the next sock is planned with, the scatter of a single sock apart;
    `swatch_mean` and `swatch_cov` are the same without learning. `next_mean` and `next_cov` tell
    of the next sock itself, with its scatter, whose expected variance is `scatter`. `taught` says
    whether any sock of the maker was counted; `socks` were of this fabric, `stale` of them from
    before a service.
    """

    mean: Array
    cov: Array
    swatch_mean: Array
    swatch_cov: Array
    next_mean: Array
    next_cov: Array
    scatter: float
    taught: bool
    socks: int
    stale: int

    def factor(self, component: Component) -> Factor:
        """How wale, course or loop come out against the swatches alone; 1 +- 0 without socks."""
        place = COMPONENTS.index(component)
        if not self.taught:
            return Factor(0.0, 0.0)
        shift = float(self.mean[place] - self.swatch_mean[place])
        return Factor(shift, sqrt(self.cov[place, place]))

    def interval(self, component: Component) -> tuple[float, float]:
        """The 95 % interval of the logarithm of the next sock's wale, course or loop (mm)."""
        place = COMPONENTS.index(component)
        reach = INTERVAL_SDS * sqrt(self.next_cov[place, place])
        return float(self.next_mean[place] - reach), float(self.next_mean[place] + reach)


@dataclass(frozen=True)
class OddReading:
    """A reading `sds` predictive standard deviations from what swatches and all other socks let
    expect, below it if negative. It counts with more variance until it is confirmed."""

    sock: int
    fabric: int
    component: Component
    sds: float


@dataclass(frozen=True, eq=False)
class Learned:
    """What finished socks teach of each of the fabrics. `socks` counts all of them, `bias_sd` and
    `scatter_sd` are the root mean squares that they leave of tau and sigma. `fit` is the grid
    behind it, for the parts of a variance."""

    lessons: tuple[Lesson, ...]
    odd: tuple[OddReading, ...]
    socks: int
    bias_sd: float
    scatter_sd: float
    fit: Fit


def learn(fabrics: Fabrics, readings: Sequence[SockReading]) -> Learned:
    """What the readings of finished socks teach of the fabrics.

    Without any reading every lesson's `mean` and `cov` are those of its swatches, so that a plan
    does not change before the first sock: it then knows nothing of the maker's socks, and says so
    by a factor of 1 +- 0. Only `next_cov` has the bias that socks may turn out to have. From the
    first sock on, `cov` has what is left of it, so that it may be wider than without.
    ValueError for a reading of no such fabric.
    """
    seen = pooled(readings)
    if any(not 0 <= each.fabric < len(fabrics) for each in seen):
        raise ValueError(f"fabrics are numbered 0 to {len(fabrics) - 1}")
    fit, odd = _without_odd(_Socks.of(fabrics, seen))
    socks = {(each.sock, each.fabric) for each in seen}
    lessons = _lessons(fabrics, fit, [fabric for _, fabric in socks])
    tau2, sigma2 = (float(fit.weights @ each) for each in (fit.tau2, fit.sigma2))
    return Learned(lessons, odd, len({sock for sock, _ in socks}), sqrt(tau2), sqrt(sigma2), fit)


@dataclass(frozen=True, eq=False)
class _Socks:
    """Pooled readings (R,) of the fabrics: `row` which of 3F wales, courses and loops each reads,
    its `value`, the `variance` of its reading and how many `times` its variance it counts with."""

    fabrics: Fabrics
    readings: tuple[SockReading, ...]
    row: Numbers
    value: Array
    variance: Array
    times: Array

    @classmethod
    def of(cls, fabrics: Fabrics, readings: Sequence[SockReading]) -> _Socks:
        row = [SIZES * one.fabric + COMPONENTS.index(one.component) for one in readings]
        return cls(
            fabrics,
            tuple(readings),
            np.array(row, dtype=np.intp),
            np.array([one.value for one in readings], dtype=np.float64),
            np.array([one.variance for one in readings], dtype=np.float64),
            np.ones(len(readings)),
        )

    def with_less_weight(self, places: Sequence[int]) -> _Socks:
        """The same, some readings counting with more variance."""
        times = self.times.copy()
        times[list(places)] = fact("learning", "odd_variance").number
        return _Socks(self.fabrics, self.readings, self.row, self.value, self.variance, times)


@dataclass(frozen=True, eq=False)
class Fit:
    """The posterior at G grid points: `tau2`, `sigma2` and `weights` (G,).

    M sizes were read: `rows` (M,) says which of the 3F, `reads` (M, n) how often each takes the
    n = 3F + Y numbers of the fabrics. `precise` (G, R) is the precision of each reading with its
    scatter, `precision` (G, M) that of a size's mean and `gap` (G, M) how far that is from what
    swatches say. `linked` (G, n, M) is the prior covariance of numbers and sizes, `inverse`
    (G, M, M) that of the covariance of the gaps.
    """

    socks: _Socks
    tau2: Array
    sigma2: Array
    weights: Array
    rows: Numbers
    reads: Array
    precise: Array
    precision: Array
    gap: Array
    linked: Array
    inverse: Array

    @cached_property
    def place(self) -> Numbers:
        """Which of the M sizes each reading tells of, (R,)."""
        return np.searchsorted(self.rows, self.socks.row)

    @cached_property
    def gain(self) -> Array:
        """How far the mean of each size moves each number, (G, n, M)."""
        return self.linked @ self.inverse

    @cached_property
    def mean(self) -> Array:
        """The numbers at each grid point, biases and deviations in them, (G, n)."""
        return np.asarray(self.socks.fabrics.mean + np.einsum("gnm,gm->gn", self.gain, self.gap))

    @cached_property
    def cov(self) -> Array:
        """Their covariance at each grid point, (G, n, n)."""
        prior = _prior(self.socks.fabrics, self.tau2)
        return prior - self.gain @ self.linked.transpose(0, 2, 1)


@cache
def _grid() -> tuple[Array, Array, Array]:
    """tau^2, sigma^2 and the odds of every grid point before any sock, each (G,)."""
    rows = table("learning")

    def values(name: str) -> Array:
        return np.array([one.number for key, one in rows.items() if key.startswith(name)])

    tau2, sigma2 = np.meshgrid(values("bias_sd") ** 2, values("scatter_sd") ** 2, indexing="ij")
    odds = np.outer(values("bias_odds"), values("scatter_odds"))
    return tau2.ravel(), sigma2.ravel(), odds.ravel() / odds.sum()


def _fit(socks: _Socks) -> Fit:
    """The grid weighed by the evidence of the socks.

    With y = H x + error the means of M sizes, C = S + tau^2 B the prior covariance of x and D that
    of the errors, ln evidence = -1/2 (ln |H C H' + D| + gap' (H C H' + D)^-1 gap), and what the
    readings of one size differ by among themselves.
    """
    tau2, sigma2, odds = _grid()
    rows, place = np.unique(socks.row, return_inverse=True)
    precise = 1 / (socks.times * (socks.variance + sigma2[:, np.newaxis]))
    by_row = np.equal.outer(place, np.arange(len(rows))).astype(np.float64)
    precision = precise @ by_row
    mean = (precise * socks.value) @ by_row / precision
    within = np.sum(precise * (socks.value - mean[:, place]) ** 2, axis=1)
    reads = _reads(socks.fabrics, rows)
    linked = _prior(socks.fabrics, tau2) @ reads.T
    seen = reads @ linked
    seen[:, range(len(rows)), range(len(rows))] += 1 / precision
    inverse = np.asarray(np.linalg.inv(seen), dtype=np.float64)
    gap = mean - reads @ socks.fabrics.mean
    misfit = within + np.einsum("gm,gmk,gk->g", gap, inverse, gap)
    volume = np.linalg.slogdet(seen)[1] + np.sum(np.log(precision), axis=1)
    volume -= np.sum(np.log(precise), axis=1)
    log_odds = np.log(odds) - (misfit + volume) / 2
    weights = np.exp(log_odds - log_odds.max())
    weights /= weights.sum()
    return Fit(socks, tau2, sigma2, weights, rows, reads, precise, precision, gap, linked, inverse)


def _prior(fabrics: Fabrics, tau2: Array) -> Array:
    """Covariance (G, n, n) of the fabrics with their biases, before any sock."""
    return fabrics.cov + tau2[:, np.newaxis, np.newaxis] * _bias(fabrics)


def _reads(fabrics: Fabrics, rows: Numbers) -> Array:
    """How often each reading takes each number, (M, n): a loop is weighed, and so reads the error
    of its yarn's fineness too."""
    reads = np.zeros((len(rows), len(fabrics.mean)))
    reads[np.arange(len(rows)), rows] = 1.0
    for number, row in enumerate(rows):
        fabric, component = divmod(int(row), SIZES)
        if COMPONENTS[component] is Component.LOOP:
            reads[number, fabrics.places(fabric)[SIZES]] = 1.0
    return reads


def _bias(fabrics: Fabrics) -> Array:
    """Covariance (n, n) of biases and own deviations, in units of tau^2."""
    shares = np.full((len(fabrics), len(fabrics)), fact("learning", "maker_share").number)
    alike = np.equal.outer(fabrics.group, fabrics.group)
    shares += fact("learning", "group_share").number * alike
    shares += fact("learning", "own_share").number * np.eye(len(fabrics))
    cov = np.zeros_like(fabrics.cov)
    size = SIZES * len(fabrics)
    cov[:size, :size] = np.kron(shares, np.eye(SIZES))
    return cov


def _without_odd(socks: _Socks) -> tuple[Fit, tuple[OddReading, ...]]:
    """The fit with odd readings counting less. The oddest of each component and group is found
    first, then the rest looked at again without it, so that it makes no others look odd."""
    fit = _fit(socks)
    odd: dict[int, float] = {}
    limit = fact("learning", "odd_sds").number
    while True:
        apart = _apart(fit)
        worst: dict[tuple[int, Component], int] = {}
        for place in np.argsort(-np.abs(apart)):
            one = socks.readings[place]
            if abs(apart[place]) <= limit:
                break
            if place not in odd and not one.confirmed:
                group = int(socks.fabrics.group[one.fabric])
                worst.setdefault((group, one.component), int(place))
        if not worst:
            break
        odd |= {place: float(apart[place]) for place in worst.values()}
        fit = _fit(socks.with_less_weight(tuple(odd)))
    found = ((socks.readings[place], sds) for place, sds in sorted(odd.items()))
    return fit, tuple(OddReading(o.sock, o.fabric, o.component, sds) for o, sds in found)


def _apart(fit: Fit) -> Array:
    """How many sds each reading (R,) is from what swatches and all other readings let expect.

    A size's mean is off its posterior by d = D (H C H' + D)^-1 gap. Of a reading of precision q,
    1 - q p is `left` of its variance, p being the posterior variance of the size. Without that
    reading it is off by (value - posterior) / left, with variance 1 / (q left), and a grid point
    weighs by so much more as it foretold it worse.
    """
    socks, place, precise = fit.socks, fit.place, fit.precise
    error = 1 / fit.precision
    inverse = np.diagonal(fit.inverse, axis1=1, axis2=2)
    left = 1 - precise * (error - error**2 * inverse)[:, place]
    posterior = fit.gap - error * np.einsum("gmk,gk->gm", fit.inverse, fit.gap)
    gap = socks.value - (fit.reads @ socks.fabrics.mean)[place]
    off = (gap - posterior[:, place]) / left
    variance = 1 / (precise * left)
    log_odds = (
        np.log(fit.weights + TINY)[:, np.newaxis] + (off**2 / variance + np.log(variance)) / 2
    )
    weights = np.exp(log_odds - log_odds.max(axis=0))
    weights /= weights.sum(axis=0)
    middle = np.sum(weights * off, axis=0)
    spread = np.sum(weights * (variance + (off - middle) ** 2), axis=0)
    return np.asarray(middle / np.sqrt(spread))


def _lessons(fabrics: Fabrics, fit: Fit, counted: Sequence[int]) -> tuple[Lesson, ...]:
    """The mixture over the grid, fabric by fabric; `counted` has the fabric of every sock."""
    mean = fit.weights @ fit.mean
    apart = fit.mean - mean
    cov = np.tensordot(fit.weights, fit.cov, 1) + (fit.weights * apart.T) @ apart
    scatter = float(fit.weights @ fit.sigma2)
    lessons = []
    for fabric in range(len(fabrics)):
        at = fabrics.places(fabric)
        swatches = fabrics.mean[at], fabrics.cov[np.ix_(at, at)]
        of_socks = mean[at], (cov[np.ix_(at, at)] + cov[np.ix_(at, at)].T) / 2
        planned = of_socks if counted else swatches
        stale = sum(counted.count(one) for one in fabrics.earlier(fabric))
        lessons.append(
            Lesson(
                *planned,
                *swatches,
                of_socks[0],
                of_socks[1] + np.diag([scatter] * SIZES + [0.0]),
                scatter,
                taught=bool(counted),
                socks=counted.count(fabric) + stale,
                stale=stale,
            )
        )
    return tuple(lessons)
