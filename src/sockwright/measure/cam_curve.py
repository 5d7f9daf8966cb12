"""The curve of a stitch cam: the length of a loop by the setting, for a machine and class of yarn.

A needle drawn `drop` mm below the needle ring across a pitch p takes l = 2 sqrt(drop^2 + (p/2)^2)
of yarn (two straight lines; geometry). The drop is a line, a + b (setting - mean setting), for all
cylinders together. What the points share (a hand's pull, a service since, an assumed diameter) are
unknowns of their own, so that many points do not average them away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil, exp, floor, hypot, log, sqrt

import numpy as np
from numpy.typing import NDArray

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.cam_points import CurvePoint, noted_step
from sockwright.measure.yarn import loop_for_tightness_mm

Array = NDArray[np.float64]

SHARED = 3
"""Unknowns beside a and b: one pull of the hand, one service, one error of the diameter; each has
an sd of 1, and its size stands in the equations."""

LEAST_DROP_MM = 0.3
"""A line drawn on and on comes to needles that are not drawn at all: it ends here."""

MARGIN_STEPS = 2
MARGIN = 0.25
"""A curve is shown beyond its points by so many steps, or by this share of their range."""

ALMOST = 1e-9
"""What rounding leaves of a step."""


@dataclass(frozen=True)
class CamReading:
    """What a curve says of one setting: the loop, mm, and how many steps the setting lies `outside`
    those that were knitted (0 within them)."""

    cam: float
    loop: Estimate
    outside: float

    @property
    def beyond(self) -> bool:
        """Whether it lies more than a step outside: then it is a guess, and must be said so."""
        return self.outside > 1 + ALMOST


@dataclass(frozen=True)
class CamChoice:
    """The setting for a wished loop: the `exact` one with its sd, and what the curve says of the
    one that the cam can be set to."""

    exact: Estimate
    reading: CamReading


@dataclass(frozen=True, eq=False)
class CamCurve:
    """A curve: all its `points`, those of them that were `counted`, and the `step` of the cam.

    `state` (5,) are a and b, mm and mm a unit, and the shared errors; `covariance` (5, 5) theirs.
    """

    points: tuple[CurvePoint, ...]
    counted: tuple[CurvePoint, ...]
    step: float
    state: Array
    covariance: Array

    @cached_property
    def least(self) -> float:
        """The smallest setting that was knitted and counts."""
        return min(one.cam for one in self.counted)

    @cached_property
    def most(self) -> float:
        """The largest."""
        return max(one.cam for one in self.counted)

    @cached_property
    def middle(self) -> float:
        """The mean setting, at which the line's a is its drop."""
        return sum(one.cam for one in self.counted) / len(self.counted)

    @property
    def one_setting(self) -> bool:
        """Whether all that counts was knitted at one setting, which tells of no other."""
        return self.least == self.most

    @property
    def outdated(self) -> bool:
        """Whether it rests on what was knitted before the last service, for want of anything
        newer."""
        return all(one.stale for one in self.counted)

    @property
    def drop(self) -> Estimate:
        """The drop at the mean setting, mm."""
        return Estimate(float(self.state[0]), float(sqrt(self.covariance[0, 0])), "mm")

    @property
    def drop_a_unit(self) -> Estimate:
        """How much one unit of the setting changes the drop, mm; below zero where a larger setting
        is tighter."""
        return Estimate(float(self.state[1]), float(sqrt(self.covariance[1, 1])), "mm")

    @property
    def tells_slope(self) -> bool:
        """Whether the points tell which way is looser."""
        slope = self.drop_a_unit
        enough = fact("cam", "slope_sds").number * slope.sd
        return not self.one_setting and abs(slope.value) > enough

    @cached_property
    def span(self) -> tuple[float, float]:
        """The settings worth looking at: those of all points, with some steps to either side."""
        settings = [one.cam for one in self.points if one.drop is not None]
        least, most = min(settings), max(settings)
        steps = max(MARGIN_STEPS, ceil(MARGIN * (most - least) / self.step))
        return max(0.0, least - steps * self.step), most + steps * self.step

    def reading(self, cam: float, pitch: Estimate) -> CamReading:
        """The loop at a setting on a cylinder of this pitch. Outside the settings that were knitted
        the sd grows by as much as the slope's, for every unit outside."""
        beyond = self._beyond(cam)
        loop, row = self._loop(cam, pitch)
        sd = self._sd(row) + float(row[0]) * beyond * self.drop_a_unit.sd
        return CamReading(cam, Estimate(loop, sd, "mm"), beyond / self.step)

    def setting_for(self, loop_mm: float, pitch: Estimate) -> CamChoice | None:
        """The setting for a loop of `loop_mm` on a cylinder of this pitch, to the cam's step.

        None where the points do not tell which way is looser, or no drop makes such a loop.
        """
        square = (loop_mm**2 - pitch.value**2) / 4
        if not self.tells_slope or square <= 0:
            return None
        slope = self.drop_a_unit
        exact = self.middle + (sqrt(square) - self.drop.value) / slope.value
        _, row = self._loop(exact, pitch)
        drop_sd = self._sd(row) / float(row[0]) + self._beyond(exact) * slope.sd
        steps = floor(exact / self.step + 0.5)
        return CamChoice(
            Estimate(exact, drop_sd / abs(slope.value), "1"),
            self.reading(round(steps * self.step, 6), pitch),
        )

    def setting_for_tightness(
        self, tightness: float, tex: float, pitch: Estimate
    ) -> CamChoice | None:
        """The setting at which a yarn of `tex` has a tightness factor, tex^0.5/mm; None as in
        `setting_for`."""
        return self.setting_for(loop_for_tightness_mm(tex, tightness), pitch)

    def slope(self, cam: float, pitch: Estimate) -> Estimate:
        """Change of ln l for one unit of the setting there, unit "1"; below zero where a larger
        setting is tighter. What it shares between cylinders is left out."""
        drop, rate = self._drop(cam), float(self.state[1])
        square = drop**2 + pitch.value**2 / 4
        bent = rate * (square - 2 * drop**2) / square**2
        row = np.zeros(len(self.state))
        row[0], row[1] = bent, drop / square + bent * (cam - self.middle)
        return Estimate(rate * drop / square, self._sd(row), "1")

    def wale(self, cam: float, pitch: Estimate) -> Estimate | None:
        """The washed width of a wale at a setting on a cylinder of this pitch, mm: that of the
        points, grown or shrunk as their loops are. None where no point tells one."""
        known = [one for one in self.counted if one.wale is not None]
        if not known:
            return None
        loop, row = self._loop(cam, pitch)
        rows = np.array([self._relative(one.cam, one.pitch) for one in known])
        apart = row / loop - rows
        logs = [
            log(one.wale.value * loop / self._loop(one.cam, one.pitch)[0])
            for one in known
            if one.wale is not None
        ]
        own = np.array([_wale_variance(one, cam, pitch) for one in known])
        weights = 1 / (own + np.einsum("ij,jk,ik->i", apart, self.covariance, apart))
        weights /= weights.sum()
        shift = weights @ apart
        variance = weights**2 @ own + shift @ self.covariance @ shift
        outside = float(row[0]) / loop * self._beyond(cam) * self.drop_a_unit.sd
        value = exp(float(weights @ logs))
        return Estimate(value, value * (sqrt(float(variance)) + outside), "mm")

    def _beyond(self, cam: float) -> float:
        """How far a setting lies outside those that were knitted, in its own unit."""
        return max(0.0, self.least - cam, cam - self.most)

    def _drop(self, cam: float) -> float:
        return max(LEAST_DROP_MM, float(self.state[0] + self.state[1] * (cam - self.middle)))

    def _loop(self, cam: float, pitch: Estimate) -> tuple[float, Array]:
        """The loop, mm, and how much it changes with each unknown (5,)."""
        drop = self._drop(cam)
        square = drop**2 + pitch.value**2 / 4
        loop = 2 * sqrt(square)
        # Beyond a tight end a loop hardly changes with its drop; but that it is one is a guess.
        edge = max(drop, self._drop(min(max(cam, self.least), self.most)))
        by_drop = 2 * edge / sqrt(edge**2 + pitch.value**2 / 4)
        by_ring = loop * pitch.value * pitch.sd / (4 * square)
        return loop, np.array([by_drop, by_drop * (cam - self.middle), 0.0, 0.0, by_ring])

    def _relative(self, cam: float, pitch: Estimate) -> Array:
        loop, row = self._loop(cam, pitch)
        return row / loop

    def _sd(self, row: Array) -> float:
        return sqrt(float(row @ self.covariance @ row))


