"""The settings of the stitch cam that a plan tells, as the cam has them."""

from __future__ import annotations

from collections.abc import Mapping
from math import log

from sockwright.measure.gauge import Gauge
from sockwright.measure.swatches import Outfit, cam_slope
from sockwright.measure.yarn import Yarn
from sockwright.order.model import Order
from sockwright.sock.sizing import Sizing


def cam_settings(
    order: Order, yarns: Mapping[str, Yarn], gauge: Gauge, sizing: Sizing
) -> dict[float, float]:
    """The user's cam number for every loop-length factor, where her swatches tell it: that of the
    gauge from one swatch, others from two settings or more, each one that the cam has."""
    if gauge.seen.cam is None:
        return {}
    base, means = gauge.seen.cam, Outfit(order.machine, yarns["main"].tex, order.sock.drape)
    slope = cam_slope(order.swatches, means, sizing.needles)
    if slope is None or abs(slope.value) <= slope.sd:
        return {1.0: base}
    factors = {factor for _, factor in sizing.leg_shape} | {1.0}
    step = order.machine.cam.step
    return {factor: setting_near(base + log(factor) / slope.value, step) for factor in factors}


UNKNOWN_STEP = 0.1
"""The step that settings are told in where the cam's own is not known."""
SETTING_DIGITS = 6


def setting_near(exact: float, step: float | None) -> float:
    """The setting nearest to `exact` of a cam with such a step between its settings."""
    step = UNKNOWN_STEP if step is None else step
    return round(round(exact / step) * step, SETTING_DIGITS)
