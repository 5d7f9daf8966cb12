"""What a reading of a swatch says about the fabric, as an observation with its error.

The fabric is described by x = (ln w, ln h, ln l): wale width, course height and loop length in mm
of the washed, relaxed fabric. Every reading is the logarithm of one of them, so errors are
relative errors.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import exp, hypot, log, sqrt

from sockwright.estimates import Estimate, rectangular_sd
from sockwright.facts import fact
from sockwright.i18n import Message, _, by_units, joined, numeral
from sockwright.measure.yarn import munden_of
from sockwright.order.model import Count, State, SwatchGiven
from sockwright.quantities import format_length

Row = tuple[float, float, float]
WALE: Row = (1.0, 0.0, 0.0)
COURSE: Row = (0.0, 1.0, 0.0)
LOOP: Row = (0.0, 0.0, 1.0)
MM_PER_KM = 1e6
FINENESS = "yarn fineness"
"""The name of the yarn's fineness among the believed numbers and shared errors."""

Reading = tuple[float, float]
"""A single reading: ln of a length in mm, and its relative sd."""


class Kind(StrEnum):
    """The kinds of reading, in the words of the trade."""

    WALES = "wale count"
    COURSES = "course count"
    FLAT_WIDTH = "flat width of the tube"
    ROUNDS_LENGTH = "length of counted rounds"
    UNRAVELLED = "unravelled yarn"
    WEIGHED = "weight of counted loops"


KIND_WORDS = {
    Kind.WALES: _("wale count"),
    Kind.COURSES: _("course count"),
    Kind.FLAT_WIDTH: _("flat width of the tube"),
    Kind.ROUNDS_LENGTH: _("length of counted rounds"),
    Kind.UNRAVELLED: _("unravelled yarn"),
    Kind.WEIGHED: _("weight of counted loops"),
}

ROWS: dict[Kind, Row] = {
    Kind.WALES: WALE,
    Kind.COURSES: COURSE,
    Kind.FLAT_WIDTH: WALE,
    Kind.ROUNDS_LENGTH: COURSE,
    Kind.UNRAVELLED: LOOP,
    Kind.WEIGHED: LOOP,
}
OF_THE_LOOP = (Kind.UNRAVELLED, Kind.WEIGHED)


@dataclass(frozen=True)
class SharedError:
    """An error that several readings have in common: its name and relative sd."""

    name: str
    sd: float


@dataclass(frozen=True)
class Gap:
    """The readings of one kind furthest apart, mm, and their distance in its own sds."""

    low_mm: float
    high_mm: float
    sds: float


@dataclass(frozen=True)
class Observation:
    """One kind of reading of one swatch: ln(mm) = row @ x + shared errors + own error.

    `row` takes x, `value` is ln(mm), `sd` the reading's own relative error, `shared` the common
    errors with their coefficients, `readings` how many single readings went in, `gap` the two
    of them furthest apart.
    """

    row: Row
    value: float
    sd: float
    label: str
    state: State
    kind: Kind
    shared: tuple[tuple[SharedError, float], ...] = ()
    readings: int = 1
    gap: Gap | None = None


@dataclass(frozen=True)
class SwatchObservations:
    """What one swatch shows: its observations, and what a maker should know about them."""

    observations: tuple[Observation, ...]
    notes: tuple[str, ...]


def observe(swatch: SwatchGiven, yarn_tex: Estimate) -> SwatchObservations:
    """All that a swatch says about the washed fabric; every number given must be above zero.

    Widths and heights read on the machine are left out, those of rested fabric are brought to the
    washed state. Loop lengths count in every state: relaxation changes the shape of a loop, not
    its length (D. J. Spencer, Knitting Technology,
    https://www.knittingmagic.biz/practical-guide/weft-knitted-fabric-relaxation-and-shrinkage.html).
    """
    observations = []
    for kind, readings in _readings(swatch, yarn_tex.value).items():
        usable = kind in OF_THE_LOOP or swatch.state is not State.ON_MACHINE
        if readings and usable:
            observations.append(_observation(swatch, kind, readings, yarn_tex))
    return SwatchObservations(tuple(observations), _notes(swatch))


def planned_sd(kind: Kind, reading_sds: Sequence[float]) -> float:
    """Relative sd of readings of `kind` still to be taken, each with its own relative sd.

    The assumed scatter from place to place is added, for the real one is not known yet.
    """
    scatter_sd = _assumed_scatter(kind)
    return 1 / sqrt(sum(1 / (sd**2 + scatter_sd**2) for sd in reading_sds))


