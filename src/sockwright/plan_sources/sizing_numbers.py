"""Where the rounds of a sock come from: each before and after it was made whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import hypot

from sockwright.estimates import Estimate
from sockwright.order.model import CuffKind
from sockwright.plan import Plan
from sockwright.plan_sources.cup_numbers import cup_numbers, needle_numbers
from sockwright.plan_sources.explained import Explained, Input
from sockwright.plan_sources.foot_inputs import measure_input
from sockwright.plan_sources.heel_terms import formulas, heel_input
from sockwright.plan_sources.inputs import STANDINGS, chosen, exactly, reckoned, share
from sockwright.plan_sources.rounding import rounded_words
from sockwright.plan_sources.sizing_words import (
    LABELS,
    OF_SOCK,
    ORDER,
    asked,
    count_input,
    course_input,
)
from sockwright.sock.sizing import (
    DEFAULT_DEPTH_MM,
    DEFAULT_HEIGHT,
    HEM_KINDS,
    ROLLED_SHARE,
    gather_loss,
)
from sockwright.words import said

CONTRACT = said("an adult's sock of a 1920s home-work contract: 8 1/2 in leg on an 11 1/2 in foot")


def sizing_numbers(plan: Plan) -> Iterator[Explained]:
    """Every count and length of the sizing."""
    yield from needle_numbers(plan)
    yield _cuff(plan)
    yield _leg(plan)
    yield from cup_numbers(plan)
    yield _foot(plan)
    if plan.sizing.toe.cup is None:
        yield _gather(plan)
    yield _foot_length(plan)
    yield _leg_length(plan)


def _made_whole(
    plan: Plan,
    name: str,
    value: int,
    exact: Estimate,
    each_mm: float,
    formula: str,
    inputs: tuple[Input, ...],
    source: str = OF_SOCK,
    standing: str = "derived",
) -> Explained:
    """A count that was rounded."""
    rounding = rounded_words(exact, value, each_mm, plan.order.units)
    return Explained(
        f"sizing.{name}", LABELS[name], value, formula, inputs, source, standing, exact, rounding
    )


def _cuff(plan: Plan) -> Explained:
    """Rounds of the cuff, from its depth unless the order counts them."""
    given, cuff = plan.order.sock.cuff, plan.sizing.cuff
    if given.rounds is not None:
        return _cuff_asked(plan, given.rounds)
    depth_mm = DEFAULT_DEPTH_MM[given.kind] if given.depth_mm is None else given.depth_mm
    height = plan.gauge.course.value * plan.leg_shape.factors[0]
    folded, times = given.kind in HEM_KINDS, 1.0
    formula = said("depth ÷ course")
    if folded:
        times = 2.0
        formula = said("2 × depth ÷ course + 1, made odd: a hem folds on a middle round")
    elif given.kind is CuffKind.ROLLED_EDGE:
        times = 1 / ROLLED_SHARE
        formula = said(
            "depth ÷ course ÷ the share that does not curl away, {share}", share=ROLLED_SHARE
        )
    rounds = times * depth_mm / height
    relative = plan.gauge.course.sd / plan.gauge.course.value
    exact = Estimate(rounds + folded, rounds * relative, "round")
    depth = chosen("sock.cuff.depth", said("depth of the cuff"), exactly(depth_mm, "mm"))
    inputs = (depth, course_input(plan, 1.0 if exact.sd else 0.0), *_top_factor(plan))
    by_default = given.depth_mm is None
    return _made_whole(
        plan,
        "hem_rounds",
        cuff.rounds,
        exact,
        height / times,
        formula,
        inputs,
        said("a cuff is one to two inches deep") if by_default else ORDER,
        "common practice" if by_default else "derived",
    )


def _cuff_asked(plan: Plan, rounds: int) -> Explained:
    """Rounds that the order asks for; another number where no such cuff can be hung."""
    made = asked("hem_rounds", plan.sizing.cuff.rounds)
    if made.value == rounds:
        return made
    exact = exactly(rounds, "round")
    wish = chosen("order.hem_rounds", LABELS["hem_rounds"], exact)
    rounding = said(
        "{asked} became {made}: a hem folds on a middle round, and none is shallower than its "
        "hanging allows",
        asked=rounds,
        made=made.value,
    )
    return replace(made, inputs=(wish,), exact=exact, rounding=rounding)


def _top_factor(plan: Plan) -> tuple[Input, ...]:
    """The loop of the cuff beside that of the foot, where the leg is shaped."""
    top = plan.leg_shape.factors[0]
    if top == 1.0:
        return ()
    return (
        reckoned("sizing.top_factor", said("loops of the cuff ÷ those of the foot"), exactly(top)),
    )


def _leg(plan: Plan) -> Explained:
    """Rounds of the leg, from a height or a length unless the order counts them."""
    leg, rounds = plan.order.sock.leg, plan.sizing.leg_rounds
    factors, course = plan.leg_shape.factors, plan.gauge.course
    stretch = sum(factors) / len(factors)
    if leg.rounds is not None:
        return asked("leg_rounds", rounds)
    each_mm = course.value * stretch
    if leg.leg_mm is not None:
        long = leg.leg_mm / each_mm
        exact = Estimate(long, long * course.sd / course.value, "round")
        length = chosen("sock.leg.length", said("length of the leg"), exactly(leg.leg_mm, "mm"))
        inputs = (length, course_input(plan, 1.0 if exact.sd else 0.0), *_top_factor(plan))
        formula = said("length of the leg ÷ course")
        return _made_whole(plan, "leg_rounds", rounds, exact, each_mm, formula, inputs)
    return _leg_by_height(plan, each_mm)


def _leg_by_height(plan: Plan, each_mm: float) -> Explained:
    given, sizing, course = plan.order.sock.leg, plan.sizing, plan.gauge.course
    cuff = sizing.cuff.visible * plan.leg_shape.factors[0]
    default = given.height_mm is None
    height = DEFAULT_HEIGHT * sizing.length_wish_mm if default else given.height_mm or 0.0
    corner = sizing.heel.corner
    tall = (height - corner.value) / each_mm
    stretch = each_mm / course.value
    through_course = tall * course.sd / course.value
    foot = plan.foot.length.estimate
    through_foot = tall * foot.sd / foot.value if default else 0.0
    through_corner = corner.sd / each_mm
    exact = Estimate(
        tall - (sizing.heel.share + cuff) / stretch,
        hypot(through_course, through_foot, through_corner),
        "round",
    )
    formula = formulas(plan).leg_rounds
    wish: tuple[Input, ...]
    if default:
        formula = said(formulas(plan).leg_by_default, share=DEFAULT_HEIGHT)
        wish = (measure_input(plan, "length", share(through_foot, exact)), _length_wish(plan))
    else:
        wish = (chosen("sock.leg.height", said("height from the floor"), exactly(height, "mm")),)
    inputs = (
        *wish,
        course_input(plan, share(through_course, exact)),
        heel_input(plan, share(through_corner, exact)),
        count_input("hem_rounds", sizing.cuff.rounds),
        *_top_factor(plan),
    )
    source, standing = (CONTRACT, "common practice") if default else (OF_SOCK, "derived")
    rounds = sizing.leg_rounds
    return _made_whole(
        plan, "leg_rounds", rounds, exact, each_mm, formula, inputs, source, standing
    )


def _length_wish(plan: Plan) -> Input:
    ease = exactly(plan.order.sock.ease.length)
    return chosen("sock.ease.length", said("length ease wished for"), ease)


def _foot(plan: Plan) -> Explained:
    """Rounds of the foot: what heel and toe leave of the wished length."""
    sizing, course, foot = plan.sizing, plan.gauge.course, plan.foot.length.estimate
    long = (sizing.length_wish_mm - sizing.heel.corner.value) / course.value
    lost = _lost(plan)
    through_course = long * course.sd / course.value
    through_foot = long * foot.sd / foot.value
    through_corner = sizing.heel.corner.sd / course.value
    exact = Estimate(
        long - sizing.heel.share - sizing.toe.share + lost.value,
        hypot(through_course, through_foot, through_corner, lost.sd),
        "round",
    )
    formula = formulas(plan).foot_rounds
    inputs = (
        measure_input(plan, "length", share(through_foot, exact)),
        _length_wish(plan),
        course_input(plan, share(through_course, exact)),
        heel_input(plan, share(through_corner, exact)),
        *_toe_inputs(plan, share(lost.sd, exact)),
    )
    rounds = sizing.foot_rounds
    return _made_whole(plan, "foot_rounds", rounds, exact, course.value, formula, inputs)


def _lost(plan: Plan) -> Estimate:
    """Courses that a gathered end takes; none of another end."""
    if plan.sizing.toe.cup is not None:
        return Estimate(0.0, 0.0, "course")
    return gather_loss(plan.sizing.needles, plan.gauge)


def _toe_inputs(plan: Plan, part: float) -> tuple[Input, ...]:
    """The toe's rows, or what its gathering takes."""
    if plan.sizing.toe.cup is not None:
        return (count_input("toe_rows", plan.sizing.toe.cup.rows),)
    return (reckoned("sizing.gather_loss", LABELS["gather_loss"], _lost(plan), part),)


