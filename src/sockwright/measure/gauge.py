"""The gauge: the best estimate of a fabric's wale, course and loop from whatever was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sockwright.estimates import Estimate
from sockwright.facts import fact, table
from sockwright.measure.belief import (
    NAMES,
    Belief,
    areal_mass,
    believe,
    from_yarn,
    length,
    tightness,
)
from sockwright.measure.conflicts import far_from_yarn, find_conflicts
from sockwright.measure.levels import sort_swatches
from sockwright.measure.loop_laws import jam_tightness
from sockwright.measure.stretch import expected_ratio, stretch_notes, stretched_ratio
from sockwright.measure.yarn import diameter_mm
from sockwright.order.model import Drape, SwatchGiven
from sockwright.words import said

MM_PER_INCH = 25.4

Matrix = tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Gauge:
    """The washed, relaxed fabric.

    `wale` width, `course` height and `loop` length in mm, `tightness` factor in tex^0.5/mm,
    `covariance` (3, 3) of (ln wale, ln course, ln loop); `open_ratio` tells how many times its
    relaxed width the fabric opens in comfort, `areal_mass` what it weighs, g/m2; at the tightness
    `jam` its yarn jams. `readings_used` counts single readings of size;
    `conflicts` are readings that cannot all be right.
    """

    wale: Estimate
    course: Estimate
    loop: Estimate
    tightness: Estimate
    covariance: Matrix
    open_ratio: Estimate
    areal_mass: Estimate
    jam: Estimate
    notes: tuple[str, ...] = ()
    readings_used: int = 0
    conflicts: tuple[str, ...] = ()


def estimate_gauge(
    swatches: Sequence[SwatchGiven],
    yarn_tex: Estimate,
    fibre_density: float,
    needles: int,
    drape: Drape,
) -> Gauge:
    """The gauge of a sock on `needles` from swatches of its main yarn, in any mix of readings.

    `yarn_tex` in tex, `fibre_density` in g/cm3. A Gaussian update of the logarithms: without a
    swatch the yarn's fineness and the wished drape speak alone, with a wide sd.
    """
    seen = sort_swatches(swatches, yarn_tex, needles, drape)
    prior = from_yarn(yarn_tex, drape)
    belief = believe(prior, seen.observations)
    wale, course, loop = (length(belief, name) for name in NAMES)
    readings = sum(each.readings for each in seen.observations)
    thickness = diameter_mm(yarn_tex.value, fibre_density)
    return Gauge(
        wale=wale,
        course=course,
        loop=loop,
        tightness=tightness(belief, yarn_tex),
        covariance=_covariance(belief),
        open_ratio=stretched_ratio(seen.own, seen.others) or expected_ratio(loop, wale, thickness),
        areal_mass=areal_mass(belief, yarn_tex),
        jam=_jam(yarn_tex, thickness),
        notes=(
            *_unmeasured(readings),
            *seen.notes,
            *(_odd_for_cylinder(wale, course, yarn_tex, needles) if readings else ()),
            *stretch_notes(seen.own, seen.others),
        ),
        readings_used=readings,
        conflicts=(
            *find_conflicts(prior, seen.observations),
            *far_from_yarn(prior, belief, yarn_tex),
        ),
    )


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
        said(
            "Nothing was measured of the fabric: its gauge comes from the yarn's fineness and the "
            "wished drape alone, and every length from it is rough. Knit a swatch, wash it and "
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
                said(
                    "The fabric has {per_inch:.1f} {what} to the inch; on about {band} needles "
                    "such yarn mostly gives {low:g} to {high:g}. If that is not meant, count "
                    "again.",
                    per_inch=per_inch,
                    what=said("wales") if what == "wales" else said("courses"),
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
