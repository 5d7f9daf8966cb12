"""The counts of a sizing: their names, and inputs that several of them take."""

from __future__ import annotations

from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.inputs import chosen, exactly, reckoned
from sockwright.words import said

LABELS = {
    "needles": said("needles"),
    "heel_needles": said("needles of the heel"),
    "hem_rounds": said("rounds of the cuff"),
    "leg_rounds": said("rounds of the leg"),
    "heel_kept": said("needles kept at the heel's narrowest"),
    "heel_deep_kept": said("needles kept at the outer limits"),
    "heel_rows": said("rows of the heel"),
    "wedge_rounds": said("wedge rounds"),
    "heel_corner": said("length that the turn is worth"),
    "foot_rounds": said("rounds of the foot"),
    "toe_kept": said("needles kept at the toe's narrowest"),
    "toe_rows": said("rows of the toe"),
    "gather_loss": said("courses that the gathered end takes"),
    "foot_length": said("foot length of the sock, reckoned"),
    "leg_length": said("height from the floor, reckoned"),
}

ORDER = said("the order")
OF_SOCK = said("geometry of the sock")


def whole(
    name: str,
    value: int,
    formula: str,
    inputs: tuple[Input, ...],
    source: str,
    standing: str = "derived",
) -> Explained:
    """A count that comes out whole."""
    return Explained(f"sizing.{name}", LABELS[name], value, formula, inputs, source, standing)


def asked(name: str, value: int) -> Explained:
    """A count that the order asks for."""
    wish = chosen(f"order.{name}", LABELS[name], exactly(value))
    return whole(name, value, said("as the order asks"), (wish,), ORDER)


def count_input(name: str, value: float) -> Input:
    """A count of the sizing as the input of another number."""
    return reckoned(f"sizing.{name}", LABELS[name], exactly(value))


def course_input(plan: Plan, part: float) -> Input:
    """The height of a course as the input of another number."""
    return reckoned("gauge.course", said("height of a course"), plan.gauge.course, part)
