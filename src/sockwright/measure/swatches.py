"""What several swatches tell together: which speak for the fabric to be knitted, which only for the
shape of its loop, and which readings cannot be true of one fabric.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log, sqrt

import numpy as np

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.i18n import _, by_units, capitalised
from sockwright.machine import Machine
from sockwright.measure.belief import (
    Array,
    Belief,
    Setting,
    believe,
    equations,
    from_setting,
    length,
    pitch_of,
    tightness,
)
from sockwright.measure.fabrics import SIZES, log_ratio, shared_name
from sockwright.measure.swatch import (
    Gap,
    Kind,
    Observation,
    SharedError,
    SwatchObservations,
    observe,
)
from sockwright.measure.yarn import drape_tightness
from sockwright.order.model import Drape, Fabric, SwatchGiven

SLOPE, POWER, LEVEL, SERVICE = "cam step", "power of the pitch", "level", "service"
"""Errors that swatches of several cylinders and settings share."""
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
    """Swatches of the main yarn, sorted for one cylinder.

    `setting` is what the sock is knitted of and on, `target` the cylinder and the stitch-cam
    setting that the gauge is of. `own` are swatches of that cylinder and setting, `others` not;
    `observations` are those of all of them, `notes` what a maker should know.
    """

    setting: Setting
    target: Target
    own: tuple[SwatchGiven, ...]
    others: tuple[SwatchGiven, ...]
    observations: tuple[Observation, ...]
    notes: tuple[str, ...]

    @property
    def cam(self) -> float | None:
        """The stitch-cam setting that the gauge is of; None where nothing tells."""
        return self.target.cam

    def of(self, kind: str) -> tuple[tuple[SwatchGiven, ...], tuple[SwatchGiven, ...]]:
        """Those of one fabric, of this cylinder and setting and of others."""
        own, others = (
            tuple(swatch for swatch in swatches if swatch.fabric == kind)
            for swatches in (self.own, self.others)
        )
        return own, others


@dataclass(frozen=True)
class Outfit:
    """What swatches are sorted by: the `machine`, the yarn's fineness and the drape wished for."""

    machine: Machine
    tex: Estimate
    drape: Drape

    def setting(self, needles: int) -> Setting:
        """A fabric on so many needles."""
        return Setting(self.tex, pitch_of(self.machine, needles), self.drape)

    def slope(self, sd: float) -> tuple[float, float]:
        """What one setting more of the cam is expected to do to ln of all sizes, and its sd: as the
        machine knows it, or else none, within `sd`."""
        known = self.machine.cam_slope
        return (0.0, sd) if known is None or known.sd > sd else (known.change, known.sd)

    def is_stale(self, date: str) -> bool:
        """Whether something of that day was knitted before the machine's last service."""
        return bool(date) and date < self.machine.serviced


def of_main(swatch: SwatchGiven) -> bool:
    """Whether a swatch tells of the sock's fabrics."""
    return swatch.yarn == "main"


def sort_swatches(swatches: Sequence[SwatchGiven], outfit: Outfit, needles: int) -> SortedSwatches:
    """Swatches sorted for a sock on so many needles.

    What those of another cylinder show is brought to this one by the pitch of the needles: a
    needle drawn equally deep takes 2 sqrt(drop^2 + (pitch / 2)^2) of yarn (geometry), and a loop
    keeps its proportions (Munden). The power of the pitch, one step of the cam, and the level of
    each cylinder and setting have errors of their own, which their swatches share.
    """
    main = [swatch for swatch in swatches if of_main(swatch)]
    notes = [_of_other_yarn(swatch) for swatch in swatches if swatch.yarn != "main"]
    on_it = [swatch for swatch in main if swatch.needles == needles]
    cam, cam_notes = _cam(on_it or main, outfit)
    notes += cam_notes
    own = tuple(s for s in on_it if s.cam in (None, cam))
    others = tuple(s for s in main if s not in own)
    steps = [abs(s.cam - cam) for s in others if s.cam is not None and cam not in (None, s.cam)]
    target = Target(outfit, needles, cam, min(steps, default=1.0))
    observations: list[Observation] = []
    for swatch in main:
        seen = observe(swatch, outfit.tex)
        notes += seen.notes
        if outfit.is_stale(swatch.date):
            seen = replace(seen, observations=tuple(map(_before_service, seen.observations)))
        brought = seen.observations if swatch in own else target.brought(swatch, seen)
        observations += [_of_fabric(swatch.fabric, one) for one in brought]
    notes += [_other_cylinder(s, needles) for s in others if s.needles != needles]
    stale = [swatch.name for swatch in main if outfit.is_stale(swatch.date)]
    if stale:
        notes.append(_of_before(stale))
    setting = outfit.setting(needles)
    return SortedSwatches(setting, target, own, others, tuple(observations), tuple(notes))