def count_sd(count: Count, ruler_mm: float) -> float:
    """Relative sd of one count along a ruler: a quarter of a stitch, half a division."""
    quarter = fact("gauge", "count_half_width").number
    return ratio_sd(count.number, quarter, count.span_mm, division(ruler_mm))


def ratio_sd(over: float, over_half: float, under: float, under_half: float) -> float:
    """Relative sd of over/under, each known only to within its half-width (same unit).

    Rectangular errors, JCGM 100:2008 (GUM), 4.3.7; relative variances add.
    """
    return hypot(rectangular_sd(over_half) / over, rectangular_sd(under_half) / under)


def division(smallest: float) -> float:
    """Half-width of the error of a ruler or balance with this smallest division."""
    return fact("gauge", "division_share").number * smallest


def pooled(readings: Sequence[Reading], scatter_sd: float) -> tuple[float, float]:
    """Mean of readings (ln mm, relative sd) and its sd, with the scatter from place to place.

    The assumed `scatter_sd` counts as that of two further places: one reading has nothing else,
    many show their own.
    """
    scatter = _scatter_variance(readings, scatter_sd)
    weights = [1 / (sd**2 + scatter) for _, sd in readings]
    mean = sum(w * value for w, (value, _) in zip(weights, readings, strict=True)) / sum(weights)
    return mean, 1 / sqrt(sum(weights))


def _scatter_variance(readings: Sequence[Reading], scatter_sd: float) -> float:
    places = len(readings)
    mean = sum(value for value, _ in readings) / places
    # What the reading itself errs is not scatter of the fabric.
    shown = sum((value - mean) ** 2 for value, _ in readings)
    shown -= (places - 1) * sum(sd**2 for _, sd in readings) / places
    weight = fact("gauge", "place_weight").number
    return (weight * scatter_sd**2 + max(0.0, shown)) / (weight + places - 1)


def _widest_gap(readings: Sequence[Reading], scatter_sd: float) -> Gap:
    low, high = min(readings), max(readings)
    room = sqrt(low[1] ** 2 + high[1] ** 2 + 2 * scatter_sd**2)
    return Gap(exp(low[0]), exp(high[0]), (high[0] - low[0]) / room)


def _assumed_scatter(kind: Kind) -> float:
    name = "round_relative_sd" if kind in OF_THE_LOOP else "place_relative_sd"
    return fact("gauge", name).number


def _readings(swatch: SwatchGiven, tex: float) -> dict[Kind, list[Reading]]:
    """Every reading of the swatch as (ln mm, relative sd), untouched by its state."""
    quarter = fact("gauge", "count_half_width").number
    ruler_sd = rectangular_sd(division(swatch.ruler_mm))
    balance_sd = rectangular_sd(division(swatch.balance_g))
    return {
        Kind.WALES: [_counted(count, swatch.ruler_mm) for count in swatch.wales],
        Kind.COURSES: [_counted(count, swatch.ruler_mm) for count in swatch.courses],
        Kind.FLAT_WIDTH: [
            (log(2 * width / swatch.needles), ruler_sd / width) for width in swatch.flat_widths_mm
        ],
        Kind.ROUNDS_LENGTH: [
            (
                log(tube.length_mm / tube.rounds),
                ratio_sd(tube.length_mm, division(swatch.ruler_mm), tube.rounds, quarter),
            )
            for tube in swatch.rounds_length
        ],
        Kind.UNRAVELLED: [
            (log(yarn.length_mm / yarn.loops), ruler_sd / yarn.length_mm)
            for yarn in swatch.unravelled
        ],
        Kind.WEIGHED: [
            (log(MM_PER_KM * piece.mass_g / (tex * piece.loops)), balance_sd / piece.mass_g)
            for piece in swatch.weighed
        ],
    }


def _counted(count: Count, ruler_mm: float) -> Reading:
    return log(count.span_mm / count.number), count_sd(count, ruler_mm)


def _observation(
    swatch: SwatchGiven, kind: Kind, readings: list[Reading], yarn_tex: Estimate
) -> Observation:
    value, sd = pooled(readings, _assumed_scatter(kind))
    change, shared = _common(kind, swatch.state, yarn_tex)
    return Observation(
        row=ROWS[kind],
        value=value + change,
        sd=sd,
        label=_("the {kind} of swatch '{swatch}'", kind=KIND_WORDS[kind], swatch=swatch.name),
        state=swatch.state,
        kind=kind,
        shared=shared,
        readings=len(readings),
        gap=_widest_gap(readings, _assumed_scatter(kind)),
    )


