"""The gauge: the best estimate of a fabric's wale, course and loop from whatever was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp

from sockwright.estimates import THE_ORDER, Count, Estimate, counted
from sockwright.facts import fact, table
from sockwright.i18n import _
from sockwright.machine import Machine, Turning
from sockwright.measure.belief import (
    NAMES,
    Belief,
    areal_mass,
    believe,
    from_setting,
    length,
    loop_mass,
    tightness,
)
from sockwright.measure.fabrics import FORMULAS as FABRIC_FORMULAS
from sockwright.measure.fabrics import (
    PLAIN,
    SIZES,
    FabricGauge,
    by_ratios,
    key_of,
    label_of,
    log_ratio,
    ratio,
    ratios_of,
    shared_name,
)
from sockwright.measure.from_socks import teach
from sockwright.measure.gauge_parts import Ground, LearnedGauge
from sockwright.measure.opening import Knit, firm_pulls, opening, pull_notes, with_pulls
from sockwright.measure.swatches import (
    Outfit,
    SortedSwatches,
    far_from_yarn,
    find_conflicts,
    of_main,
    sort_swatches,
)
from sockwright.measure.yarn import Yarn, jam_tightness
from sockwright.once import once
from sockwright.order.model import Drape, FinishedGiven, SwatchGiven

MM_PER_INCH = 25.4


def _readings_used(readings: int) -> Count:
    return counted(
        readings,
        "gauge.readings_used",
        _("readings used"),
        _("single readings of size, counted over all swatches of the main yarn"),
        THE_ORDER,
    )


NO_READINGS = _readings_used(0)

NO_YARNS: Mapping[str, Yarn] = {}
NOTHING_SEEN = sort_swatches(
    (), Outfit(Machine("", Turning.CARRIER, ()), Estimate(250.0, 0.0, "tex"), Drape.MIDDLE), 60
)
Matrix = tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Gauge:
    """The washed, relaxed fabric.

    `wale` width, `course` height and `loop` length in mm, `tightness` factor in tex^0.5/mm,
    `covariance` (3, 3) of (ln wale, ln course, ln loop); `open_ratio` tells how many times its
    relaxed width the fabric opens in a firm pull, `ring` how many times it hung on the needles;
    `areal_mass` is what it weighs, g/m2, `loop_mass` what one loop does, mg; at the tightness
    `jam` its yarn jams. `seen` are the swatches behind it, `fabrics` the gauges of those that are
    not plain; `readings_used` counts single readings of size; `conflicts` are readings that cannot
    all be right. `unanswered` is the opening before wearers' answers moved it, None where none did.
    """

    wale: Estimate
    course: Estimate
    loop: Estimate
    tightness: Estimate
    covariance: Matrix
    open_ratio: Estimate
    areal_mass: Estimate
    loop_mass: Estimate
    jam: Estimate
    ring: float
    seen: SortedSwatches = NOTHING_SEEN
    fabrics: Mapping[str, FabricGauge] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    readings_used: Count = NO_READINGS
    conflicts: tuple[str, ...] = ()
    learned: LearnedGauge | None = None
    unanswered: Estimate | None = None

    def of(self, kind: str) -> FabricGauge:
        """The gauge of one of the sock's fabrics on these needles, by its name."""
        return _fabric_of(self, kind)


@once
def _fabric_of(gauge: Gauge, kind: str) -> FabricGauge:
    plain = (gauge.wale, gauge.course, gauge.loop, gauge.open_ratio)
    if kind == PLAIN:
        return FabricGauge(kind, *plain)
    return gauge.fabrics[kind] if kind in gauge.fabrics else by_ratios(kind, *plain)


def estimate_gauge(
    swatches: Sequence[SwatchGiven],
    yarn: Yarn,
    machine: Machine,
    needles: int,
    drape: Drape,
    finished: Sequence[FinishedGiven] = (),
    yarns: Mapping[str, Yarn] = NO_YARNS,
) -> Gauge:
    """The gauge of a sock of `yarn` on so many needles of `machine` from swatches, in any mix of
    readings, and from what finished socks taught of them; `yarns` are those of all roles.

    A Gaussian update of the logarithms: without a swatch the needles' pitch, the yarn's fineness
    and the wished drape speak alone, with a wide sd.
    """
    tex, outfit = yarn.tex, Outfit(machine, yarn.tex, drape)
    seen = sort_swatches(swatches, outfit, needles)
    prior = from_setting(seen.setting)
    of_swatches = believe(prior, seen.observations)
    taught = teach(finished, swatches, {**yarns, "main": yarn}, outfit, seen, of_swatches)
    belief = taught.belief if taught else of_swatches
    ground = Ground(tuple(swatches), yarn, seen, of_swatches, taught)
    wale, course, loop = (ground.named(name, length(belief, name)) for name in NAMES)
    readings = sum(each.readings for each in seen.observations)
    plain_own, plain_others = seen.of(PLAIN)
    felted = any(swatch.felted for swatch in seen.own)
    knit = Knit(loop, wale, yarn.diameter, seen.setting.pitch, yarn.cotton, felted)
    plain_opening = opening(plain_own, plain_others, swatches, knit)
    return Gauge(
        wale=wale,
        course=course,
        loop=loop,
        tightness=ground.named("tightness", tightness(belief, tex)),
        covariance=_covariance(belief),
        loop_mass=ground.named("loop_mass", loop_mass(belief, tex)),
        open_ratio=plain_opening,
        areal_mass=ground.named("areal_mass", areal_mass(belief, tex)),
        jam=_jam(tex, yarn.diameter.value),
        ring=knit.ring,
        seen=seen,
        fabrics=_fabrics(ground, belief, plain_opening),
        notes=(
            *_unmeasured(readings),
            *seen.notes,
            *(_odd_for_cylinder(wale, course, tex, needles) if readings else ()),
            *pull_notes(plain_own, plain_others),
            *(taught.notes if taught else ()),
        ),
        readings_used=_readings_used(readings),
        conflicts=(
            *find_conflicts(prior, seen.observations),
            *far_from_yarn(prior, of_swatches, tex),
        ),
        learned=ground.learned() if taught else None,
    )


