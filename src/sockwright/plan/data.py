"""A plan as data: stable keys, documented by the JSON Schema beside this module."""

from __future__ import annotations

from dataclasses import fields
from enum import Enum
from importlib.resources import files
from typing import Any

from sockwright import __version__
from sockwright.estimates import Estimate
from sockwright.fabric.lengths import run_counts
from sockwright.fabric.use import YarnUse
from sockwright.measure.belief import NAMES
from sockwright.once import once
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.notes import cures_of_top, fabric_agrees, look_again, plan_notes
from sockwright.plan.numbers import NUMBERS, OF_FIT, Value
from sockwright.plan.short_yarn import Shortage, shortages
from sockwright.plan.trust import size_verdict
from sockwright.sock.fit import CylinderFit
from sockwright.sock.passing import WORDS, Passing, PuttingOn
from sockwright.steps import Step
from sockwright.wording.write import Instruction, cautions, conventions, write_instructions

Data = dict[str, Any]


def schema_text() -> str:
    """The JSON Schema of `plan_data`, as shipped."""
    return files("sockwright.plan").joinpath("plan.schema.json").read_text(encoding="utf-8")


def plan_data(pair: PairPlan) -> Data:
    """The whole plan as JSON-ready data; the second sock under "second" where feet differ."""
    second = None if pair.second is None else _sock(pair.second) | {"second": None}
    return _sock(pair.first) | {"second": second}


def _sock(plan: SockPlan) -> Data:
    order, steps = plan.order, instructions(plan)
    return {
        "sockwright": __version__,
        "title": order.title,
        "wearer": order.wearer.name,
        "side": plan.side,
        "units": plan.units,
        "ok": plan.dry_run.ok,
        "size": _size(plan),
        "feet": {
            "one_sock_serves_both": plan.feet.one_sock_serves_both,
            "reason": plan.feet.reason,
        },
        "gauge": _gauge(plan),
        "foot": {
            **{name: measure.as_data() for name, measure in plan.foot.measures().items()},
            "notes": list(plan.foot.notes),
        },
        "fit": _fit(plan),
        "top": _top(plan),
        "sizing": _sizing(plan),
        "program": [step_data(step) for step in plan.program.steps],
        "instructions": [_instruction(each) for each in steps],
        "dry_run": _dry_run(plan, steps),
        "fabric": _fabric(plan),
        "yarn": {name: _yarn(plan, name, use) for name, use in plan.use.items()},
        "minutes": plan.minutes.as_data(),
        "next_reading": [
            {
                "reading": gain.phrase,
                "sd_before": Estimate(gain.sd_before_mm, 0.0, "mm").as_data(),
                "sd_after": Estimate(gain.sd_after_mm, 0.0, "mm").as_data(),
            }
            for gain in plan.next_reading.ranking
        ],
        "short_yarn": [_short_yarn(one) for one in shortages(plan)],
        "look_again": list(look_again(plan)),
        "notes": list(plan_notes(plan)),
        "cautions": list(cautions(plan.program, order.machine)),
        "conventions": list(conventions(plan.execution, order.machine)),
    }


@once
def instructions(plan: SockPlan, language: str = "en") -> tuple[Instruction, ...]:
    """The crank program in sentences, in the conventions of the order's machine."""
    names = {yarn.role: yarn.name for yarn in plan.order.yarns}
    machine, units = plan.order.machine, plan.units
    return write_instructions(plan.execution, machine, units, language, names)


def step_data(step: Step) -> Data:
    """One step: its op, its section, its other fields as arguments."""
    arguments = {
        field.name: _plain(getattr(step, field.name))
        for field in fields(step)
        if field.name != "section"
    }
    return {"op": type(step).__name__, "section": step.section.value, "arguments": arguments}


def _plain(value: object) -> object:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    return value


def _instruction(each: Instruction) -> Data:
    count = each.count
    return {
        "number": each.number,
        "section": each.section.value,
        "text": each.text,
        "brief": each.brief,
        "steps": list(each.steps),
        "count": None
        if count is None
        else {field.name: _plain(getattr(count, field.name)) for field in fields(count)},
    }


def _size(plan: SockPlan) -> Data:
    verdict = size_verdict(plan)
    return {
        "trust": verdict.trust.name.lower(),
        "reasons": list(verdict.reasons),
        "foot_sd": round(verdict.foot_sd_mm, 2),
        "goes_on": _passing(verdict.goes_on),
        "verdict": verdict.words(plan.units),
    }


def _numbers(plan: SockPlan, part: str) -> Data:
    """The numbers of one part of a plan, None for one that this sock has not."""
    start = f"{part}."
    return {
        each.key.removeprefix(start): _number(each.get(plan))
        for each in NUMBERS
        if each.key.startswith(start) and each.in_data
    }


