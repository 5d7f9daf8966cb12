"""Where the needles and rows of heel and toe come from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained
from sockwright.plan_sources.foot_inputs import measure_input
from sockwright.plan_sources.inputs import chosen, exactly, of_fact, reckoned
from sockwright.plan_sources.printing import shown
from sockwright.plan_sources.sizing_words import (
    LABELS,
    OF_SOCK,
    ORDER,
    asked,
    count_input,
    whole,
)
from sockwright.sock.cup import Cup
from sockwright.words import said

SPENCER = said("D. J. Spencer, Knitting Technology, 3rd ed., pp. 265-266")


def needle_numbers(plan: Plan) -> Iterator[Explained]:
    """The cylinder's needles, and those of the heel."""
    sizing = plan.sizing
    if plan.order.sock.needles is not None:
        yield asked("needles", sizing.needles)
    else:
        yield whole(
            "needles",
            sizing.needles,
            said("the cylinder with the lowest score of those on which the whole sock can be made"),
            tuple(
                reckoned(
                    f"fit.cylinders.{fit.cylinder.needles}.score",
                    said("score of {needles} needles", needles=fit.cylinder.needles),
                    exactly(fit.score),
                )
                for fit in plan.ranking
            ),
            said("the weights of the score order what fits"),
            "assumption",
        )
    half = said("half of the needles")
    needles = count_input("needles", sizing.needles)
    yield whole("heel_needles", sizing.heel_needles, half, (needles,), OF_SOCK)


def cup_numbers(plan: Plan) -> Iterator[Explained]:
    """Needles kept and rows of heel and toe, and the rounds between two cups of a heel."""
    heel, toe = plan.sizing.heel, plan.sizing.toe
    asked_heel = plan.order.sock.heel.pouch
    asked_toe = plan.order.sock.toe.pouch or asked_heel
    for cup in heel.cups[-1:]:
        yield _kept(plan, "heel_kept", cup, asked_heel.kept)
        for outer in heel.cups[:-1]:
            yield asked("heel_deep_kept", outer.kept)
        yield _rows("heel", *reversed(heel.cups))
    if not heel.cups:
        yield whole("heel_rows", 0, said("leg and foot are one tube, without a heel"), (), ORDER)
        yield _corner(plan)
    if len(heel.cups) > 1:
        yield asked("wedge_rounds", heel.wedge_rounds)
    else:
        yield whole("wedge_rounds", 0, said("only between the two cups of a deep heel"), (), ORDER)
    if toe.cup is None:
        formula = said("a gathered toe has none")
        yield whole("toe_rows", 0, formula, (), ORDER)
        return
    yield _kept(plan, "toe_kept", toe.cup, asked_toe.kept)
    yield _rows("toe", toe.cup)


def _corner(plan: Plan) -> Explained:
    """What the turn of a tube is worth; the length of the foot makes none of its error, for it is
    that of the foot the sock is planned for."""
    corner, by_length = plan.sizing.heel.corner, fact("fit", "tube_turn_by_length")
    ratio = Estimate(by_length.number, by_length.sd or 0.0, "1")
    label = said("turn of a tube ÷ length")
    return Explained(
        "sizing.heel_corner",
        LABELS["heel_corner"],
        corner,
        said("turn ÷ length × foot length × (1 − length ease)"),
        (
            of_fact("fit.tube_turn_by_length", label, ratio, 1.0, by_length),
            measure_input(plan, "length", 0.0),
            chosen(
                "sock.ease.length",
                said("length ease wished for"),
                exactly(plan.order.sock.ease.length),
            ),
        ),
        OF_SOCK,
        "derived",
    )


def _kept(plan: Plan, name: str, cup: Cup, wish: int | None) -> Explained:
    if wish is not None:
        return asked(name, cup.kept)
    third = exactly(cup.needles / 3, "needle")
    formula = said("the number nearest a third of the heel's needles that leaves an even number")
    needles = (count_input("heel_needles", cup.needles),)
    made = whole(name, cup.kept, formula, needles, SPENCER, "published")
    if third.value == cup.kept:
        return made
    rounding = said(
        "{exact} became {count}, so that an even number is raised",
        exact=shown(third, plan.order.units),
        count=cup.kept,
    )
    return replace(made, exact=third, rounding=rounding)


def _rows(part: str, cup: Cup, *outer: Cup) -> Explained:
    formula = said("one row for every needle raised, and one for every needle lowered")
    if cup.first_raise > 1:
        formula = said(
            "one row for every needle raised, two fewer as the first two rows raise two each, and "
            "one for every needle lowered"
        )
    kept = [count_input(f"{part}_kept", cup.kept)]
    rows = cup.rows
    for deep in outer:
        formula = said("{rows}, of both cups", rows=formula)
        kept.append(count_input("heel_deep_kept", deep.kept))
        rows += deep.rows
    raise_first = chosen(
        f"order.{part}_first_raise",
        said("needles raised in the first rows"),
        exactly(cup.first_raise),
    )
    return whole(
        f"{part}_rows",
        rows,
        formula,
        (count_input("heel_needles", cup.needles), *kept, raise_first),
        SPENCER,
        "published",
    )
