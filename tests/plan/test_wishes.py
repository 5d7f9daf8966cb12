"""What wearers said of finished socks: it moves wish, fabric and advice by small steps."""

from __future__ import annotations

from dataclasses import replace

import pytest

from orders import order, swatch
from sockwright.machine import Cylinder
from sockwright.order.model import (
    AnswersGiven,
    FinishedGiven,
    HeelAnswer,
    LengthAnswer,
    PuttingOnAnswer,
    RoundAnswer,
    StaysUpAnswer,
)
from sockwright.plan.make import SockPlan, make_plan
from sockwright.plan.notes import cures_of_top, plan_notes

ORDER = replace(order(Cylinder(60, 114.3)), swatches=(swatch(60, 3.3, 2.55, 13.7, None, cam=14.0),))
PLAN = make_plan(ORDER).first
WISH_MM = 245.0 * 0.96
FLAT_MM = 220.0 * 0.9 / 2
"""A foot of 245 mm less 4 %, a ball of 220 mm less 10 %, laid flat."""


def after(*answers: AnswersGiven, **more: object) -> SockPlan:
    """The plan after socks that came out as wished, and what was said of them."""
    usual = {"foot_length_mm": WISH_MM, "flat_width_mm": FLAT_MM, "heel_rows": 40}
    given = usual | more
    socks = tuple(FinishedGiven("a sock", 60, answers=one, **given) for one in answers)  # type: ignore[arg-type]
    return make_plan(replace(ORDER, finished=socks)).first


def test_nothing_said_moves_nothing() -> None:
    assert after(AnswersGiven()).sizing.length_wish_mm == PLAN.sizing.length_wish_mm


def test_short_lengthens_by_one_step_a_sock_and_right_by_none() -> None:
    """A step is 1.25 % of the length; the order itself stays as it was given."""
    short = AnswersGiven(length=LengthAnswer.SHORT)
    once, twice = after(short), after(short, short)
    grown = [plan.sizing.length_wish_mm / PLAN.sizing.length_wish_mm for plan in (once, twice)]
    assert 1.009 < grown[0] <= 1.0126
    assert grown[0] < grown[1] <= 1.0254
    assert once.sizing.foot_rounds > PLAN.sizing.foot_rounds
    assert once.order.sock.ease == ORDER.sock.ease
    right = after(AnswersGiven(length=LengthAnswer.RIGHT))
    assert right.sizing.length_wish_mm == pytest.approx(PLAN.sizing.length_wish_mm, rel=0.001)


def test_tight_asks_for_a_wider_tube_and_fewer_needles_kept() -> None:
    tight = after(*[AnswersGiven(round=RoundAnswer.TIGHT)] * 2)
    assert tight.wishes.girth is not None
    assert tight.wishes.girth.applied > 0.01
    assert len(plan_notes(tight)) >= len(plan_notes(PLAN)) + 2


def test_a_shallow_heel_asks_for_fewer_needles_kept_and_a_deep_one_for_more() -> None:
    shallow, deep = (after(*[AnswersGiven(heel=word)] * 3) for word in ("shallow", "deep"))
    assert shallow.wishes.heel is not None
    assert deep.wishes.heel is not None
    assert shallow.wishes.heel.applied > 0 > deep.wishes.heel.applied
    assert HeelAnswer.SHALLOW == "shallow"


def test_hardly_lowers_the_opening_and_easily_does_not() -> None:
    hardly = after(AnswersGiven(putting_on=PuttingOnAnswer.HARDLY)).gauge
    easily = after(AnswersGiven(putting_on=PuttingOnAnswer.EASILY)).gauge
    assert hardly.unanswered == easily.unanswered != PLAN.gauge.unanswered
    assert hardly.unanswered is not None
    assert hardly.open_ratio.value < hardly.unanswered.value <= easily.open_ratio.value


def test_a_top_that_slipped_is_offered_cures() -> None:
    assert cures_of_top(PLAN) == ()
    slipped = after(AnswersGiven(stays_up=StaysUpAnswer.SLIPS))
    assert cures_of_top(slipped)
    held = after(
        AnswersGiven(stays_up=StaysUpAnswer.SLIPS), AnswersGiven(stays_up=StaysUpAnswer.YES)
    )
    assert cures_of_top(held) == ()


def test_words_against_each_other_move_little_and_are_told() -> None:
    words = [AnswersGiven(length=one) for one in (LengthAnswer.SHORT, LengthAnswer.LONG) * 4]
    plan = after(*words)
    assert plan.wishes.length is not None
    assert abs(plan.wishes.length.applied) < 0.0126
