"""Where the numbers that one swatch tells come from, before there is a plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sockwright.measure.gauge import estimate_gauge
from sockwright.measure.levels import sort_swatches
from sockwright.measure.yarn import Yarn, yarn_from
from sockwright.order.model import Order
from sockwright.plan_sources.explained import Explained
from sockwright.plan_sources.gauge_numbers import Fabric, gauge_numbers
from sockwright.plan_sources.tree import completed
from sockwright.plan_sources.yarn_numbers import fineness
from sockwright.words import said


@dataclass(frozen=True)
class _Swatch:
    """The ground of a swatch alone."""

    order: Order
    yarns: Mapping[str, Yarn]


def swatch_sources(order: Order) -> tuple[Explained, ...]:
    """The explanations of what the only swatch of `order` tells, washed, under the keys of a plan:
    "gauge.wale", "gauge.course", "gauge.loop", "yarn.main.fineness".

    The order needs no foot; the wish for a drape weighs little beside a reading.
    """
    (swatch,) = order.swatches
    yarn = yarn_from(order.yarn("main"))
    drape = order.sock.drape
    gauge = estimate_gauge((swatch,), yarn.tex, yarn.density.value, swatch.needles, drape)
    ground = _Swatch(order, {"main": yarn})
    seen = sort_swatches(order.swatches, yarn.tex, swatch.needles, drape)
    fabric = Fabric(ground, gauge, swatch.needles, seen, "gauge")
    numbers = (*gauge_numbers(fabric), fineness(ground, order.yarn("main")))
    return tuple(_of_swatch(each) for each in completed(numbers, (), order.units))


def _of_swatch(each: Explained) -> Explained:
    """The explanation with what it says of "this plan" said of the swatch."""
    inputs = tuple(
        replace(one, source=said("this swatch")) if one.source == said("this plan") else one
        for one in each.inputs
    )
    return replace(each, inputs=inputs)