def tex_error(yarn_tex: Estimate) -> SharedError:
    """The relative error of the yarn's fineness, shared by all that is weighed."""
    return SharedError(FINENESS, yarn_tex.sd / yarn_tex.value)


def _common(
    kind: Kind, state: State, yarn_tex: Estimate
) -> tuple[float, tuple[tuple[SharedError, float], ...]]:
    """What to add to ln mm to come to the washed fabric, and the errors shared with others."""
    if kind is Kind.WEIGHED:
        return 0.0, ((tex_error(yarn_tex), 1.0),)
    if kind is Kind.UNRAVELLED:
        return 0.0, ((SharedError("pull", fact("gauge", "pull_relative_sd").number), 1.0),)
    if state is State.WASHED:
        return 0.0, ()
    name = "width" if ROWS[kind] == WALE else "height"
    error = SharedError(f"rested {name}", fact("gauge", f"rested_{name}_relative_sd").number)
    change = width_change_by_washing() if ROWS[kind] == WALE else height_change_by_washing()
    return change, ((error, 1.0),)


def width_change_by_washing() -> float:
    """ln of washed over rested wale width, below zero, by Munden's constants."""
    return log(munden_of(State.RESTED).kw.number / munden_of(State.WASHED).kw.number)


def height_change_by_washing() -> float:
    """ln of washed over rested course height, below zero, by Munden's constants."""
    return log(munden_of(State.RESTED).kc.number / munden_of(State.WASHED).kc.number)


def _notes(swatch: SwatchGiven) -> tuple[str, ...]:
    sized = swatch.wales or swatch.courses or swatch.flat_widths_mm or swatch.rounds_length
    if not sized or swatch.state is State.WASHED:
        return ()
    if swatch.state is State.ON_MACHINE:
        return (
            _(
                "Swatch '{swatch}' was measured on the machine, where needles and weights pull "
                "it out of shape: its widths and heights were not used. Take it off, let it rest, "
                "wash and dry it as the sock will be, and measure it again.",
                swatch=swatch.name,
            ),
        )
    return (
        _(
            "Swatch '{swatch}' was measured rested, not washed: its widths and heights were "
            "brought to the washed fabric by a change that is only roughly known. Wash and dry it "
            "as the sock will be, and measure it again.",
            swatch=swatch.name,
        ),
    )


STATES = {
    "on the machine": _("on the machine"),
    "rested": _("rested"),
    "washed": _("washed"),
}


def reading_words(swatch: SwatchGiven, seen: Observation) -> Message:
    """The single readings behind an observation: "84 over 200 mm, 85 over 200 mm; washed"."""

    def told(units: str) -> Message:
        return _(
            "{readings}; {state}; ± {percent:.1f} %, the scatter from place to place with it",
            readings=joined(", ", _WORDS[seen.kind](swatch, units)),
            state=STATES[swatch.state.value],
            percent=100 * seen.sd,
        )

    return by_units(told("cm"), **{"in": told("in")})


def _wales(swatch: SwatchGiven, units: str) -> list[str]:
    return [_over(each.number, each.span_mm, units) for each in swatch.wales]


def _courses(swatch: SwatchGiven, units: str) -> list[str]:
    return [_over(each.number, each.span_mm, units) for each in swatch.courses]


def _rounds(swatch: SwatchGiven, units: str) -> list[str]:
    return [_over(each.rounds, each.length_mm, units) for each in swatch.rounds_length]


def _flat(swatch: SwatchGiven, units: str) -> list[str]:
    return [format_length(width, units) for width in swatch.flat_widths_mm]


def _unravelled(swatch: SwatchGiven, units: str) -> list[str]:
    return [
        _(
            "{loops} loops: {length}",
            loops=numeral(f"{each.loops:g}"),
            length=format_length(each.length_mm, units),
        )
        for each in swatch.unravelled
    ]


def _weighed(swatch: SwatchGiven, units: str) -> list[str]:
    return [
        _(
            "{loops} loops: {mass} g",
            loops=numeral(f"{each.loops:g}"),
            mass=numeral(f"{each.mass_g:g}"),
        )
        for each in swatch.weighed
    ]


def _over(number: float, span_mm: float, units: str) -> str:
    return _(
        "{number} over {span}", number=numeral(f"{number:g}"), span=format_length(span_mm, units)
    )


_WORDS: Mapping[Kind, Callable[[SwatchGiven, str], list[str]]] = {
    Kind.WALES: _wales,
    Kind.COURSES: _courses,
    Kind.FLAT_WIDTH: _flat,
    Kind.ROUNDS_LENGTH: _rounds,
    Kind.UNRAVELLED: _unravelled,
    Kind.WEIGHED: _weighed,
}