def fit_curve(points: Sequence[CurvePoint], step: float | None = None) -> CamCurve | None:
    """The curve of all points of one machine and class of yarn; None where none tells a drop.

    Stale points count only where there are no others, and then with the error of a service that
    all of them share. `step` is the cam's; without one it is as fine as the settings were noted.
    """
    usable = [one for one in points if one.drop is not None]
    counted = tuple(one for one in usable if not one.stale) or tuple(usable)
    if not counted:
        return None
    step = step or noted_step(one.cam for one in points)
    settings = [one.cam for one in counted]
    middle, spread = sum(settings) / len(settings), max(settings) - min(settings)
    equations = [_equation(one, middle) for one in counted]
    drops = np.array([one.drop for one in counted])
    rows = np.array([row for row, _ in equations])
    weights = np.array([1 / sd**2 for _, sd in equations])
    first = fact("cam", "drop").estimate
    slope_sd = fact("cam", "drop_over_range").number / max(spread, step)
    prior = np.array([first.sd, slope_sd, *(1.0 for _ in range(SHARED))])
    mean = np.array([first.value, 0.0, *(0.0 for _ in range(SHARED))])
    precision = np.diag(1 / prior**2) + (rows.T * weights) @ rows
    covariance = np.linalg.inv(precision)
    state = mean + covariance @ (rows.T * weights) @ (drops - rows @ mean)
    return CamCurve(tuple(points), counted, step, state, covariance)


def _equation(point: CurvePoint, middle: float) -> tuple[list[float], float]:
    """How a point's drop takes the unknowns, and the sd of its own error, mm."""
    assert point.drop is not None
    loop, pitch = point.loop, point.pitch
    by_loop = loop.value**2 / (4 * point.drop)
    by_ring = pitch.value * pitch.sd / (4 * point.drop)
    service = fact("gauge", "service_relative_sd").number if point.stale else 0.0
    relative = loop.sd / loop.value
    own = sqrt(max(0.0, relative**2 - point.pull**2))
    sd = by_loop * hypot(own, fact("cam", "point_relative_sd").number)
    row = [1.0, point.cam - middle, by_loop * min(point.pull, relative), by_loop * service, by_ring]
    return row, sd


def _wale_variance(point: CurvePoint, cam: float, pitch: Estimate) -> float:
    """Relative variance with which a point tells the wale of a setting and pitch."""
    assert point.wale is not None
    here = point.cam == cam and point.pitch.value == pitch.value
    shape = 0.0 if here else fact("cam", "shape_relative_sd").number
    return (point.wale.sd / point.wale.value) ** 2 + shape**2
