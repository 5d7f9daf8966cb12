"""Where the needles and rows of heel and toe come from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sockwright.plan import Plan
from sockwright.plan_sources.explained import Explained
from sockwright.plan_sources.inputs import chosen, exactly, reckoned
from sockwright.plan_sources.printing import shown
from sockwright.plan_sources.sizing_words import OF_SOCK, ORDER, asked, count_input, whole
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
    yield _kept(plan, "heel_kept", heel.cup, asked_heel.kept)
    if heel.deep is not None:
        yield asked("heel_deep_kept", heel.deep.kept)
    yield _rows(plan, "heel", heel.cup, heel.deep)
    if heel.deep is None:
        yield whole("wedge_rounds", 0, said("only between the two cups of a deep heel"), (), ORDER)
    else:
        yield asked("wedge_rounds", heel.wedge_rounds)
    if toe.cup is None:
        formula = said("a gathered toe has none")
        yield whole("toe_rows", 0, formula, (), ORDER)
        return
    yield _kept(plan, "toe_kept", toe.cup, asked_toe.kept)
    yield _rows(plan, "toe", toe.cup, None)


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


def _rows(plan: Plan, part: str, cup: Cup, deep: Cup | None) -> Explained:
    formula = said("one row for every needle raised, and one for every needle lowered")
    if cup.first_raise > 1:
        formula = said(
            "one row for every needle raised, two fewer as the first two rows raise two each, and "
            "one for every needle lowered"
        )
    kept = [count_input(f"{part}_kept", cup.kept)]
    rows = cup.rows
    if deep is not None:
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
