"""What was given of a wearer, as inputs of other numbers."""

from __future__ import annotations

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.adults import body
from sockwright.measure.foot_measures import SPOKEN, FootMeasure, as_measured
from sockwright.order.model import FootGiven
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Input
from sockwright.plan_sources.inputs import reckoned, told
from sockwright.words import said

LEAST_SHARE = 0.0005
"""What brings less to a foretold measure is not told."""


def foot_given(plan: Plan) -> FootGiven:
    """What the order gives of the plan's foot."""
    wearer = plan.order.wearer
    side = plan.feet.longer if plan.side == "both" else plan.side
    return wearer.right if side == "right" else wearer.left


def measured_of(plan: Plan) -> dict[str, FootMeasure]:
    """The measures taken of the plan's foot."""
    return as_measured(foot_given(plan), plan.order.wearer.sex)


def measure_input(plan: Plan, name: str, share: float = 0.0) -> Input:
    """A measure of the foot as an input."""
    measure = plan.foot.measures()[name]
    return reckoned(f"foot.{name}", SPOKEN[name], measure.estimate, share, measure.source)


def known_input(plan: Plan, name: str, share: float) -> Input:
    """A measure of the foot, stature or weight as an input."""
    known: dict[str, Estimate] = body(plan.order.wearer)
    if name not in known:
        return measure_input(plan, name, share)
    source = said("the order; {source}", source=told(fact("measuring", f"{name}_sd")))
    return Input(f"wearer.{name}", SPOKEN[name], known[name], share, "measured", source)
