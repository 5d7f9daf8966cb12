"""The belief about a fabric: what the yarn alone foretells, and how observations change it.

x = (ln w, ln h, ln l), mm of washed fabric, followed by the errors that readings share.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.evidence import Array, Belief, stack, update
from sockwright.measure.munden import (
    areal_mass_g_m2,
    course_mm,
    loops_per_cm2,
    munden_of,
    wale_mm,
)
from sockwright.measure.swatch import FINENESS, Observation, Row, tex_error
from sockwright.measure.tightness import drape_tightness, loop_for_tightness_mm
from sockwright.order.model import Drape, State

NAMES = ("wale", "course", "loop")
TIGHTNESS_ROW: Mapping[str, float] = {"loop": -1.0, FINENESS: 0.5}
AREAL_MASS_ROW: Mapping[str, float] = {"wale": -1.0, "course": -1.0, "loop": 1.0, FINENESS: 1.0}
"""How often ln tightness and ln areal mass take each believed number."""


@dataclass(frozen=True, eq=False)
class YarnErrors:
    """The independent errors behind what the yarn alone foretells: those of Kw, Kc, K and of its
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
