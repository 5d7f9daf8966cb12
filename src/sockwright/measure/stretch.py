"""How many times its relaxed width a fabric opens in comfort: as a swatch showed, or as the loop
lets expect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, hypot, log, sqrt

from sockwright.estimates import Estimate
from sockwright.facts import Fact, fact
from sockwright.measure.swatch import division, ratio_sd, width_change_by_washing
from sockwright.order.model import State, Stretch, SwatchGiven
from sockwright.words import said


def opened_wale_mm(loop_mm: float, diameter_mm: float) -> float:
    """Width of one fully spread wale, mm: l / 2 less two yarn diameters; 0 if nothing is left."""
    yarns = fact("constants", "opened_yarns").number
    return max(0.0, loop_mm / 2.0 - yarns * diameter_mm)


def comfortable_wale_mm(loop_mm: float, diameter_mm: float, wale_mm: float) -> float:
    """Width, mm, to which a wale opens in wear: the comfortable share of the full opening.

    Never less than the relaxed width `wale_mm`: fabric jammed full of yarn does not open at all.
    """
    share = fact("constants", "comfortable_share").number
    return max(wale_mm, share * opened_wale_mm(loop_mm, diameter_mm))


def comfortable_ratio(loop_mm: float, diameter_mm: float, wale_mm: float) -> float:
    """How many times its relaxed width `wale_mm` fabric opens in wear, at least 1."""
    return comfortable_wale_mm(loop_mm, diameter_mm, wale_mm) / wale_mm


def stretched_ratio(own: Sequence[SwatchGiven], others: Sequence[SwatchGiven]) -> Estimate | None:
    """Times its washed width that the fabric opens, from stretch readings; None without any.

    Readings of the cylinder and setting asked for go before `others`, which get a wider sd.
    Readings on the machine do not count. However many pieces are stretched, one hand pulls them,
    so that its error does not average away.
    """
    seen = stretch_readings(own, others)
    if seen is None:
        return None
    weights = [1 / sd**2 for _, _, sd in seen.readings]
    mean = sum(w * v for w, (_, v, _) in zip(weights, seen.readings, strict=True)) / sum(weights)
    return Estimate(exp(mean), exp(mean) * hypot(seen.hand.number, 1 / sqrt(sum(weights))), "1")


@dataclass(frozen=True)
class StretchSeen:
    """Stretch readings as (swatch, ln of stretched over washed width, its relative sd), and the
    fact of the relative error that the `hand` brings to all of them."""

    hand: Fact
    readings: tuple[tuple[SwatchGiven, float, float], ...]


def stretch_readings(
    own: Sequence[SwatchGiven], others: Sequence[SwatchGiven]
) -> StretchSeen | None:
    """The stretch readings that count, those of `own` before those of `others`."""
    for swatches, name in ((own, "stretch_relative_sd"), (others, "other_stretch_relative_sd")):
        seen = [(s, *_reading(s, each)) for s in _off_machine(swatches) for each in s.stretch]
        if seen:
            return StretchSeen(fact("gauge", name), tuple(seen))
    return None


def expected_ratio(loop: Estimate, wale: Estimate, diameter_mm: float) -> Estimate:
    """Times its relaxed width that fabric of this loop (mm) opens, unmeasured, with a wide sd."""
    ratio = comfortable_ratio(loop.value, diameter_mm, wale.value)
    return Estimate(ratio, ratio * fact("gauge", "opening_relative_sd").number, "1")


def stretch_notes(own: Sequence[SwatchGiven], others: Sequence[SwatchGiven]) -> tuple[str, ...]:
    """What a maker should know about the stretch readings, or their absence."""
    notes = [
        said(
            "Swatch '{swatch}' was stretched on the machine: that says nothing of the sock. "
            "Stretch it gently when it is washed and dry.",
            swatch=swatch.name,
        )
        for swatch in (*own, *others)
        if swatch.stretch and swatch.state is State.ON_MACHINE
    ]
    if any(swatch.stretch for swatch in _off_machine(own)):
        return tuple(notes)
    if any(swatch.stretch for swatch in _off_machine(others)):
        notes.append(
            said(
                "How far the fabric opens was read on a swatch of another cylinder or cam setting: "
                "stretch one of this."
            )
        )
    else:
        notes.append(
            said(
                "How far the fabric opens was not measured but worked out from its loop, which is "
                "uncertain: measure a washed swatch relaxed, then gently stretched in width."
            )
        )
    return tuple(notes)


def _off_machine(swatches: Sequence[SwatchGiven]) -> list[SwatchGiven]:
    return [swatch for swatch in swatches if swatch.state is not State.ON_MACHINE]


def _reading(swatch: SwatchGiven, stretch: Stretch) -> tuple[float, float]:
    """ln of stretched over washed width and its relative sd, the hand's own error apart."""
    half = division(swatch.ruler_mm)
    value = log(stretch.stretched_mm / stretch.relaxed_mm)
    sd = ratio_sd(stretch.stretched_mm, half, stretch.relaxed_mm, half)
    if swatch.state is State.WASHED:
        return value, sd
    # Washing narrows the relaxed fabric; how far it can be opened stays.
    washing_sd = fact("gauge", "rested_width_relative_sd").number
    return value - width_change_by_washing(), hypot(sd, washing_sd)
