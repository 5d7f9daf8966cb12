"""Readings that cannot be true of one fabric, said in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

import numpy as np

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.evidence import Array, Belief
from sockwright.measure.fabric_belief import equations, tightness
from sockwright.measure.swatch import Gap, Kind, Observation
from sockwright.words import by_units, capitalised, said

AGAIN: dict[Kind, str] = {
    Kind.WALES: by_units(
        said("count the wales again over 10 cm"),
        **{"in": said("count the wales again over 4 in")},
    ),
    Kind.COURSES: by_units(
        said("count the courses again over 10 cm"),
        **{"in": said("count the courses again over 4 in")},
    ),
    Kind.FLAT_WIDTH: said("measure the width of the flattened tube again"),
    Kind.ROUNDS_LENGTH: said("count the rounds and measure their length again"),
    Kind.UNRAVELLED: said("unravel whole rounds and measure the straightened yarn again"),
    Kind.WEIGHED: said("weigh the piece and count its loops again"),
}


def find_conflicts(prior: Belief, observations: Sequence[Observation]) -> tuple[str, ...]:
    """A sentence for each reading that others contradict by more than three sds.

    The worst reading is named with the one it fits least, set aside, and the rest looked at
    again. Nothing is left out of the estimate for it.
    """
    kept = list(observations)
    limit = fact("gauge", "conflict_sds").number
    found = [_uneven(o, o.gap) for o in kept if o.gap is not None and o.gap.sds > limit]
    while len(kept) > 1 and (pair := _worst_pair(prior, kept)) is not None:
        found.append(_sentence(*pair))
        kept.remove(pair[0])
    return tuple(found)


def far_from_yarn(prior: Belief, after: Belief, yarn_tex: Estimate) -> tuple[str, ...]:
    """A sentence if the readings agree on a tightness that such a yarn is hardly knitted at.

    `prior` and `after` are the beliefs before and after the readings.
    """
    wished, found = tightness(prior, yarn_tex), tightness(after, yarn_tex)
    off = np.log(found.value / wished.value)
    spread = np.hypot(wished.sd / wished.value, found.sd / found.value)
    if abs(off) <= fact("gauge", "conflict_sds").number * spread:
        return ()
    return (
        said(
            "The readings give a tightness factor of {found:.2f}, where a yarn of "
            "{tex:.0f} tex is knitted near {wished:.2f}: check the yarn's fineness, "
            "then the ruler's unit and the number of needles.",
            found=found.value,
            tex=yarn_tex.value,
            wished=wished.value,
        ),
    )


def _uneven(seen: Observation, gap: Gap) -> str:
    return said(
        "{label} gives {low_mm:.2f} mm at one place and {high_mm:.2f} mm "
        "at another: an even fabric does not differ so much. {again} at both.",
        label=capitalised(seen.label),
        low_mm=gap.low_mm,
        high_mm=gap.high_mm,
        again=capitalised(AGAIN[seen.kind]),
    )


def _worst_pair(
    prior: Belief, kept: Sequence[Observation]
) -> tuple[Observation, Observation, float] | None:
    """The reading most at odds with all others, the one it fits least, and the ln gap to that."""
    gaps, spread = _gaps(prior, kept)
    inverse = np.linalg.inv(spread)
    # Residual of each reading against the belief from all the others (leave one out).
    apart = np.abs(inverse @ gaps) / np.sqrt(np.diag(inverse))
    worst = int(np.argmax(apart))
    if apart[worst] <= fact("gauge", "conflict_sds").number:
        return None
    link = spread[worst] / np.diag(spread)
    left = gaps[worst] - link * gaps
    room = spread[worst, worst] - link * spread[worst]
    others = np.arange(len(kept)) != worst
    against = np.where(others, np.abs(left) / np.sqrt(np.where(others, room, 1.0)), -1.0)
    partner = int(np.argmax(against))
    return kept[worst], kept[partner], float(left[partner])


def _gaps(prior: Belief, kept: Sequence[Observation]) -> tuple[Array, Array]:
    """Gaps (m,) of the readings from what the yarn alone foretells, and their covariance (m, m)."""
    wider, rows = equations(prior, kept)
    values = np.array([seen.value for seen in kept])
    noise = np.diag([seen.sd**2 for seen in kept])
    return values - rows @ wider.mean, rows @ wider.cov @ rows.T + noise


def _sentence(seen: Observation, other: Observation, gap: float) -> str:
    label, again = capitalised(seen.label), capitalised(AGAIN[seen.kind])
    then = said(", on both swatches")
    if other.kind is not seen.kind:
        then = said(", then {again}", again=AGAIN[other.kind])
    return said(
        "{label} gives {seen:.2f} mm, where {other} lets expect "
        "{expected:.2f} mm: the two cannot both be right. {again}{then}.",
        label=label,
        seen=exp(seen.value),
        other=other.label,
        expected=exp(seen.value - gap),
        again=again,
        then=then,
    )