def _cam(swatches: Sequence[SwatchGiven], outfit: Outfit) -> tuple[float | None, list[str]]:
    """The cam setting whose swatches come nearest the wished tightness, and a note if several."""
    settings = sorted({swatch.cam for swatch in swatches if swatch.cam is not None})
    if len(settings) < 2:
        return (settings[0] if settings else None), []
    wish = drape_tightness(outfit.drape)

    def miss(setting: float) -> float:
        mine = [s for s in swatches if s.cam == setting]
        seen = [o for s in mine for o in observe(s, outfit.tex).observations]
        if not seen:
            return float("inf")
        belief = believe(from_setting(outfit.setting(mine[0].needles)), seen)
        return abs(log(tightness(belief, outfit.tex).value / wish))

    chosen = min(settings, key=miss)
    note = _(
        "Swatches were knitted at {count} cam settings: the gauge is that of setting "
        "{chosen:g}, the nearest to the wished drape ({drape}).",
        count=len(settings),
        chosen=chosen,
        drape=_(outfit.drape.value),
    )
    return chosen, [note]


def needle_drop_mm(loop_mm: float, pitch_mm: float) -> float:
    """How far below the ring a needle is drawn that takes so much yarn, mm; 0 where the yarn is no
    longer than the way across."""
    return sqrt(max(loop_mm**2 - pitch_mm**2, 0.0)) / 2


def drawn_loop_mm(drop_mm: float, pitch_mm: float) -> float:
    """The yarn that a needle takes which is drawn so far below the ring, mm (geometry)."""
    return 2 * hypot(drop_mm, pitch_mm / 2)


@dataclass(frozen=True)
class Way:
    """From the fabric of another cylinder or cam setting to this one: what to add to ln of its
    sizes, and the errors of that, each with its coefficient."""

    shift: float
    errors: tuple[tuple[SharedError, float], ...]


@dataclass(frozen=True)
class Target:
    """The cylinder and cam setting that others' readings are brought to; `step` is the smallest
    way from it to another setting."""

    outfit: Outfit
    needles: int
    cam: float | None
    step: float

    def way(self, needles: int, cam: float | None, loop_mm: float) -> Way:
        """The way from a fabric on so many needles at a cam setting, whose loop is known."""
        here, there = self.outfit.setting(self.needles).pitch, self.outfit.setting(needles).pitch
        level = SharedError(_level(needles, cam), self._level_sd(needles, cam))
        shift, errors = 0.0, [(level, 1.0)]
        if needles != self.needles:
            drop = needle_drop_mm(loop_mm, there.value)
            shift = log(drawn_loop_mm(drop, here.value) / loop_mm)
            power = SharedError(POWER, fact("gauge", "transfer_power_sd").number)
            errors.append((power, log(there.value / here.value)))
        if cam is not None and self.cam is not None and cam != self.cam:
            change, sd = self.outfit.slope(fact("gauge", "cam_relative_sd").number / self.step)
            shift -= change * (cam - self.cam)
            errors.append((SharedError(SLOPE, sd), cam - self.cam))
        return Way(shift, tuple(errors))

    def brought(self, swatch: SwatchGiven, seen: SwatchObservations) -> list[Observation]:
        """What a swatch of another cylinder or setting shows, brought to this one."""
        there = self.outfit.setting(swatch.needles)
        loop = length(believe(from_setting(there), seen.observations), "loop").value
        way = self.way(swatch.needles, swatch.cam, loop)
        return [
            replace(one, value=one.value + way.shift, shared=(*one.shared, *way.errors))
            for one in seen.observations
        ]

    def _level_sd(self, needles: int, cam: float | None) -> float:
        """Of a setting that nobody noted it is not known whether it is this one."""
        sd = fact("gauge", "level_relative_sd").number
        if None in (cam, self.cam) and needles != self.needles:
            return hypot(sd, fact("gauge", "cam_relative_sd").number)
        return sd


