"""How much one step of the stitch cam changes the loop, from swatches at several settings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sockwright.estimates import Estimate
from sockwright.measure.fabric_belief import believe, from_yarn
from sockwright.measure.swatch import Observation, SharedError, observe
from sockwright.order.model import Drape, SwatchGiven

SLOPE = "slope"


def cam_slope(swatches: Sequence[SwatchGiven], yarn_tex: Estimate, needles: int) -> Estimate | None:
    """Change of ln l (so of ln w and ln h too) for one step of the cam setting, unit "1".

    From swatches of the main yarn on a cylinder of so many needles at two settings or more that
    show something of the fabric; None without them. Below zero where a larger setting is tighter.
    """
    seen = [
        (swatch.cam, each)
        for swatch in swatches
        if swatch.yarn == "main" and swatch.needles == needles and swatch.cam is not None
        for each in observe(swatch, yarn_tex).observations
    ]
    settings = [cam for cam, _ in seen]
    if len(set(settings)) < 2:
        return None
    low, high = min(settings), max(settings)
    # An sd of 1 for the whole range is no opinion: loops never grow 2.7 times.
    slope = SharedError(SLOPE, 1 / (high - low))
    middle = (low + high) / 2
    sloped = [_at_setting(each, slope, cam - middle) for cam, each in seen]
    belief = believe(from_yarn(yarn_tex, Drape.MIDDLE), sloped)
    row = belief.row({SLOPE: 1.0})
    return Estimate(float(row @ belief.mean), belief.sd(row), "1")


def _at_setting(seen: Observation, slope: SharedError, steps: float) -> Observation:
    return replace(seen, shared=(*seen.shared, (slope, steps)))
