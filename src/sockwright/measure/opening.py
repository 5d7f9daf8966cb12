"""How many times its relaxed width a fabric opens in a firm pull of both hands: as a swatch showed,
or as yarn, loop and needles let expect.

That is the short pull with which a sock goes over the heel, not how far it is worn all day. The
loop bounds it from above: Peirce's loop = 2 courses + wale + 5.94 yarn diameters, with the courses
closed to two diameters, leaves a wale of loop - 9.94 diameters. The ring of needles bounds it from
below: there the fabric has hung.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import exp, hypot, log, sqrt

from sockwright.estimates import Derivation, Estimate, Input
from sockwright.facts import Fact, fact
from sockwright.i18n import Message, _, by_units, joined
from sockwright.measure.swatch import STATES, division, ratio_sd, width_change_by_washing
from sockwright.order.model import Pull, State, Stretch, SwatchGiven
from sockwright.quantities import format_length

LEAST_BOUND = 0.1
"""Peirce's bound of fabric beyond its jam, where the formula gives nothing."""


@dataclass(frozen=True)
class Knit:
    """What an opening is expected from: `loop` and `wale` (mm), the yarn's `diameter` (mm), the
    `pitch` of the needles (mm), the share of cotton in the yarn, whether it has felted."""

    loop: Estimate
    wale: Estimate
    diameter: Estimate
    pitch: Estimate
    cotton: float = 0.0
    felted: bool = False

    @property
    def bound(self) -> Estimate:
        """Peirce's bound from above, times the relaxed width."""
        yarns = fact("gauge", "opening_diameters").number * self.diameter.value
        left = self.loop.value - yarns
        value = max(left / self.wale.value, LEAST_BOUND)
        squeezed = yarns * fact("gauge", "opening_diameter_sd").number
        spread = hypot(self.loop.sd, squeezed) / max(left, LEAST_BOUND * self.wale.value)
        return Estimate(value, value * spread, "1")

    @property
    def ring(self) -> float:
        """How many times its relaxed width it hung on the needles."""
        return self.pitch.value / self.wale.value


def expected_opening(knit: Knit) -> tuple[float, float]:
    """Mean and sd of ln(times its relaxed width that it opens), nothing having been pulled.

    The usual 1.8, moved by as much of Peirce's bound against the usual one as the loop is known,
    less for cotton; never beyond nine tenths of the larger bound nor below those of the ring.
    """
    usual, bound = fact("gauge", "opening_usual"), knit.bound
    spread = bound.sd / bound.value
    own = fact("gauge", "opening_bound_spread").number
    known = own**2 / (own**2 + spread**2)
    mean = log(usual.number)
    mean += known * log(bound.value / fact("gauge", "opening_bound_usual").number)
    mean += log(1 - fact("gauge", "opening_of_cotton").number * knit.cotton)
    reach = fact("gauge", "opening_of_bound").number
    mean = min(mean, log(reach * max(bound.value * exp(spread), knit.ring)))
    if knit.ring > 1:
        mean = max(mean, log(reach * knit.ring))
    sd = (usual.sd or 0.0) / usual.number
    if knit.felted:
        felt = fact("gauge", "opening_felted")
        mean, sd = mean + log(felt.number), felt.sd or sd
    return max(mean, 0.0), sd


@dataclass(frozen=True)
class Pulled:
    """Firm pulls as (swatch, ln of stretched over washed width, its relative sd), and the fact of
    the relative error that the `hand` brings to all of them."""

    hand: Fact
    readings: tuple[tuple[SwatchGiven, float, float], ...]

    @property
    def mean(self) -> tuple[float, float]:
        """Mean of ln, and its sd. However many pieces there are, one hand pulls them, so that its
        error does not average away."""
        weights = [1 / sd**2 for _, _, sd in self.readings]
        summed = sum(w * v for w, (_, v, _) in zip(weights, self.readings, strict=True))
        return summed / sum(weights), hypot(self.hand.number, 1 / sqrt(sum(weights)))


def firm_pulls(own: Sequence[SwatchGiven], others: Sequence[SwatchGiven]) -> Pulled | None:
    """The firm pulls that count, those of `own` before those of `others`."""
    for swatches, name in ((own, "stretch_relative_sd"), (others, "other_stretch_relative_sd")):
        seen = [
            (swatch, *_reading(swatch, each))
            for swatch in _off_machine(swatches)
            for each in swatch.stretch
            if each.pull is Pull.FIRM
        ]
        if seen:
            return Pulled(fact("gauge", name), tuple(seen))
    return None


def least_opening(own: Sequence[SwatchGiven]) -> float | None:
    """What gentle pulls, and those of which nobody said how they were pulled, show it to open at
    least; None without them."""
    seen = [
        _reading(swatch, each)[0]
        for swatch in _off_machine(own)
        for each in swatch.stretch
        if each.pull is not Pull.FIRM
    ]
    return exp(sum(seen) / len(seen)) if seen else None


OPENING = ("gauge.open_ratio", _("opens in a firm pull to"))
"""Key and label of the number."""


