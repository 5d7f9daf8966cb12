"""A Gaussian belief about some named numbers: how readings change it, what parts its error has."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, log, pi, sqrt

import numpy as np
import numpy.typing as npt

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.machine import Machine
from sockwright.measure.swatch import FINENESS, Observation, Row, tex_error
from sockwright.measure.yarn import areal_mass_g_m2, loops_per_cm2, munden_of
from sockwright.order.model import Drape, State

MM_TEX_PER_MG = 1e3
"""1 mm of 1000 tex is one milligram."""

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


@dataclass(frozen=True)
class Setting:
    """What a fabric is knitted of, and on: the yarn's fineness (`tex`), the `pitch` of the needles
    (mm), and the drape wished for."""

    tex: Estimate
    pitch: Estimate
    drape: Drape


def pitch_of(machine: Machine, needles: int) -> Estimate:
    """From needle to needle on a cylinder of so many, mm; of a ring nobody measured, by the other
    cylinders of the machine, or else by usual ones."""
    across = {one.needles: one.diameter_mm for one in machine.cylinders if one.diameter_mm}
    ring = fact("gauge", "ring_diameter").estimate
    if needles in across:
        ring = Estimate(across[needles], 0.0, "mm")
    elif across:
        mean = sum(across.values()) / len(across)
        ring = Estimate(mean, mean * fact("gauge", "ring_alike_relative_sd").number, "mm")
    return Estimate(pi * ring.value / needles, pi * ring.sd / needles, "mm")


OF_SIZE, OF_SHAPE, OF_LOOP, OF_PITCH = "size", "shape", "loop of its size", "pitch"
SETTING_PARTS = (OF_SIZE, OF_SHAPE, OF_LOOP, OF_PITCH, FINENESS)
"""The independent errors behind what yarn and needles alone let expect."""


def grown() -> Array:
    """How the SETTING_PARTS reach ln w, ln h, ln l and the fineness: (4, 5)."""
    by_pitch, by_tex = fact("gauge", "pitch_power").number, fact("gauge", "tex_power").number
    return np.array(
        [
            [1.0, 0.5, 0.0, by_pitch, by_tex],
            [1.0, -0.5, 0.0, by_pitch, by_tex],
            [1.0, 0.0, 1.0, by_pitch, by_tex],
            [0.0, 0.0, 0.0, 0.0, 1.0],
        ]
    )


def error_sds(setting: Setting) -> Array:
    """The relative sds of the SETTING_PARTS, (5,); the farther pitch and yarn are from those that
    the powers of both were fitted to, the less is known of the size."""
    pitch, tex = setting.pitch, setting.tex
    powers = (
        (fact("gauge", "pitch_power"), log(pitch.value / fact("gauge", "prior_pitch").number)),
        (fact("gauge", "tex_power"), log(tex.value / fact("gauge", "prior_tex").number)),
    )
    far = hypot(*((power.sd or 0.0) * away for power, away in powers))
    return np.array(
        [
            hypot(fact("gauge", "size_relative_sd").number, far),
            fact("gauge", "shape_relative_sd").number,
            fact("gauge", "loop_relative_sd").number,
            pitch.sd / pitch.value,
            tex_error(tex).sd,
        ]
    )


def drape_shift(drape: Drape) -> float:
    """By how much ln of all sizes of a fabric is above those of a middle drape."""
    steps = {Drape.SOFT: 1.0, Drape.MIDDLE: 0.0, Drape.FIRM: -1.0}
    return steps[drape] * fact("gauge", "drape_step").number


def from_setting(setting: Setting) -> Belief:
    """The belief before any swatch: the wale from pitch and yarn, course and loop from the wale.

    ln w = ln 3.12 mm + 0.42 ln(pitch / 5 mm) + 0.35 ln(tex / 240) + drape; h = w / 1.35; l of the
    loop's size by Munden's product, l = sqrt(Kw w Kc h) (see `facts/gauge.toml`). The yarn's
    fineness stays correlated with all three.
    """
    by_pitch, by_tex = fact("gauge", "pitch_power").number, fact("gauge", "tex_power").number
    wale = (
        log(fact("gauge", "prior_wale").number)
        + by_pitch * log(setting.pitch.value / fact("gauge", "prior_pitch").number)
        + by_tex * log(setting.tex.value / fact("gauge", "prior_tex").number)
        + drape_shift(setting.drape)
    )
    course = wale - log(fact("gauge", "courses_per_wale").number)
    washed = munden_of(State.WASHED)
    loop = (wale + course + log(washed.kw.number * washed.kc.number)) / 2
    reach = grown()
    return Belief(
        (*NAMES, FINENESS),
        np.array([wale, course, loop, 0.0]),
        (reach * error_sds(setting) ** 2) @ reach.T,
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


def loop_mass(belief: Belief, yarn_tex: Estimate) -> Estimate:
    """Mass of the yarn in one loop, mg, with the errors of loop and fineness in step: what was
    weighed tells both together, and the label cancels out."""
    row = belief.row({"loop": 1.0, FINENESS: 1.0})
    value = yarn_tex.value * float(np.exp(row @ belief.mean)) / MM_TEX_PER_MG
    return Estimate(value, value * belief.sd(row), "mg")


def length(belief: Belief, name: str) -> Estimate:
    """The believed "wale", "course" or "loop" in mm."""
    row = belief.row({name: 1.0})
    value = float(np.exp(row @ belief.mean))
    return Estimate(value, value * belief.sd(row), "mm")


def _coefficients(row: Row, seen: Observation) -> dict[str, float]:
    return dict(zip(NAMES, row, strict=True)) | {e.name: times for e, times in seen.shared}


@dataclass(frozen=True)
class ErrorPart:
    """One error: its `name`, its own relative `sd`, and the `variance` it brings to the logarithm
    of the number. `place` is that of the observation whose own error it is, None for an error
    that readings share or that yarn and needles bring."""

    name: str
    sd: float
    variance: float
    place: int | None = None


def error_parts(
    setting: Setting, observations: Sequence[Observation], coefficients: Mapping[str, float]
) -> tuple[ErrorPart, ...]:
    """The parts of the variance of a sum of believed logarithms, as `coefficients` take them.

    The estimate's error is a weighted sum of independent errors, and its weights are those of the
    update: so the parts add up to the whole variance. As the update weighs best, each part is
    also by how much the variance falls, at first, with that of its error.
    """
    wider, rows = equations(from_setting(setting), observations)
    own_sds = np.array([seen.sd for seen in observations])
    taken = wider.row(coefficients) @ gain_of(wider, rows, own_sds)
    left = wider.row(coefficients) - taken @ rows
    size = len(NAMES) + 1
    # Names of what is believed come first in a belief, then the errors that readings share.
    through_setting = left[:size] @ grown() * error_sds(setting)
    shared_sds = np.sqrt(np.diag(wider.cov))[size:]
    return (
        *_parts(SETTING_PARTS, error_sds(setting), through_setting),
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