def _gather(plan: Plan) -> Explained:
    lost, gauge = _lost(plan), plan.gauge
    flat = Input(
        "sizing.gather_flatness",
        said("how flat the gathered end lies"),
        Estimate(0.0, lost.sd, "course"),
        1.0 if lost.sd else 0.0,
        "table",
        said("all of the radius or none of it ({standing})", standing=STANDINGS["derived"]),
    )
    return Explained(
        "sizing.gather_loss",
        LABELS["gather_loss"],
        lost,
        said("half the radius of the tube in courses: needles × wale ÷ 2π ÷ 2 ÷ course"),
        (
            flat,
            count_input("needles", plan.sizing.needles),
            reckoned("gauge.wale", said("width of a wale"), gauge.wale),
            course_input(plan, 0.0),
        ),
        OF_SOCK,
        "derived",
    )


def _foot_length(plan: Plan) -> Explained:
    sizing, course = plan.sizing, plan.gauge.course
    value, lost = sizing.foot_length, _lost(plan)
    corner = sizing.heel.corner
    through_course = (value.value - corner.value) * course.sd / course.value
    return Explained(
        "sizing.foot_length",
        LABELS["foot_length"],
        value,
        formulas(plan).foot_length,
        (
            course_input(plan, share(through_course, value)),
            heel_input(plan, share(corner.sd, value)),
            count_input("foot_rounds", sizing.foot_rounds),
            *_toe_inputs(plan, share(lost.sd * course.value, value)),
        ),
        OF_SOCK,
        "derived",
    )


def _leg_length(plan: Plan) -> Explained:
    sizing, height, course = plan.sizing, plan.sizing.leg_height, plan.gauge.course
    corner = sizing.heel.corner
    through_course = (height.value - corner.value) * course.sd / course.value
    return Explained(
        "sizing.leg_length",
        LABELS["leg_length"],
        height,
        formulas(plan).leg_length,
        (
            course_input(plan, share(through_course, height)),
            heel_input(plan, share(corner.sd, height)),
            count_input("leg_rounds", sizing.leg_rounds),
            count_input("hem_rounds", sizing.cuff.rounds),
            *_top_factor(plan),
        ),
        OF_SOCK,
        "derived",
    )
