"""The gauge: the best estimate of a fabric's wale, course and loop from whatever was measured."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import exp

from sockwright.estimates import LEAST_SHARE, THE_ORDER, Count, Derivation, Estimate, Input, counted
from sockwright.facts import Fact, fact, table
from sockwright.i18n import _
from sockwright.measure.belief import (
    AREAL_MASS_ROW,
    NAMES,
    OF_KC,
    OF_KW,
    OF_WISH,
    TIGHTNESS_ROW,
    Belief,
    ErrorPart,
    areal_mass,
    believe,
    error_parts,
    from_yarn,
    length,
    tightness,
)
from sockwright.measure.stretch import opening, stretch_notes
from sockwright.measure.swatch import FINENESS, Observation, observe, reading_words
from sockwright.measure.swatches import SortedSwatches, far_from_yarn, find_conflicts, sort_swatches
from sockwright.measure.yarn import Yarn, drape_tightness, jam_tightness, munden_of
from sockwright.order.model import Drape, State, SwatchGiven

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
    readings_used: Count = NO_READINGS
    conflicts: tuple[str, ...] = ()


ROWS: Mapping[str, Mapping[str, float]] = {
    "wale": {"wale": 1.0},
    "course": {"course": 1.0},
    "loop": {"loop": 1.0},
    "tightness": TIGHTNESS_ROW,
    "areal_mass": AREAL_MASS_ROW,
}
"""How often the logarithm of each number of a gauge takes the believed ones."""

LABELS = {
    "wale": _("width of a wale"),
    "course": _("height of a course"),
    "loop": _("yarn in one loop"),
    "tightness": _("tightness factor"),
    "areal_mass": _("mass of a square metre"),
}

OF_FABRIC = {
    "tightness": _("√fineness (tex) ÷ loop (mm)"),
    "areal_mass": _("loops in a square centimetre × loop (mm) × fineness (tex) ÷ 100"),
}
FROM_YARN = OF_FABRIC | {
    "wale": _("loop ÷ Munden's constant Kw, the loop being √fineness ÷ the wished tightness"),
    "course": _("loop ÷ Munden's constant Kc, the loop being √fineness ÷ the wished tightness"),
    "loop": _("√fineness ÷ the wished tightness"),
}
FROM_READINGS = OF_FABRIC | {
    "wale": _(
        "all readings of the swatches together with what the yarn lets expect (wale = loop ÷ "
        "Munden's Kw), each with the weight that its error leaves it"
    ),
    "course": _(
        "all readings of the swatches together with what the yarn lets expect (course = loop ÷ "
        "Munden's Kc), each with the weight that its error leaves it"
    ),
    "loop": _(
        "all readings of the swatches together with what the yarn lets expect (loop = √fineness ÷ "
        "tightness), each with the weight that its error leaves it"
    ),
}

MUNDEN = _("D. L. Munden, J. Text. Inst. 50 (1959) T448-T471")
UPDATE = _("Gaussian update of ln wale, ln course and ln loop (any textbook of statistics)")
TEXCOMS = _("Texcoms Textile Technical Handbook (2023), p. 147")


def estimate_gauge(
    swatches: Sequence[SwatchGiven], yarn: Yarn, needles: int, drape: Drape
) -> Gauge:
    """The gauge of a sock of `yarn` on so many needles from swatches, in any mix of readings.

    A Gaussian update of the logarithms: without a swatch the yarn's fineness and the wished drape
    speak alone, with a wide sd.
    """
    tex = yarn.tex
    seen = sort_swatches(swatches, tex, needles, drape)
    prior = from_yarn(tex, drape)
    belief = believe(prior, seen.observations)
    ground = _Ground(tuple(swatches), yarn, drape, seen)
    wale, course, loop = (ground.named(name, length(belief, name)) for name in NAMES)
    readings = sum(each.readings for each in seen.observations)
    return Gauge(
        wale=wale,
        course=course,
        loop=loop,
        tightness=ground.named("tightness", tightness(belief, tex)),
        covariance=_covariance(belief),
        open_ratio=opening(seen.own, seen.others, swatches, loop, wale, yarn.diameter),
        areal_mass=ground.named("areal_mass", areal_mass(belief, tex)),
        jam=_jam(tex, yarn.diameter.value),
        notes=(
            *_unmeasured(readings),
            *seen.notes,
            *(_odd_for_cylinder(wale, course, tex, needles) if readings else ()),
            *stretch_notes(seen.own, seen.others),
        ),
        readings_used=_readings_used(readings),
        conflicts=(
            *find_conflicts(prior, seen.observations),
            *far_from_yarn(prior, belief, tex),
        ),
    )


@dataclass(frozen=True)
class _Ground:
    """What the numbers of a gauge rest on: swatches, yarn, wish, and what was seen."""

    swatches: tuple[SwatchGiven, ...]
    yarn: Yarn
    drape: Drape
    seen: SortedSwatches

    def named(self, name: str, value: Estimate) -> Estimate:
        """One of the numbers with its derivation."""
        formulas = FROM_READINGS if self.seen.observations else FROM_YARN
        source, standing = MUNDEN, "from memory"
        if name in OF_FABRIC:
            source, standing = TEXCOMS, "published"
        elif self.seen.observations:
            source, standing = UPDATE, "derived"
        take = partial(self.inputs, name, value)
        key, label = f"gauge.{name}", LABELS[name]
        return value.called(Derivation(key, label, source, formulas[name], standing, take=take))

    def inputs(self, name: str, value: Estimate) -> tuple[Input, ...]:
        """The errors behind one of the numbers, as far as they weigh."""
        relative = (value.sd / value.value) ** 2
        parts = error_parts(self.yarn.tex, self.drape, self.seen.observations, ROWS[name])
        swatches = self._observed()
        return tuple(
            Input(self._error(part, swatches), part.variance / relative)
            for part in parts
            if relative and part.variance / relative >= LEAST_SHARE
        )

    def _observed(self) -> list[tuple[int, SwatchGiven, Observation]]:
        """The place and the swatch of every observation, and what was seen before it was brought
        to the level of this cylinder."""
        return [
            (place, swatch, seen)
            for place, swatch in enumerate(self.swatches, start=1)
            if swatch.yarn == "main"
            for seen in observe(swatch, self.yarn.tex).observations
        ]

    def _error(
        self, part: ErrorPart, swatches: Sequence[tuple[int, SwatchGiven, Observation]]
    ) -> Estimate:
        if part.place is not None:
            place, swatch, seen = swatches[part.place]
            key = f"swatch.{place}.{seen.kind.name.lower()}"
            how = Derivation(key, seen.label, reading_words(swatch, seen), origin="measured")
            value = exp(seen.value)
            return Estimate(value, value * seen.sd, "mm", how)
        if part.name == FINENESS:
            return self.yarn.tex
        if part.name == OF_WISH:
            wished = drape_tightness(self.drape)
            return fact("gauge", "wish_relative_sd").called(
                "sock.drape",
                _("tightness of the wished drape"),
                Estimate(wished, wished * part.sd, "tex^0.5/mm"),
                "chosen",
            )
        if part.name in (OF_KW, OF_KC):
            return _munden(part)
        return _shared(part)


def _munden(part: ErrorPart) -> Estimate:
    """One of Munden's constants."""
    constants = munden_of(State.WASHED)
    constant = constants.kw if part.name == OF_KW else constants.kc
    label = _("Munden's constant Kw") if part.name == OF_KW else _("Munden's constant Kc")
    number = constant.number
    value = Estimate(number, number * part.sd, "1")
    return constant.called(f"constants.{part.name.lower()}", label, value)


def _shared(part: ErrorPart) -> Estimate:
    """An error that readings have in common, as a factor of 1 with its sd."""
    label, known = _shared_fact(part.name)
    key = f"gauge.error.{part.name.replace(' ', '_').replace('.', '_')}"
    return known.called(key, label, Estimate(1.0, part.sd, "1"))


def _shared_fact(name: str) -> tuple[str, Fact]:
    if name == "pull":
        return _("pull on the straightened yarn"), fact("gauge", "pull_relative_sd")
    if name == "rested width":
        return _("washing after the rest: width"), fact("gauge", "rested_width_relative_sd")
    if name == "rested height":
        return _("washing after the rest: height"), fact("gauge", "rested_height_relative_sd")
    return _("swatches of another cylinder or cam setting"), fact("gauge", "level_relative_sd")


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
