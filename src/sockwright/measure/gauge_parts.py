"""Where the numbers of a gauge come from: their derivations, and what each of them rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from math import exp, sqrt

from sockwright.estimates import LEAST_SHARE, THE_ORDER, Count, Derivation, Estimate, Input, counted
from sockwright.facts import Fact, fact
from sockwright.i18n import N_, _
from sockwright.measure.belief import (
    AREAL_MASS_ROW,
    NAMES,
    OF_LOOP,
    OF_PITCH,
    OF_SHAPE,
    OF_SIZE,
    TIGHTNESS_ROW,
    Belief,
    ErrorPart,
    error_parts,
    length,
)
from sockwright.measure.fabrics import PLAIN, SIZES, key_of, label_of, ratio, shared_name
from sockwright.measure.finished import Component
from sockwright.measure.from_socks import Taught
from sockwright.measure.lesson_parts import Source, VariancePart, variance_parts
from sockwright.measure.swatch import FINENESS, Observation, observe, reading_words
from sockwright.measure.swatches import POWER, SERVICE, SLOPE, SortedSwatches, of_main
from sockwright.measure.yarn import Yarn
from sockwright.order.model import SwatchGiven


@dataclass(frozen=True)
class LearnedGauge:
    """What finished socks taught of a gauge: how many `socks` counted, and by what factor `wale`,
    `course` and `loop` come out against the swatches alone; `without` are the three without
    learning, mm."""

    socks: Count
    wale: Estimate
    course: Estimate
    loop: Estimate
    without: tuple[Estimate, Estimate, Estimate]


ROWS: Mapping[str, Mapping[str, float]] = {
    "wale": {"wale": 1.0},
    "course": {"course": 1.0},
    "loop": {"loop": 1.0},
    "tightness": TIGHTNESS_ROW,
    "areal_mass": AREAL_MASS_ROW,
    "loop_mass": {"loop": 1.0, FINENESS: 1.0},
}
"""How often the logarithm of each number of a gauge takes the believed ones."""

LABELS = {
    "wale": _("width of a wale"),
    "course": _("height of a course"),
    "loop": _("yarn in one loop"),
    "tightness": _("tightness factor"),
    "areal_mass": _("mass of a square metre"),
    "loop_mass": _("mass of the yarn in one loop"),
}

OF_FABRIC = {
    "tightness": _("√fineness (tex) ÷ loop (mm)"),
    "areal_mass": _("loops in a square centimetre × loop (mm) × fineness (tex) ÷ 100"),
    "loop_mass": _("loop (km) × fineness (tex); what was weighed tells both together"),
}
FROM_SETTING = OF_FABRIC | {
    "wale": _(
        "3.12 mm × (pitch ÷ 5 mm)^0.42 × (fineness ÷ 240 tex)^0.35, and 8 % wider or narrower for "
        "a soft or a firm drape"
    ),
    "course": _("wale ÷ 1.35"),
    "loop": _("√(wale × course × Munden's Kw × Kc)"),
}
FROM_READINGS = OF_FABRIC | {
    "wale": _(
        "all readings of the swatches together with what yarn and needles let expect, each with "
        "the weight that its error leaves it"
    ),
    "course": _(
        "all readings of the swatches together with what yarn and needles let expect (course = "
        "wale ÷ 1.35), each with the weight that its error leaves it"
    ),
    "loop": _(
        "all readings of the swatches together with what yarn and needles let expect (loop = "
        "√(wale × course × Munden's Kw × Kc)), each with the weight that its error leaves it"
    ),
}

WITHOUT = N_("{what}, by the swatches alone")
SOURCES = {
    Source.SWATCHES: _("swatches of other socks' fabrics"),
    Source.FINENESS: _("fineness of other socks' yarns"),
    Source.MAKER: _("how your socks differ from your swatches"),
    Source.GROUP: _("how socks of this class of yarn differ from them"),
    Source.OWN: _("how this fabric differs from them"),
    Source.GRID: _("how much socks differ at all, which is not known"),
}
OF_SOCKS_LEARNED = _(
    "a hierarchical model of socks against swatches (any textbook of Bayesian data analysis)"
)
OF_SOCKS = _("ordinary socks, and the trade's bands of stitches to the inch")
UPDATE = _("Gaussian update of ln wale, ln course and ln loop (any textbook of statistics)")
TEXCOMS = _("Texcoms Textile Technical Handbook (2023), p. 147")


@dataclass(frozen=True)
class Ground:
    """What the numbers of a gauge rest on: swatches, yarn, and what was seen."""

    swatches: tuple[SwatchGiven, ...]
    yarn: Yarn
    seen: SortedSwatches
    of_swatches: Belief
    taught: Taught | None

    def named(self, name: str, value: Estimate) -> Estimate:
        """One of the numbers with its derivation."""
        if self.taught is not None:
            return self._learned(name, value, self.taught)
        return self._of_swatches(name, f"gauge.{name}", value)

    def _of_swatches(self, name: str, key: str, value: Estimate) -> Estimate:
        formulas = FROM_READINGS if self.seen.observations else FROM_SETTING
        source, standing = OF_SOCKS, "derived"
        if name in OF_FABRIC:
            source, standing = TEXCOMS, "published"
        elif self.seen.observations:
            source = UPDATE
        take = partial(self.inputs, value, ROWS[name])
        label = LABELS[name] if key == f"gauge.{name}" else _(WITHOUT, what=LABELS[name])
        return value.called(Derivation(key, label, source, formulas[name], standing, take=take))

    def without(self, name: str) -> Estimate:
        """Wale, course or loop by the swatches alone."""
        value = length(self.of_swatches, name)
        return self._of_swatches(name, f"gauge.without_learning.{name}", value)

    def learned(self) -> LearnedGauge:
        """What the finished socks taught, as numbers."""
        assert self.taught is not None
        factors = {name: self._factor(name, self.taught) for name in NAMES}
        socks = counted(
            self.taught.socks,
            "gauge.learned.socks",
            _("finished socks counted"),
            _("socks that read something of the fabric, washed and dry"),
            THE_ORDER,
        )
        wale, course, loop = (self.without(name) for name in NAMES)
        return LearnedGauge(socks, **factors, without=(wale, course, loop))

    def _factor(self, name: str, taught: Taught) -> Estimate:
        """How a size comes out against the swatches alone."""
        found = taught.lesson.factor(Component(name))
        how = Derivation(
            f"gauge.learned.{name}",
            _("socks against swatches: {what}", what=LABELS[name]),
            OF_SOCKS_LEARNED,
            _("what finished socks measured ÷ what their swatches foretold, each sock weighed"),
            take=partial(self._taught_inputs, name, taught),
        )
        return Estimate(found.value, found.value * found.sd, "1", how)

    def _learned(self, name: str, value: Estimate, taught: Taught) -> Estimate:
        """One of the numbers after finished socks."""
        take = partial(self._taught_inputs, name, taught)
        formula = _("what the swatches let expect × what finished socks taught")
        if name == "loop_mass":
            formula = OF_FABRIC[name]
        elif name not in NAMES:
            take, formula = partial(self._of_learned, ROWS[name], taught), OF_FABRIC[name]
        return value.called(
            Derivation(f"gauge.{name}", LABELS[name], OF_SOCKS_LEARNED, formula, take=take)
        )

    def _of_learned(self, coefficients: Mapping[str, float], taught: Taught) -> tuple[Input, ...]:
        """The sizes, after finished socks, and the fineness that a number is made of."""
        found = []
        for name, times in coefficients.items():
            number = self.yarn.tex
            if name in NAMES:
                number = self._learned(name, length(taught.belief, name), taught)
            found.append((number, (times * number.sd / number.value) ** 2))
        total = sum(variance for _, variance in found) or 1.0
        return tuple(Input(number, variance / total) for number, variance in found)

    def _taught_inputs(self, name: str, taught: Taught) -> tuple[Input, ...]:
        """The errors behind a size after finished socks, as far as they weigh.

        What two fabrics' swatches tell together can lessen the variance: shares are those of all
        that adds to it.
        """
        weighed = name == "loop_mass"
        of = Component.LOOP if weighed else Component(name)
        variances: dict[str, float] = {}
        told: dict[str, Estimate] = {}
        for part in variance_parts(taught.learned, taught.place, of, weighed=weighed):
            number = self._source(name, part, taught)
            assert number.how is not None
            told[number.how.key] = number
            variances[number.how.key] = variances.get(number.how.key, 0.0) + part.variance
        total = sum(variance for variance in variances.values() if variance > 0)
        return tuple(
            Input(told[key], variance / total)
            for key, variance in variances.items()
            if variance >= LEAST_SHARE * total
        )

    def _source(self, name: str, part: VariancePart, taught: Taught) -> Estimate:
        """What a part of the variance comes from."""
        if part.source is Source.FINENESS and part.number == 0:
            return self.yarn.tex
        if part.source is Source.SWATCHES and part.number == taught.place:
            return self.without("loop" if name == "loop_mass" else name)
        if part.source is Source.SOCK and part.number is not None:
            how = Derivation(
                f"finished.{part.number + 1}",
                _("finished sock '{name}'", name=taught.names[part.number]),
                THE_ORDER,
                origin="measured",
            )
            return Estimate(1.0, sqrt(abs(part.variance)), "1", how)
        label = SOURCES[part.source]
        key = f"learning.{part.source.value}"
        return Estimate(
            1.0, sqrt(abs(part.variance)), "1", Derivation(key, label, OF_SOCKS_LEARNED)
        )

    def of_fabric(
        self, kind: str, name: str, value: Estimate, coefficients: Mapping[str, float]
    ) -> Estimate:
        """One of the sizes of another fabric with its derivation."""
        take = partial(self.inputs, value, coefficients)
        key, label = key_of(kind, name), label_of(kind, name)
        return value.called(Derivation(key, label, UPDATE, FROM_READINGS[name], take=take))

    def inputs(self, value: Estimate, coefficients: Mapping[str, float]) -> tuple[Input, ...]:
        """The errors behind one of the numbers, as far as they weigh."""
        relative = (value.sd / value.value) ** 2
        parts = error_parts(self.seen.setting, self.seen.observations, coefficients)
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
            if of_main(swatch)
            for seen in observe(swatch, self.yarn.tex).observations
        ]

    @cached_property
    def _of_fabrics(self) -> dict[str, Estimate]:
        """The ratios of other fabrics to plain, by the names of the errors of them."""
        kinds = {str(s.fabric) for s in self.swatches if of_main(s)} - {PLAIN}
        return {shared_name(k, size): ratio(k, size) for k in kinds for size in SIZES}

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
        if part.name in self._of_fabrics:
            return self._of_fabrics[part.name]
        if part.name == OF_PITCH:
            how = Derivation(
                "fit.pitch",
                _("distance of the needles"),
                _("the ring of needles ÷ their number"),
                origin="chosen",
            )
            return self.seen.setting.pitch.called(how)
        return _shared(part)


def _shared(part: ErrorPart) -> Estimate:
    """An error that readings have in common, as a factor of 1 with its sd."""
    label, known = _shared_fact(part.name)
    key = f"gauge.error.{part.name.replace(' ', '_').replace('.', '_')}"
    return known.called(key, label, Estimate(1.0, part.sd, "1"))


_SHARED = {
    OF_SIZE: (_("size of the fabric on such needles"), "size_relative_sd"),
    OF_SHAPE: (_("courses to a wale"), "shape_relative_sd"),
    OF_LOOP: (_("yarn in a loop of its size"), "loop_relative_sd"),
    "pull": (_("pull on the straightened yarn"), "pull_relative_sd"),
    "rested width": (_("washing after the rest: width"), "rested_width_relative_sd"),
    "rested height": (_("washing after the rest: height"), "rested_height_relative_sd"),
    POWER: (_("carrying a gauge from cylinder to cylinder"), "transfer_power_sd"),
    SLOPE: (_("what one step of the stitch cam does"), "cam_relative_sd"),
    SERVICE: (_("what the service did"), "service_relative_sd"),
}


def _shared_fact(name: str) -> tuple[str, Fact]:
    if name in _SHARED:
        label, known = _SHARED[name]
        return label, fact("gauge", known)
    return _("swatches of another cylinder or cam setting"), fact("gauge", "level_relative_sd")
