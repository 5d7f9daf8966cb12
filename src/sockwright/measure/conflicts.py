"""Readings that cannot be true of one fabric, said in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

import numpy as np

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.belief import Array, Belief, equations, tightness
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

MOST_NAMED = 12
"""Contradictions that are told of one gauge: who has mended these looks again."""


def find_conflicts(prior: Belief, observations: Sequence[Observation]) -> tuple[str, ...]:
    """A sentence for each reading that others contradict by more than three sds.

    The worst reading is named with the one it fits least, set aside, and the rest looked at
    again, MOST_NAMED times at most. Nothing is left out of the estimate for it.
    """
    limit = fact("gauge", "conflict_sds").number
    found = [_uneven(o, o.gap) for o in observations if o.gap is not None and o.gap.sds > limit]
    del found[MOST_NAMED:]
    kept = _Readings.of(prior, observations)
    while len(kept.seen) > 1 and len(found) < MOST_NAMED:
        pair = _worst_pair(kept)
        if pair is None:
            break
        worst, partner, gap = pair
        found.append(_sentence(kept.seen[worst], kept.seen[partner], gap))
        kept = kept.without(worst)
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


@dataclass(frozen=True, eq=False)
class _Readings:
    """Readings against what the yarn alone foretells: how far each is from it, `gaps` (m,), the
    `rows` (m, n) of the errors behind it, `moved` (n, m) = their covariance @ rows.T, the
    variance of each one's own error, `noise` (m,), and `told` (n, n) = moved / noise @ rows."""

    seen: tuple[Observation, ...]
    gaps: Array
    rows: Array
    moved: Array
    noise: Array
    told: Array

    @classmethod
    def of(cls, prior: Belief, seen: Sequence[Observation]) -> _Readings:
        """The readings with the errors that they share."""
        wider, rows = equations(prior, seen)
        values = np.array([one.value for one in seen])
        noise = np.array([one.sd**2 for one in seen])
        moved = wider.cov @ rows.T
        told = moved / noise @ rows
        return cls(tuple(seen), values - rows @ wider.mean, rows, moved, noise, told)

    def without(self, number: int) -> _Readings:
        """The others."""
        its = np.outer(self.moved[:, number] / self.noise[number], self.rows[number])
        return _Readings(
            self.seen[:number] + self.seen[number + 1 :],
            np.delete(self.gaps, number),
            np.delete(self.rows, number, axis=0),
            np.delete(self.moved, number, axis=1),
            np.delete(self.noise, number),
            self.told - its,
        )


def _worst_pair(kept: _Readings) -> tuple[int, int, float] | None:
    """The reading most at odds with all others, the one it fits least, and the ln gap to that.

    With S = rows @ moved + noise the covariance of the gaps, its inverse is taken by Woodbury's
    identity, in as many equations as there are errors.
    """
    gaps, rows, moved, noise = kept.gaps, kept.rows, kept.moved, kept.noise
    gain = np.linalg.solve(np.eye(len(moved)) + kept.told, moved / noise)
    # Residual of each reading against the belief from all the others (leave one out).
    inverse_gaps = (gaps - rows @ (gain @ gaps)) / noise
    inverse_diagonal = (1 - np.einsum("ij,ji->i", rows, gain)) / noise
    apart = np.abs(inverse_gaps) / np.sqrt(inverse_diagonal)
    worst = int(np.argmax(apart))
    if apart[worst] <= fact("gauge", "conflict_sds").number:
        return None
    spread = rows[worst] @ moved
    spread[worst] += noise[worst]
    link = spread / (np.einsum("ij,ji->i", rows, moved) + noise)
    left = gaps[worst] - link * gaps
    room = spread[worst] - link * spread
    others = np.arange(len(gaps)) != worst
    against = np.where(others, np.abs(left) / np.sqrt(np.where(others, room, 1.0)), -1.0)
    partner = int(np.argmax(against))
    return worst, partner, float(left[partner])


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