def _fabrics(ground: Ground, belief: Belief, plain_opening: Estimate) -> dict[str, FabricGauge]:
    """The gauge of every other fabric of which there is a swatch."""
    kinds = dict.fromkeys(str(s.fabric) for s in ground.swatches if of_main(s))
    kinds.pop(PLAIN, None)
    return {kind: _fabric(kind, ground, belief, plain_opening) for kind in kinds}


def _fabric(kind: str, ground: Ground, belief: Belief, plain_opening: Estimate) -> FabricGauge:
    """The gauge of a fabric that was measured: its sizes by all readings, its opening by its own
    pulls, or else by that of plain fabric."""
    sizes = {}
    for name, size in zip(NAMES, SIZES, strict=True):
        coefficients = {name: 1.0, shared_name(kind, size): 1.0}
        row = belief.row(coefficients)
        value = exp(float(row @ belief.mean) + log_ratio(kind, size)[0])
        sizes[name] = ground.of_fabric(
            kind, name, Estimate(value, value * belief.sd(row), "mm"), coefficients
        )
    wide = exp(float(belief.row({shared_name(kind, "width"): 1.0}) @ belief.mean))
    expected = plain_opening * ratio(kind, "opened") / (wide * ratio(kind, "width").value)
    named = expected.named(
        key_of(kind, "open_ratio"),
        label_of(kind, "open_ratio"),
        "1",
        FABRIC_FORMULAS["open_ratio"],
        ratios_of(kind).opened.told,
        ratios_of(kind).opened.standing,
    )
    opens = with_pulls(named, firm_pulls(*ground.seen.of(kind)), ground.swatches)
    return FabricGauge(kind, **sizes, open_ratio=opens, measured=True)


def _jam(yarn_tex: Estimate, thickness_mm: float) -> Estimate:
    """The tightness at which the yarn jams. Fineness cancels out of it: thicker yarn has longer
    jammed loops."""
    value = jam_tightness(yarn_tex.value, thickness_mm)
    return Estimate(value, value * fact("constants", "jam_relative_sd").number, "tex^0.5/mm")


def _covariance(belief: Belief) -> Matrix:
    return tuple(tuple(float(v) for v in row) for row in belief.cov[:3, :3])


def _unmeasured(readings: int) -> tuple[str, ...]:
    if readings:
        return ()
    return (
        _(
            "The fabric was not measured: its gauge comes only from the yarn's fineness and the "
            "drape you chose, and every length from it is rough. Knit a swatch, wash it and "
            "measure it."
        ),
    )


def _odd_for_cylinder(
    wale: Estimate, course: Estimate, yarn_tex: Estimate, needles: int
) -> tuple[str, ...]:
    """A note for each count far outside what such a cylinder gives with fingering sock yarn."""
    low, high = (fact("gauge", f"band_yarn_{end}").number for end in ("low", "high"))
    band = _nearest_band(needles)
    if band is None or not low <= yarn_tex.value <= high:
        return ()
    notes = []
    for what, size in (("wales", wale), ("courses", course)):
        usual = fact("gauge", f"band_{band}_{what}").estimate
        per_inch = MM_PER_INCH / size.value
        if abs(per_inch - usual.value) > fact("gauge", "odd_half_widths").number * usual.sd:
            notes.append(
                _(
                    "The fabric has {per_inch:.1f} {what} to the inch; on about {band} needles "
                    "such yarn mostly gives {low:g} to {high:g}. If that is not meant, count "
                    "again.",
                    per_inch=per_inch,
                    what=_("wales") if what == "wales" else _("courses"),
                    band=band,
                    low=usual.value - usual.sd,
                    high=usual.value + usual.sd,
                )
            )
    return tuple(notes)


def _nearest_band(needles: int) -> int | None:
    bands = [int(n.split("_")[1]) for n in table("gauge") if n.endswith("_wales")]
    nearest = min(bands, key=lambda band: abs(band - needles))
    return nearest if abs(nearest - needles) <= fact("gauge", "cylinder_reach").number else None
