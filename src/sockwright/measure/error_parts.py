"""What the sd of a fabric's number is made of: one part for every independent error behind it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sockwright.estimates import Estimate
from sockwright.measure.evidence import gain_of
from sockwright.measure.fabric_belief import equations, from_yarn, yarn_errors
from sockwright.measure.swatch import FINENESS, Observation
from sockwright.order.model import Drape

OF_KW, OF_KC, OF_WISH = "Kw", "Kc", "K"
YARN_PARTS = (OF_KW, OF_KC, OF_WISH, FINENESS)
"""The errors behind what the yarn alone foretells, in the order of `yarn_errors`."""


@dataclass(frozen=True)
class ErrorPart:
    """One error: its `name`, its own relative `sd`, and the `variance` it brings to the logarithm
    of the number. `place` is that of the observation whose own error it is, None for an error
    that readings share or that the yarn brings."""

    name: str
    sd: float
    variance: float
    place: int | None = None


def error_parts(
    yarn_tex: Estimate,
    drape: Drape,
    observations: Sequence[Observation],
    coefficients: Mapping[str, float],
) -> tuple[ErrorPart, ...]:
    """The parts of the variance of a sum of believed logarithms, as `coefficients` take them.

    The estimate's error is a weighted sum of independent errors, and its weights are those of the
    update: so the parts add up to the whole variance. As the update weighs best, each part is
    also by how much the variance falls, at first, with that of its error.
    """
    errors = yarn_errors(yarn_tex)
    wider, rows = equations(from_yarn(yarn_tex, drape), observations)
    own_sds = np.array([seen.sd for seen in observations])
    taken = wider.row(coefficients) @ gain_of(wider, rows, own_sds)
    left = wider.row(coefficients) - taken @ rows
    size = len(YARN_PARTS)
    # The yarn's names come first in a belief, then the errors that readings share.
    through_yarn = left[:size] @ errors.grown * errors.sds
    shared_sds = np.sqrt(np.diag(wider.cov))[size:]
    return (
        *_parts(YARN_PARTS, errors.sds, through_yarn),
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
