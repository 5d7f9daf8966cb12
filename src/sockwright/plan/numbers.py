"""The one list of a plan's numbers: data, explanations, pages, command line and sheets read it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from sockwright.estimates import Count, Derivation, Estimate, Input
from sockwright.fabric.lengths import run_counts
from sockwright.measure.belief import NAMES
from sockwright.once import once
from sockwright.plan.make import SockPlan
from sockwright.sock.fit import CylinderFit

Value = Estimate | Count


@dataclass(frozen=True)
class PlanNumber:
    """A number of one sock: its `key`, and how it is read off a plan; None where a sock has none.

    Label, unit, formula and sources are its derivation's. `in_data` is False for one that only
    explains others.
    """

    key: str
    get: Callable[[SockPlan], Value | None]
    in_data: bool = True


OF_FIT: Mapping[str, Callable[[CylinderFit], Estimate]] = {
    "girth": lambda fit: fit.girth,
    "girth_ease": lambda fit: fit.girth_ease,
    "heel_opening": lambda fit: fit.opening_needed,
    "fabric_opening": lambda fit: fit.opening_possible,
    "score": lambda fit: fit.score,
}
"""The numbers of any cylinder's fit."""


def _of_fit(get: Callable[[CylinderFit], Estimate], plan: SockPlan) -> Value:
    return get(plan.fit)


def _of_learned(name: str, plan: SockPlan) -> Value | None:
    """What finished socks taught of one of NAMES, or how many they were."""
    learned = plan.gauge.learned
    return None if learned is None else getattr(learned, name)


def _without(place: int, plan: SockPlan) -> Value | None:
    """One of NAMES by the swatches alone, where finished socks taught otherwise."""
    learned = plan.gauge.learned
    return None if learned is None else learned.without[place]


NUMBERS = (
    PlanNumber("gauge.wale", lambda plan: plan.gauge.wale),
    PlanNumber("gauge.course", lambda plan: plan.gauge.course),
    PlanNumber("gauge.loop", lambda plan: plan.gauge.loop),
    PlanNumber("gauge.tightness", lambda plan: plan.gauge.tightness),
    PlanNumber("gauge.loop_mass", lambda plan: plan.gauge.loop_mass, in_data=False),
    PlanNumber("gauge.areal_mass", lambda plan: plan.gauge.areal_mass),
    PlanNumber("gauge.open_ratio", lambda plan: plan.gauge.open_ratio),
    PlanNumber("gauge.readings_used", lambda plan: plan.gauge.readings_used),
    PlanNumber("gauge.learned.socks", partial(_of_learned, "socks"), in_data=False),
    *(
        PlanNumber(f"gauge.learned.{name}", partial(_of_learned, name), in_data=False)
        for name in NAMES
    ),
    *(
        PlanNumber(f"gauge.without_learning.{name}", partial(_without, place), in_data=False)
        for place, name in enumerate(NAMES)
    ),
    *(PlanNumber(f"fit.{name}", partial(_of_fit, get)) for name, get in OF_FIT.items()),
    PlanNumber("top.leg", lambda plan: plan.top.leg),
    PlanNumber("top.girth", lambda plan: plan.top.girth),
    PlanNumber("top.worn", lambda plan: plan.top.worn),
    PlanNumber("top.needed", lambda plan: plan.top.needed),
    PlanNumber("top.opens", lambda plan: plan.top.opens),
    PlanNumber("fit.length_ease", lambda plan: plan.length_ease),
    PlanNumber("sizing.needles", lambda plan: plan.sizing.needles),
    PlanNumber("sizing.heel_needles", lambda plan: plan.sizing.heel_needles),
    PlanNumber("sizing.hem_rounds", lambda plan: plan.sizing.cuff.rounds),
    PlanNumber("sizing.leg_rounds", lambda plan: plan.sizing.leg_rounds),
    PlanNumber("sizing.heel_kept", lambda plan: plan.sizing.heel.kept),
    PlanNumber("sizing.heel_deep_kept", lambda plan: plan.sizing.heel.deep_kept),
    PlanNumber("sizing.heel_rows", lambda plan: plan.sizing.heel.rows),
    PlanNumber("sizing.wedge_rounds", lambda plan: plan.sizing.heel.wedge_rounds),
    PlanNumber("sizing.heel_corner", lambda plan: plan.sizing.heel.turn_length),
    PlanNumber("sizing.foot_rounds", lambda plan: plan.sizing.foot_rounds),
    PlanNumber("sizing.toe_kept", lambda plan: plan.sizing.toe.kept),
    PlanNumber("sizing.toe_rows", lambda plan: plan.sizing.toe.rows),
    PlanNumber("sizing.cuff_depth", lambda plan: plan.sizing.cuff_depth),
    PlanNumber("sizing.gather_loss", lambda plan: plan.sizing.gather_loss, in_data=False),
    PlanNumber("sizing.foot_length", lambda plan: plan.sizing.foot_length),
    PlanNumber("sizing.leg_length", lambda plan: plan.sizing.leg_height),
    PlanNumber("fabric.sole_courses", lambda plan: plan.fabric.sole_courses),
    PlanNumber("fabric.instep_courses", lambda plan: plan.fabric.instep_courses),
    PlanNumber("fabric.leg_courses", lambda plan: plan.fabric.leg_courses),
    PlanNumber("fabric.short_rows", lambda plan: plan.fabric.short_rows),
    PlanNumber("fabric.foot_length", lambda plan: plan.fabric.foot_length),
    PlanNumber("fabric.leg_length", lambda plan: plan.fabric.leg_length),
    PlanNumber("fabric.girth", lambda plan: plan.fabric.girth),
    PlanNumber("fabric.tube_length", lambda plan: plan.tube_length),
    PlanNumber("minutes", lambda plan: plan.minutes),
)
"""Those that every sock has under one key; the foot's, the cylinders' and the yarns' come by name
(`numbers`)."""
BY_KEY = {each.key: each for each in NUMBERS}

