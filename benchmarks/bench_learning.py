"""What finished socks teach, on simulated makers whose hidden bias is known: how often the next
sock lies in its 95 % interval, and how far off it is against swatches alone. And how long it takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import log, sqrt

import numpy as np
from benchmarks.figures import EXAMPLE, Line, median_of

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.finished import Component, SockReading, read_course, read_wale
from sockwright.measure.learning import learn
from sockwright.measure.swatch import division, observe
from sockwright.measure.swatched import Array, Fabrics, Swatched, together
from sockwright.order.file import load_order
from sockwright.order.model import Count, State, SwatchGiven
from sockwright.plan.make import make_plan

SIZES = (Component.WALE, Component.COURSE)
GAUGE_MM = (3.3, 2.45)
SPAN_MM, FOOT_MM, NEEDLES = 100.0, 230.0, 60
TEX = Estimate(250.0, 7.5, "tex")


@dataclass(frozen=True)
class Makers:
    """Makers alike but for chance: how many, how many pairs each knits, the sd of their bias and
    of the scatter from sock to sock, whether every pair has a yarn and swatch of its own, counts
    at how many places of it, and how often a sock is read `slip` too long."""

    name: str
    count: int = 500
    pairs: int = 8
    bias_sd: float = 0.03
    scatter_sd: float = 0.01
    new_yarn: bool = False
    places: int = 3
    slips: float = 0.0
    slip: float = 0.08


@dataclass(frozen=True, eq=False)
class Outcome:
    """Of every maker's next sock, before each pair, shape (makers, pairs, 2) for wale and course:
    how far it was off what was expected, off the swatch alone, and whether in its interval."""

    off: Array
    off_swatch: Array
    inside: Array

    def cover(self) -> Array:
        """The share inside the 95 % interval, (pairs, 2)."""
        return np.asarray(self.inside.mean(axis=0))

    def rms(self) -> Array:
        """Root mean square of the relative error, (pairs, 2)."""
        return np.sqrt((self.off**2).mean(axis=0))

    def against_swatches(self, pairs: int) -> Array:
        """The error after so many pairs, as a share of that of swatches alone, (2,)."""
        alone = np.sqrt((self.off_swatch[:, pairs] ** 2).mean(axis=0))
        return np.asarray(self.rms()[pairs] / alone)


def simulate(makers: Makers, rng: np.random.Generator) -> Outcome:
    """What the makers' socks teach, pair by pair; one sock of each pair is recorded."""
    shape = (makers.count, makers.pairs, len(SIZES))
    off, off_swatch, inside = np.empty(shape), np.empty(shape), np.empty(shape)
    for maker in range(makers.count):
        off[maker], off_swatch[maker], inside[maker] = _one_maker(makers, rng)
    return Outcome(off, off_swatch, inside)


def _one_maker(makers: Makers, rng: np.random.Generator) -> tuple[Array, Array, Array]:
    common, of_group, own = (
        makers.bias_sd * sqrt(fact("learning", f"{whose}_share").number)
        for whose in ("maker", "group", "own")
    )
    bias = rng.normal(0, common, 2) + rng.normal(0, of_group, 2)
    truth = np.log(GAUGE_MM)
    swatched: list[Swatched] = []
    readings: list[SockReading] = []
    expected, next_socks, alone, inside = [], [], [], []
    fabric_bias = bias
    for pair in range(makers.pairs):
        if makers.new_yarn or not swatched:
            swatched.append(_swatch(makers, len(swatched), rng))
            fabric_bias = bias + rng.normal(0, own, 2)
        fabric = len(swatched) - 1
        lesson = learn(_fabrics(swatched), readings).lessons[fabric]
        sock = truth + fabric_bias + rng.normal(0, makers.scatter_sd, 2)
        limits = np.array([lesson.interval(size) for size in SIZES])
        inside.append((limits[:, 0] <= sock) & (sock <= limits[:, 1]))
        expected.append(lesson.mean[:2])
        alone.append(lesson.swatch_mean[:2])
        next_socks.append(sock)
        readings += _read(fabric, pair, sock, makers, rng)
    socks = np.array(next_socks)
    return socks - np.array(expected), socks - np.array(alone), np.array(inside, dtype=float)


def _fabrics(swatched: Sequence[Swatched]) -> Fabrics:
    return together(swatched, [TEX.sd / TEX.value] * len(swatched))


