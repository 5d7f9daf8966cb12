"""Which errors what finished socks taught still has, each with its part of the variance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from sockwright.facts import fact
from sockwright.measure.finished import COMPONENTS, Component
from sockwright.measure.learning import Fit, Learned
from sockwright.measure.swatched import SIZES, Array


class Source(StrEnum):
    """What a part of a variance comes from."""

    SWATCHES = "swatches"
    FINENESS = "fineness"
    MAKER = "maker"
    GROUP = "group"
    OWN = "own"
    SOCK = "sock"
    GRID = "grid"


@dataclass(frozen=True)
class VariancePart:
    """The `variance` that one source brings to the logarithm of a number.

    `number` is that of the fabric for swatches and own deviation, of the yarn for its fineness, of
    the group or the sock; None for the maker's bias and for the grid, which is what the grid
    points' means differ by, because neither the size of the bias nor that of the scatter is known.
    """

    source: Source
    variance: float
    number: int | None = None


def variance_parts(
    learned: Learned, fabric: int, component: Component, *, weighed: bool = False
) -> tuple[VariancePart, ...]:
    """The parts of the variance of one number of a lesson, as it is planned with: together they
    are its whole variance. Those that are 0 are left out. `weighed` adds the error of the yarn's
    fineness to the number, as a balance reads a loop.

    The error of the estimate is a weighted sum of independent errors, and the weights are those of
    the update, at each grid point. Where swatches tell of two fabrics together, the part of each is
    its share of the sum's covariance with it, which may be below zero.
    """
    fit, fabrics = learned.fit, learned.fit.socks.fabrics
    places = fabrics.places(fabric)
    target = np.zeros(len(fabrics.mean))
    target[places[COMPONENTS.index(component)]] = 1.0
    if weighed:
        target[places[SIZES]] = 1.0
    if learned.socks:
        taken = np.asarray(target @ fit.gain)
        left = target - taken @ fit.reads
        parts = [*_of_swatches(fit, left, fit.weights), *_of_biases(fit, left)]
        parts += [*_of_socks(fit, taken), _of_grid(fit, target)]
    else:
        parts = [*_of_swatches(fit, target[np.newaxis], np.ones(1))]
    return tuple(part for part in parts if part.variance)


def _of_swatches(fit: Fit, left: Array, weights: Array) -> Iterator[VariancePart]:
    """What is left (G, n) of the errors of every fabric's swatches and every yarn's fineness."""
    fabrics = fit.socks.fabrics
    each = weights @ (left * (left @ fabrics.cov))
    size = SIZES * len(fabrics)
    for number, variance in enumerate(each[:size].reshape(-1, SIZES).sum(axis=1)):
        yield VariancePart(Source.SWATCHES, float(variance), number)
    for number, variance in enumerate(each[size:]):
        yield VariancePart(Source.FINENESS, float(variance), number)


def _of_biases(fit: Fit, left: Array) -> Iterator[VariancePart]:
    """What is left of biases and deviations, which wale, course and loop have each for itself."""
    fabrics = fit.socks.fabrics
    size = SIZES * len(fabrics)
    by_fabric = left[:, :size].reshape(len(left), -1, SIZES)
    weights = fit.weights * fit.tau2

    def part(source: Source, errors: Array, number: int | None = None) -> VariancePart:
        share = fact("learning", f"{source}_share").number
        return VariancePart(source, share * float(weights @ np.sum(errors**2, axis=-1)), number)

    yield part(Source.MAKER, by_fabric.sum(axis=1))
    for group in np.unique(fabrics.group):
        its = by_fabric[:, fabrics.group == group].sum(axis=1)
        yield part(Source.GROUP, its, int(group))
    for number in range(len(fabrics)):
        yield part(Source.OWN, by_fabric[:, number], number)


def _of_socks(fit: Fit, taken: Array) -> Iterator[VariancePart]:
    """What every sock's readings, with its scatter, bring: `taken` (G, M) of the rows' means."""
    each = fit.weights @ (fit.precise * (taken / fit.precision)[:, fit.place] ** 2)
    by_sock: dict[int, float] = {}
    for one, variance in zip(fit.socks.readings, each, strict=True):
        by_sock[one.sock] = by_sock.get(one.sock, 0.0) + float(variance)
    return (VariancePart(Source.SOCK, variance, sock) for sock, variance in by_sock.items())


def _of_grid(fit: Fit, target: Array) -> VariancePart:
    means = fit.mean @ target
    apart = means - fit.weights @ means
    return VariancePart(Source.GRID, float(fit.weights @ apart**2))
