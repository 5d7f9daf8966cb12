"""Yarn used, read off the loop table: metres and grams of every yarn, with their sd."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sockwright.estimates import Estimate
from sockwright.measure.gauge import Gauge
from sockwright.measure.yarn import Yarn
from sockwright.needlebed.loops import LOOP_SHARE, Kind, LoopTable

SHARE_SD = 0.5
"""Relative sd of the yarn in wraps, tucks and floats: their shares of a loop are assumptions."""
JOIN_SD_MM = 30.0
"""How differently two people cut one tail, mm (assumption)."""


@dataclass(frozen=True)
class YarnUse:
    """Use of one yarn in one sock: `length` mm, `mass` g, knitted `loops`."""

    length: Estimate
    mass: Estimate
    loops: int


def yarn_use(table: LoopTable, gauge: Gauge, yarns: Mapping[str, Yarn]) -> dict[str, YarnUse]:
    """Use of every yarn in `yarns`, in the order of the table."""
    return {
        name: _use(table, number, gauge, yarns[name])
        for number, name in enumerate(table.yarns)
        if name in yarns
    }


def extra_mm(table: LoopTable, number: int, gauge: Gauge) -> float:
    """Yarn, mm, that yarn `number` of the table gives to wraps, tucks and floats."""
    kinds = np.bincount(table.kind[table.yarn == number], minlength=len(LOOP_SHARE))
    return float(kinds[Kind.WRAP :] @ LOOP_SHARE[Kind.WRAP :]) * gauge.loop.value


def _use(table: LoopTable, number: int, gauge: Gauge, yarn: Yarn) -> YarnUse:
    mine = table.yarn == number
    loops = int((mine & table.is_loop).sum())
    extra = extra_mm(table, number, gauge)
    length = table.used_mm[number]
    sd = float(
        np.sqrt(
            (length * gauge.loop.sd / gauge.loop.value) ** 2
            + (SHARE_SD * extra) ** 2
            + JOIN_SD_MM**2
        )
    )
    used = Estimate(length, sd, "mm")
    return YarnUse(used, yarn.mass_of(used), loops)
