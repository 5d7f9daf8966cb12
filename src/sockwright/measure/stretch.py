"""How many times its relaxed width a fabric opens in comfort: as a swatch showed, or as the loop
lets expect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from math import exp, hypot, log, sqrt

from sockwright.estimates import Derivation, Estimate, Input
from sockwright.facts import Fact, fact
from sockwright.i18n import Message, _, by_units, joined
from sockwright.measure.swatch import STATES, division, ratio_sd, width_change_by_washing
from sockwright.order.model import State, Stretch, SwatchGiven
from sockwright.quantities import format_length


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


OPENING = ("gauge.open_ratio", _("stretches to"))
"""Key and label of the number."""


def opening(
    own: Sequence[SwatchGiven],
    others: Sequence[SwatchGiven],
    swatches: Sequence[SwatchGiven],
    loop: Estimate,
    wale: Estimate,
    diameter: Estimate,
) -> Estimate:
    """Times its relaxed width that the fabric opens in comfort, from stretch readings or else by
    its loop and the yarn's diameter (mm).

    Readings of the cylinder and setting asked for go before those of `others`, which get a wider
    sd; readings on the machine do not count. `swatches` are all there are, to be named by place.
    """
    seen = stretch_readings(own, others)
    return _expected(loop, wale, diameter) if seen is None else _stretched(seen, swatches)


def _expected(loop: Estimate, wale: Estimate, diameter: Estimate) -> Estimate:
    """Unmeasured, with a wide sd: the model's own error stands for all others."""
    share, yarns = fact("constants", "comfortable_share"), fact("constants", "opened_yarns")
    error = fact("gauge", "opening_relative_sd")
    model = error.called(
        "gauge.error.opening",
        _("the model of an opened loop"),
        Estimate(1.0, error.number, "1"),
    )
    ratio = comfortable_ratio(loop.value, diameter.value, wale.value)
    return (model * ratio).named(
        *OPENING,
        "1",
        _(
            "{share} × (loop ÷ 2 − {yarns:g} × yarn diameter) ÷ wale, and 1 at least; the model's "
            "own error stands for all others",
            share=_("{n:.2f}", n=share.number),
            yarns=yarns.number,
        ),
        share.told,
        share.standing,
        also=(loop, wale, diameter),
    )


def _stretched(seen: StretchSeen, swatches: Sequence[SwatchGiven]) -> Estimate:
    """The mean of all pieces stretched. However many there are, one hand pulls them, so that its
    error does not average away."""
    weights = [1 / sd**2 for _, _, sd in seen.readings]
    summed = sum(w * value for w, (_, value, _) in zip(weights, seen.readings, strict=True))
    ratio = exp(summed / sum(weights))
    hand = seen.hand.called(
        "gauge.error.hand",
        _("how gently a hand stretches"),
        Estimate(1.0, seen.hand.number, "1"),
    )
    sd = ratio * hypot(seen.hand.number, 1 / sqrt(sum(weights)))
    pieces: dict[int, list[tuple[float, float]]] = {}
    for swatch, value, each in seen.readings:
        pieces.setdefault(swatches.index(swatch), []).append((value, each))
    inputs = [Input(hand, (seen.hand.number * ratio / sd) ** 2)]
    for place, mine in pieces.items():
        weight = sum(1 / each**2 for _, each in mine)
        share = weight / sum(weights) ** 2 * (ratio / sd) ** 2
        inputs.append(Input(_pieces(swatches[place], place, mine), share))
    how = Derivation(
        *OPENING,
        _("the swatch itself, stretched by hand"),
        _("stretched width ÷ washed width, the mean of all pieces stretched"),
        take=partial(tuple, inputs),
    )
    return Estimate(ratio, sd, "1", how)


def _pieces(swatch: SwatchGiven, place: int, read: Sequence[tuple[float, float]]) -> Estimate:
    """The pieces stretched of one swatch, taken together."""
    weight = sum(1 / sd**2 for _, sd in read)
    mean = exp(sum(value / sd**2 for value, sd in read) / weight)

    def told(units: str) -> Message:
        widths = [
            _(
                "{relaxed} to {stretched}",
                relaxed=format_length(each.relaxed_mm, units),
                stretched=format_length(each.stretched_mm, units),
            )
            for each in swatch.stretch
        ]
        state = STATES[swatch.state]
        return _("{pieces}; {state}", pieces=joined(", ", widths), state=state)

    how = Derivation(
        f"swatch.{place + 1}.stretch",
        _("pieces stretched of swatch '{name}'", name=swatch.name),
        by_units(told("cm"), **{"in": told("in")}),
        origin="measured",
    )
    return Estimate(mean, mean / weight**0.5, "1", how)


def stretch_notes(own: Sequence[SwatchGiven], others: Sequence[SwatchGiven]) -> tuple[str, ...]:
    """What a maker should know about the stretch readings, or their absence."""
    notes = [
        _(
            "Swatch '{swatch}' was stretched on the machine: that says nothing about the sock. "
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
            _(
                "How far the fabric stretches was measured on a swatch from another cylinder or "
                "cam setting: stretch one from this cylinder and setting."
            )
        )
    else:
        notes.append(
            _(
                "How far the fabric stretches was not measured but estimated from its loop, "
                "which is uncertain: measure a washed swatch relaxed, then gently stretched in "
                "width."
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