def opening(
    own: Sequence[SwatchGiven],
    others: Sequence[SwatchGiven],
    swatches: Sequence[SwatchGiven],
    knit: Knit,
) -> Estimate:
    """Times its relaxed width that a fabric opens in a firm pull.

    Firm readings of the cylinder and setting asked for go before those of `others`, which count
    less; a gentle one only raises what is expected. Readings on the machine do not count.
    `swatches` are all there are, to be named by place.
    """
    mean, sd = expected_opening(knit)
    least = least_opening(own)
    if least is not None:
        mean = max(mean, log(least))
    expected = _expected(mean, sd, knit, least)
    return with_pulls(expected, firm_pulls(own, others), swatches)


def _expected(mean: float, sd: float, knit: Knit, least: float | None) -> Estimate:
    """Nothing was pulled firmly: the model's own error stands for all others."""
    usual = fact("gauge", "opening_usual")
    ratio = exp(mean)
    if least is not None and ratio == least:
        formula = _("what a gentle pull showed, which is the least; pulled firmly it may be more")
    else:
        formula = _(
            "{usual:g} as usual × (Peirce's bound ÷ {bound:g}) as far as the loop is known; not "
            "beyond that bound nor below the ring of needles, which is {ring:.2f} times as wide",
            usual=usual.number,
            bound=fact("gauge", "opening_bound_usual").number,
            ring=knit.ring,
        )
    model = usual.called(
        "gauge.error.opening", _("the model of a pulled fabric"), Estimate(1.0, sd, "1")
    )
    return (model * ratio).named(
        *OPENING,
        "1",
        formula,
        usual.told,
        usual.standing,
        also=(knit.loop, knit.wale, knit.diameter),
    )


def with_pulls(
    expected: Estimate, pulled: Pulled | None, swatches: Sequence[SwatchGiven]
) -> Estimate:
    """What was expected of an opening together with the firm pulls, each with the weight that its
    error leaves it, under the same key; `swatches` are all there are, to be named by place."""
    if pulled is None:
        return expected
    assert expected.how is not None
    key, label = expected.how.key, expected.how.label
    mean, sd = log(expected.value), expected.sd / expected.value
    read, read_sd = pulled.mean
    weight = sd**2 / (sd**2 + read_sd**2)
    ratio = exp(mean + weight * (read - mean))
    spread = sqrt(weight) * read_sd
    of_all = 1 / (weight * read_sd**2)
    model = replace(
        expected.how, key=key.replace("gauge.", "gauge.error."), label=_("what was expected of it")
    )
    hand = pulled.hand.called(
        "gauge.error.hand",
        _("how firmly a hand pulls"),
        Estimate(1.0, pulled.hand.number, "1"),
    )
    inputs = [
        Input(replace(expected, how=model), ((1 - weight) * sd) ** 2 * of_all),
        Input(hand, (weight * pulled.hand.number) ** 2 * of_all),
    ]
    total = sum(1 / each**2 for _, _, each in pulled.readings)
    pieces: dict[int, list[tuple[float, float]]] = {}
    for swatch, value, each in pulled.readings:
        pieces.setdefault(swatches.index(swatch), []).append((value, each))
    for place, mine in pieces.items():
        part = sum(1 / each**2 for _, each in mine) / total**2 * weight**2 * of_all
        inputs.append(Input(_pieces(swatches[place], place, mine), part))
    how = Derivation(
        key,
        label,
        _("the swatch itself, pulled by hand, and what was expected of it"),
        _("pulled width ÷ washed width, the mean of all pieces, together with what was expected"),
        take=partial(tuple, inputs),
    )
    return Estimate(ratio, ratio * spread, "1", how)


def _pieces(swatch: SwatchGiven, place: int, read: Sequence[tuple[float, float]]) -> Estimate:
    """The pieces pulled of one swatch, taken together."""
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
        _("pieces pulled of swatch '{name}'", name=swatch.name),
        by_units(told("cm"), **{"in": told("in")}),
        origin="measured",
    )
    return Estimate(mean, mean / weight**0.5, "1", how)


def pull_notes(own: Sequence[SwatchGiven], others: Sequence[SwatchGiven]) -> tuple[str, ...]:
    """What a maker should know about the pulls, or their absence."""
    notes = [
        _(
            "Swatch '{swatch}' was stretched on the machine: that says nothing about the sock. "
            "Pull it when it is washed and dry.",
            swatch=swatch.name,
        )
        for swatch in (*own, *others)
        if swatch.stretch and swatch.state is State.ON_MACHINE
    ]
    if firm_pulls(own, ()):
        return tuple(notes)
    if firm_pulls((), others):
        notes.append(
            _(
                "The firm pull is of a swatch from another cylinder or cam setting: pull one from "
                "this cylinder and setting."
            )
        )
    elif any(swatch.stretch for swatch in _off_machine(own)):
        notes.append(
            _(
                "The swatch was pulled gently, or nobody noted how: that counts as the least it "
                "opens. Pull a washed piece in width with both hands, as far as it goes, and "
                "measure again."
            )
        )
    else:
        notes.append(
            _(
                "How far the fabric opens is reckoned, not measured: pull a washed piece in width "
                "with both hands, as far as it goes, and measure it relaxed and pulled."
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