def _number(value: Value | None) -> object:
    """A number as data; courses, whole or half, are as plain as counts."""
    if not isinstance(value, Estimate):
        return value
    return round(value.value, 3) if value.unit == "course" else value.as_data()


def _gauge(plan: SockPlan) -> Data:
    return {
        **_numbers(plan, "gauge"),
        **_learned(plan),
        "notes": list(plan.gauge.notes),
        "conflicts": list(plan.gauge.conflicts),
    }


def _learned(plan: SockPlan) -> Data:
    """What finished socks taught, and the gauge without that."""
    learned = plan.gauge.learned
    if learned is None:
        return {"learned": None, "without_learning": None}
    return {
        "learned": {
            "socks": int(learned.socks),
            **{name: getattr(learned, name).as_data() for name in NAMES},
        },
        "without_learning": {
            name: one.as_data() for name, one in zip(NAMES, learned.without, strict=True)
        },
    }


def _fit(plan: SockPlan) -> Data:
    return {
        **_cylinder(plan.fit),
        "length_ease": plan.length_ease.as_data(),
        "cylinders": [_cylinder(fit) for fit in plan.ranking],
    }


def _top(plan: SockPlan) -> Data:
    top = plan.top
    return {
        "fabric": top.fabric,
        **_numbers(plan, "top"),
        "goes_on": _passing(top.passing),
        "over_the_calf": None if top.calf is None else _passing(top.calf),
        "stays_up": round(top.stays, 3),
        "offers": [
            {"change": offer.change, "effect": offer.effect, "what": dict(offer.what)}
            for offer in cures_of_top(plan)
        ],
    }


def _passing(passing: Passing) -> Data:
    """How it goes on: the word and the odds of each word."""
    return {
        "word": WORDS[passing.word],
        "verdict": passing.words,
        "odds": {
            WORDS[word]: round(odds, 3) for word, odds in zip(PuttingOn, passing.odds, strict=True)
        },
    }


def _cylinder(fit: CylinderFit) -> Data:
    return {
        "needles": fit.cylinder.needles,
        "fits": fit.fits,
        **{name: get(fit).as_data() for name, get in OF_FIT.items()},
        "over_the_heel": _passing(fit.heel),
        "doubts": list(fit.doubts),
        "score": round(fit.score.value, 4),
        "reasons": list(fit.reasons),
    }


def _sizing(plan: SockPlan) -> Data:
    sizing = plan.sizing
    heel, toe = sizing.heel, sizing.toe
    return {
        **_numbers(plan, "sizing"),
        "cuff": sizing.cuff.kind.value,
        "leg_shape": [{"rounds": part, "loop_factor": factor} for part, factor in sizing.leg_shape],
        "heel": heel.kind.value,
        "heel_doubled": next((cup.first_raise == 2 for cup in heel.cups[-1:]), None),
        "toe_half": toe.half.value,
        "toe_doubled": None if toe.cup is None else toe.cup.first_raise == 2,
        "closing": toe.closing.value,
    }


def _dry_run(plan: SockPlan, steps: tuple[Instruction, ...]) -> Data:
    run = plan.dry_run
    return {
        "ok": run.ok,
        **{count.how.key.removeprefix("dry_run."): count for count in run_counts(run.loops)},
        "findings": [
            {
                "code": finding.code.value,
                "level": finding.level.value,
                "step": finding.step,
                "instruction": next(
                    (each.number for each in steps if finding.step in each.steps), None
                ),
                "needle": finding.needle,
                "count": finding.count,
                "message": finding.message,
                "mend": finding.mend,
            }
            for finding in run.findings
        ],
    }


def _fabric(plan: SockPlan) -> Data:
    return {**_numbers(plan, "fabric"), "agrees": fabric_agrees(plan)}


def _yarn(plan: SockPlan, name: str, use: YarnUse) -> Data:
    pair = plan.pair_use[name]
    return {
        "length": use.length.as_data(),
        "mass": use.mass.as_data(),
        "loops": use.loops,
        "pair_length": pair.length.as_data(),
        "pair_mass": pair.mass.as_data(),
        "on_hand": plan.yarns[name].on_hand_g,
    }


def _short_yarn(one: Shortage) -> Data:
    return {
        "yarn": one.supply.role,
        "name": one.name,
        "on_hand": one.supply.have,
        "short": one.short.as_data(),
        "sock": "second" if one.second else "first",
        "step": one.step,
        "section": one.section,
        "message": one.message,
        "cures": [
            {
                "change": cure.change,
                "effect": cure.effect,
                "left": cure.left.as_data(),
                "reach": cure.reach.value,
                "what": dict(cure.what),
            }
            for cure in one.cures
        ],
    }