def _swatch(makers: Makers, yarn: int, rng: np.random.Generator) -> Swatched:
    """A swatch counted at a few places, each count good to a quarter of a stitch."""
    scatter = fact("gauge", "place_relative_sd").number
    quarter = fact("gauge", "count_half_width").number
    half = division(1.0)
    counts = []
    for size in GAUGE_MM:
        number = SPAN_MM / (size * np.exp(rng.normal(0, scatter, makers.places)))
        number += rng.uniform(-quarter, quarter, makers.places)
        spans = SPAN_MM + rng.uniform(-half, half, makers.places)
        counts.append(tuple(map(Count, number.tolist(), spans.tolist())))
    swatch = SwatchGiven("swatch", State.WASHED, NEEDLES, wales=counts[0], courses=counts[1])
    wale, course = observe(swatch, TEX).observations
    mean = np.array([wale.value, course.value, log(13.2), 0.0])
    sds = np.array([wale.sd, course.sd, 0.03, TEX.sd / TEX.value])
    return Swatched(mean, np.diag(sds**2), group=0, yarn=yarn)


def _read(
    fabric: int, sock: int, sizes: Array, makers: Makers, rng: np.random.Generator
) -> Iterator[SockReading]:
    """The sock laid flat under a ruler of millimetres."""
    half = division(1.0)
    flat = rng.normal(0, fact("learning", "flat_relative_sd").number, 2)
    slip = log(1 + makers.slip) * (rng.uniform(size=2) < makers.slips)
    wale, course = np.exp(sizes + flat + slip)
    rounds = round(FOOT_MM / GAUGE_MM[1])
    width = wale * NEEDLES / 2 + rng.uniform(-half, half)
    yield read_wale(fabric, sock, width, NEEDLES, half)
    yield read_course(fabric, sock, course * rounds + rng.uniform(-half, half), rounds, half)


ORDINARY = Makers("one fabric")
CASES = (
    ORDINARY,
    replace(ORDINARY, name="a new yarn, swatched at 5 places, every pair", new_yarn=True, places=5),
    replace(ORDINARY, name="a bias of 6 %", bias_sd=0.06),
    replace(ORDINARY, name="a scatter of 1.4 %", scatter_sd=0.014),
    replace(ORDINARY, name="5 % of readings 8 % too long", slips=0.05),
)
SEED = 20260
TARGETS = {CASES[0].name: "0.45", CASES[1].name: "0.6"}


def bench_learning() -> Iterator[Line]:
    """Cover and error by the pair for each case, and the time for 200 socks."""
    for makers in CASES:
        outcome = simulate(makers, np.random.default_rng(SEED))
        wanted = makers.name in TARGETS
        for place, size in enumerate(("girth", "length")):
            yield Line(
                f"{makers.count} makers, {makers.name}: next {size} in its 95 %, by pair",
                " ".join(f"{100 * each:.0f}" for each in outcome.cover()[:, place]),
                "rms % " + " ".join(f"{100 * each:.1f}" for each in outcome.rms()[:, place]),
                target="93 to 97" if wanted else "-",
            )
        ratio = outcome.against_swatches(3)
        yield Line(
            "  error after 3 pairs against swatches alone",
            f"girth {ratio[0]:.2f}, length {ratio[1]:.2f}",
            target=f"<= {TARGETS[makers.name]}" if wanted else "-",
        )
    fabrics, readings = many_socks()
    seconds = median_of(lambda: learn(fabrics, readings), 20)
    order = load_order(EXAMPLE)
    planning = median_of(lambda: make_plan(order), 10)
    yield Line(
        "learning from 200 socks",
        f"{seconds * 1e3:.0f} ms",
        f"make_plan, {planning * 1e3:.1f} ms",
        f"{seconds / planning:.1f}",
        "<= 50 ms",
    )


def many_socks() -> tuple[Fabrics, list[SockReading]]:
    """Two hundred socks of 20 fabrics in 12 groups, with 600 readings."""
    rng = np.random.default_rng(SEED)
    mean = np.array([*np.log(GAUGE_MM), log(13.2), 0.0])
    cov = np.diag([0.012**2] * 3 + [0.03**2])
    fabrics = together([Swatched(mean, cov, one % 12, one % 10) for one in range(20)], [0.03] * 10)
    off = rng.normal(0.02, 0.012, (200, len(Component)))
    readings = [
        SockReading(sock % 20, component, mean[place] + off[sock, place], 0.006**2, sock)
        for sock in range(200)
        for place, component in enumerate(Component)
    ]
    return fabrics, readings
