"""What several swatches tell together: which speak for the fabric to be knitted, which only for the
shape of its loop, and which readings cannot be true of one fabric.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log

import numpy as np

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.i18n import _, by_units, capitalised
from sockwright.measure.belief import Array, Belief, believe, equations, from_yarn, tightness
from sockwright.measure.swatch import Gap, Kind, Observation, SharedError, observe
from sockwright.measure.yarn import drape_tightness
from sockwright.order.model import Drape, State, SwatchGiven

SLOPE = "slope"
AGAIN: dict[Kind, str] = {
    Kind.WALES: by_units(
        _("count the wales again over 10 cm"),
        **{"in": _("count the wales again over 4 in")},
    ),
    Kind.COURSES: by_units(
        _("count the courses again over 10 cm"),
        **{"in": _("count the courses again over 4 in")},
    ),
    Kind.FLAT_WIDTH: _("measure the width of the flattened tube again"),
    Kind.ROUNDS_LENGTH: _("count the rounds and measure their length again"),
    Kind.UNRAVELLED: _("unravel whole rounds and measure the straightened yarn again"),
    Kind.WEIGHED: _("weigh the piece and count its loops again"),
}

MOST_NAMED = 12
"""Contradictions that are told of one gauge: who has mended these looks again."""


@dataclass(frozen=True)
class SortedSwatches:
    """Swatches of the main yarn: `own` of the cylinder and cam setting asked for, `others` not.

    `observations` are those of all of them, `notes` what a maker should know.
    """

    own: tuple[SwatchGiven, ...]
    others: tuple[SwatchGiven, ...]
    observations: tuple[Observation, ...]
    notes: tuple[str, ...]


def sort_swatches(
    swatches: Sequence[SwatchGiven], yarn_tex: Estimate, needles: int, drape: Drape
) -> SortedSwatches:
    """Swatches sorted for a sock on so many needles.

    Swatches of another cylinder or cam setting keep their ratios, but their size as a whole gets
    a wide error of its own.
    """
    main = [swatch for swatch in swatches if swatch.yarn == "main"]
    notes = [_of_other_yarn(swatch) for swatch in swatches if swatch.yarn != "main"]
    setting, setting_notes = _setting(
        [swatch for swatch in main if swatch.needles == needles], yarn_tex, drape
    )
    notes += setting_notes
    own: list[SwatchGiven] = []
    others: list[SwatchGiven] = []
    observations: list[Observation] = []
    for swatch in main:
        seen = observe(swatch, yarn_tex)
        notes += seen.notes
        if swatch.needles == needles and swatch.cam in (None, setting):
            own.append(swatch)
            observations += seen.observations
        else:
            others.append(swatch)
            observations += [_of_other_level(swatch, each) for each in seen.observations]
    notes += [_other_cylinder(s, needles) for s in others if s.needles != needles]
    return SortedSwatches(tuple(own), tuple(others), tuple(observations), tuple(notes))


def _setting(
    own: Sequence[SwatchGiven], yarn_tex: Estimate, drape: Drape
) -> tuple[float | None, list[str]]:
    """The cam setting whose swatches come nearest the wished tightness, and a note if several."""
    settings = sorted({swatch.cam for swatch in own if swatch.cam is not None})
    if len(settings) < 2:
        return (settings[0] if settings else None), []
    prior, wish = from_yarn(yarn_tex, drape), drape_tightness(drape)

    def miss(setting: float) -> float:
        seen = [o for s in own if s.cam == setting for o in observe(s, yarn_tex).observations]
        if not seen:
            return float("inf")
        return abs(log(tightness(believe(prior, seen), yarn_tex).value / wish))

    chosen = min(settings, key=miss)
    note = _(
        "Swatches were knitted at {count} cam settings: the gauge is that of setting "
        "{chosen:g}, the nearest to the wished drape ({drape}).",
        count=len(settings),
        chosen=chosen,
        drape=_(drape.value),
    )
    return chosen, [note]


def _of_other_level(swatch: SwatchGiven, seen: Observation) -> Observation:
    setting = "" if swatch.cam is None else f" at cam setting {swatch.cam:g}"
    error = SharedError(
        f"level of {swatch.needles} needles{setting}",
        fact("gauge", "level_relative_sd").number,
    )
    return replace(seen, shared=(*seen.shared, (error, 1.0)))


def _of_other_yarn(swatch: SwatchGiven) -> str:
    return _(
        "Swatch '{swatch}' is of the {yarn} yarn: it was not used for the gauge of the main yarn.",
        swatch=swatch.name,
        yarn=_(swatch.yarn),
    )


def _other_cylinder(swatch: SwatchGiven, needles: int) -> str:
    told = _("it gives the shape of the loop, its size only roughly")
    if swatch.state is State.ON_MACHINE:
        # Its widths and heights are not used, so nothing of it tells the shape.
        loops = swatch.unravelled or swatch.weighed
        told = (
            _("it gives the loop's length only roughly")
            if loops
            else _("off the machine, too, it would give the size only roughly")
        )
    return _(
        "Swatch '{swatch}' was knitted on {its_needles} needles, not {needles}: {told}. "
        "Knit one on {needles} needles.",
        swatch=swatch.name,
        its_needles=swatch.needles,
        needles=needles,
        told=told,
    )


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
        _(
            "The readings give a tightness factor of {found:.2f}, where a yarn of "
            "{tex:.0f} tex is knitted near {wished:.2f}: check the yarn's fineness, "
            "then the ruler's unit and the number of needles.",
            found=found.value,
            tex=yarn_tex.value,
            wished=wished.value,
        ),
    )


def _uneven(seen: Observation, gap: Gap) -> str:
    return _(
        "{label} gives {low_mm:.2f} mm at one place and {high_mm:.2f} mm "
        "at another: an even fabric does not differ so much. {again} at both.",
        label=capitalised(seen.label),
        low_mm=gap.low_mm,
        high_mm=gap.high_mm,
        again=capitalised(AGAIN[seen.kind]),
    )


@dataclass(frozen=True, eq=False)
class _Readings:
    """Readings against what the yarn alone predicts: how far each is from it, `gaps` (m,), the
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
    then = _(", on both swatches")
    if other.kind is not seen.kind:
        then = _(", then {again}", again=AGAIN[other.kind])
    return _(
        "{label} gives {seen:.2f} mm, where {other} lets expect "
        "{expected:.2f} mm: the two cannot both be right. {again}{then}.",
        label=label,
        seen=exp(seen.value),
        other=other.label,
        expected=exp(seen.value - gap),
        again=again,
        then=then,
    )