def _level(needles: int, cam: float | None) -> str:
    setting = "" if cam is None else f" at cam setting {cam:g}"
    return f"{LEVEL} of {needles} needles{setting}"


def _of_fabric(kind: Fabric, seen: Observation) -> Observation:
    """What a swatch of another fabric says of the plain one: less the ratio of the two, with the
    error of that, which all swatches of the fabric share."""
    if kind is Fabric.PLAIN:
        return seen
    size = SIZES[seen.row.index(1.0)]
    value, sd = log_ratio(kind, size)
    error = SharedError(shared_name(kind, size), sd)
    return replace(seen, value=seen.value - value, shared=(*seen.shared, (error, 1.0)))


def _before_service(seen: Observation) -> Observation:
    error = SharedError(SERVICE, fact("gauge", "service_relative_sd").number)
    return replace(seen, shared=(*seen.shared, (error, 1.0)))


def _of_before(names: Sequence[str]) -> str:
    return _(
        "{swatches}: knitted before the machine's last service, so counted for less.",
        swatches=tuple(names),
    )


def _of_other_yarn(swatch: SwatchGiven) -> str:
    return _(
        "Swatch '{swatch}' is of the {yarn} yarn: it was not used for the gauge of the main yarn.",
        swatch=swatch.name,
        yarn=_(swatch.yarn),
    )


def _other_cylinder(swatch: SwatchGiven, needles: int) -> str:
    return _(
        "Swatch '{swatch}' was knitted on {its_needles} needles: what it shows is carried over to "
        "{needles} by the distance of the needles. Knit one on {needles} to be sure.",
        swatch=swatch.name,
        its_needles=swatch.needles,
        needles=needles,
    )


def cam_slope(swatches: Sequence[SwatchGiven], outfit: Outfit, needles: int) -> Estimate | None:
    """Change of ln l (so of ln w and ln h too) for one step of the cam setting, unit "1".

    From plain swatches of the main yarn on a cylinder of so many needles at two settings or more
    that show something of the fabric, together with what the machine knows of its cam; without
    such swatches by that alone, or None. Below zero where a larger setting is
    tighter.
    """
    seen = [
        (cam, each)
        for cam, swatch in _at_settings(swatches, needles)
        for each in observe(swatch, outfit.tex).observations
    ]
    settings = [cam for cam, _ in seen]
    if len(set(settings)) < 2:
        known = outfit.machine.cam_slope
        return None if known is None else Estimate(known.change, known.sd, "1")
    low, high = min(settings), max(settings)
    # An sd of 1 for the whole range is no opinion: loops never grow 2.7 times.
    expected, sd = outfit.slope(1 / (high - low))
    slope, middle = SharedError(SLOPE, sd), (low + high) / 2
    sloped = [
        _at_setting(each, slope, cam - middle, less=expected * (cam - middle)) for cam, each in seen
    ]
    belief = believe(from_setting(outfit.setting(needles)), sloped)
    row = belief.row({SLOPE: 1.0})
    return Estimate(expected + float(row @ belief.mean), belief.sd(row), "1")


def settings_seen(swatches: Sequence[SwatchGiven], needles: int) -> tuple[float, ...]:
    """The cam settings of plain swatches of the main yarn on a cylinder of so many needles."""
    return tuple(cam for cam, _swatch in _at_settings(swatches, needles))


def _at_settings(
    swatches: Sequence[SwatchGiven], needles: int
) -> Iterator[tuple[float, SwatchGiven]]:
    for swatch in swatches:
        plain = of_main(swatch) and swatch.fabric is Fabric.PLAIN
        if plain and swatch.needles == needles and swatch.cam is not None:
            yield swatch.cam, swatch


def _at_setting(
    seen: Observation, slope: SharedError, steps: float, less: float = 0.0
) -> Observation:
    """What was seen so many steps away, `less` what was expected of them."""
    return replace(seen, value=seen.value - less, shared=(*seen.shared, (slope, steps)))


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
