"""Where the opening of a fabric comes from: pieces stretched by hand, or the loop alone."""

from __future__ import annotations

from math import exp

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.stretch import StretchSeen, stretch_readings
from sockwright.order.model import SwatchGiven
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.gauge_numbers import LABELS, Fabric
from sockwright.plan_sources.inputs import of_fact, reckoned, told
from sockwright.plan_sources.swatch_readings import STATES
from sockwright.plan_sources.yarn_numbers import diameter_input
from sockwright.quantities import format_length
from sockwright.words import joined, said


def opening_key(fabric: Fabric) -> str:
    """The key of how far the fabric opens."""
    return fabric.key("open_ratio" if fabric.prefix == "gauge" else "fabric_opening")


def opening_input(fabric: Fabric, share: float) -> Input:
    """How far the fabric opens, as the input of another number."""
    return reckoned(opening_key(fabric), LABELS["open_ratio"], fabric.gauge.open_ratio, share)


def opening(fabric: Fabric) -> Explained:
    """How many times its relaxed width the fabric opens."""
    seen = stretch_readings(fabric.seen.own, fabric.seen.others)
    return _expected(fabric) if seen is None else _stretched(fabric, seen)


def _expected(fabric: Fabric) -> Explained:
    ratio = fabric.gauge.open_ratio
    model = fact("gauge", "opening_relative_sd")
    share, yarns = fact("constants", "comfortable_share"), fact("constants", "opened_yarns")
    return Explained(
        opening_key(fabric),
        LABELS["open_ratio"],
        ratio,
        said(
            "{share} × (loop ÷ 2 − {yarns:g} × yarn diameter) ÷ wale, and 1 at least; the model's "
            "own error stands for all others",
            share=said("{n:.2f}", n=share.number),
            yarns=yarns.number,
        ),
        (
            of_fact(
                "gauge.error.opening",
                said("the model of an opened loop"),
                Estimate(1.0, model.number, "1"),
                1.0 if ratio.sd else 0.0,
                model,
            ),
            fabric.taken("loop"),
            fabric.taken("wale"),
            diameter_input(fabric.plan),
        ),
        told(share),
        share.standing,
    )


def _stretched(fabric: Fabric, seen: StretchSeen) -> Explained:
    ratio = fabric.gauge.open_ratio
    relative = (ratio.sd / ratio.value) ** 2
    weights = [1 / sd**2 for _, _, sd in seen.readings]
    hand = of_fact(
        "gauge.error.hand",
        said("how gently a hand stretches"),
        Estimate(1.0, seen.hand.number, "1"),
        seen.hand.number**2 / relative,
        seen.hand,
    )
    order = fabric.plan.order
    readings: dict[int, float] = {}
    for (swatch, _, _), weight in zip(seen.readings, weights, strict=True):
        place = order.swatches.index(swatch)
        readings[place] = readings.get(place, 0.0) + weight
    return Explained(
        opening_key(fabric),
        LABELS["open_ratio"],
        ratio,
        said("stretched width ÷ washed width, the mean of all pieces stretched"),
        (
            hand,
            *(
                _pieces(fabric, seen, place, weight / sum(weights) ** 2 / relative)
                for place, weight in readings.items()
            ),
        ),
        said("the swatch itself, stretched by hand"),
        "derived",
    )


def _pieces(fabric: Fabric, seen: StretchSeen, place: int, share: float) -> Input:
    """The pieces stretched of one swatch, taken together."""
    order = fabric.plan.order
    swatch = order.swatches[place]
    mine = [(value, sd) for one, value, sd in seen.readings if one == swatch]
    weight = sum(1 / sd**2 for _, sd in mine)
    mean = exp(sum(value / sd**2 for value, sd in mine) / weight)
    return Input(
        f"swatch.{place + 1}.stretch",
        said("pieces stretched of swatch '{name}'", name=swatch.name),
        Estimate(mean, mean / weight**0.5, "1"),
        share,
        "measured",
        said("{pieces}; {state}", pieces=_widths(swatch, order.units), state=STATES[swatch.state]),
    )


def _widths(swatch: SwatchGiven, units: str) -> str:
    return joined(
        ", ",
        [
            said(
                "{relaxed} to {stretched}",
                relaxed=format_length(each.relaxed_mm, units),
                stretched=format_length(each.stretched_mm, units),
            )
            for each in swatch.stretch
        ],
    )