OF_FABRIC = ("wale", "loop", "tightness", "open_ratio")
"""What the fit of a cylinder that was not chosen rests on."""
WITHOUT_LEARNING = tuple(f"without_learning.{name}" for name in NAMES)
"""What that rests on where finished socks taught."""


@once
def numbers(plan: SockPlan) -> dict[str, Value]:
    """Every number of one sock by its key, each with the derivation of that key."""
    return dict(_numbers(plan))


def label_of(plan: SockPlan, key: str) -> str:
    """What pages, sheets and texts call the number of this key, one that the sock has."""
    value = BY_KEY[key].get(plan)
    if value is None or value.how is None:
        raise KeyError(key)
    return value.how.label


def _numbers(plan: SockPlan) -> Iterator[tuple[str, Value]]:
    own = {"fit.needles": "sizing.needles"}
    for each in NUMBERS:
        if (value := each.get(plan)) is not None:
            yield each.key, _under(value, own)
    for name, measure in plan.foot.measures().items():
        yield f"foot.{name}", measure.estimate
    for fit in plan.ranking:
        yield from _of_cylinder(fit, fit.cylinder.needles == plan.sizing.needles)
    for count in run_counts(plan.dry_run.loops):
        yield count.how.key, count
    yield from _yarns(plan)


def _of_cylinder(fit: CylinderFit, chosen: bool) -> Iterator[tuple[str, Value]]:
    """The fit on one cylinder, and its fabric if it is not the sock's."""
    needles = fit.cylinder.needles
    start = f"fit.cylinders.{needles}"
    names = {f"fit.{name}": f"{start}.{name}" for name in OF_FIT}
    names["fit.needles"] = f"machine.cylinders.{needles}"
    if not chosen:
        names |= {f"gauge.{name}": f"{start}.{name}" for name in (*OF_FABRIC, *WITHOUT_LEARNING)}
    values = tuple(get(fit) for get in OF_FIT.values())
    if not chosen:
        gauge = fit.gauge
        values = (gauge.wale, gauge.loop, gauge.tightness, gauge.open_ratio, *values)
    for value in values:
        made = _estimate_under(value, names)
        assert made.how is not None
        yield made.how.key, made


def _yarns(plan: SockPlan) -> Iterator[tuple[str, Value]]:
    for given in plan.order.yarns:
        yield f"yarn.{given.role}.fineness", plan.yarns[given.role].tex
    yield "yarn.main.diameter", plan.yarns["main"].diameter
    for role, use in plan.use.items():
        start, pair = f"yarn.{role}", plan.pair_use[role]
        yield f"{start}.length", use.length
        yield f"{start}.mass", use.mass
        yield f"{start}.loops", use.loops
        yield f"{start}.pair_length", pair.length
        yield f"{start}.pair_mass", pair.mass


def _under(value: Value, names: Mapping[str, str]) -> Value:
    """A number whose own key, and those of its inputs, are other ones."""
    if isinstance(value, Count):
        return Count(int(value), _renamed(value.how, names))
    return _estimate_under(value, names)


def _estimate_under(value: Estimate, names: Mapping[str, str]) -> Estimate:
    return value if value.how is None else value.called(_renamed(value.how, names))


def _renamed(how: Derivation, names: Mapping[str, str]) -> Derivation:
    def take() -> tuple[Input, ...]:
        return tuple(Input(_estimate_under(one.number, names), one.share) for one in how.take())

    return replace(how, key=names.get(how.key, how.key), take=take)
