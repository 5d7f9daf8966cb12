"""Notes that a design brings with it: tubes, lopsided cups, idle yarns, one size for two feet."""

from __future__ import annotations

import pytest

from orders import FOOT, YARN, longer, order
from sockwright.order.model import (
    Closing,
    CupGiven,
    HeelGiven,
    HeelKind,
    SockGiven,
    ToeGiven,
    ToeHalf,
    Widening,
    YarnGiven,
)
from sockwright.plan.explain import sources
from sockwright.plan.make import SockPlan, make_plan
from sockwright.plan.notes import plan_notes
from sockwright.quantities import format_length, format_pm
from sockwright.web.plan.rows import cylinder_words

PLAN = make_plan(order(stretch=1.7)).first


def notes_with(plan: SockPlan, words: str) -> list[str]:
    """The notes that hold these words."""
    return [note for note in plan_notes(plan) if words in note]


def test_a_yarn_that_no_part_is_knitted_in_is_told() -> None:
    toe = YarnGiven("toe", "red", 277.0)
    idle = order(yarns=(YARN, toe), sock=SockGiven(toe=ToeGiven(closing=Closing.GATHER)))
    used = order(yarns=(YARN, toe))
    words = "oe yarn: nothing"
    assert len(notes_with(make_plan(idle).first, words)) == 1
    assert not notes_with(make_plan(used).first, words)


def test_a_cup_that_comes_out_lopsided_is_told_with_its_courses_and_length() -> None:
    """Lowered at the far end the first needle knits two courses more, and of two cups four."""
    far = CupGiven(kept=10, widening=Widening.WRAPPED_FAR)
    near = CupGiven(kept=10)
    deep = HeelGiven(cup=far, deep_kept=20)
    plan = make_plan(order(sock=SockGiven(heel=deep, toe=ToeGiven(cup=near)))).first
    (note,) = notes_with(plan, "opsided")
    assert "needle 1" in note
    assert "needle 30" in note
    assert f"4 courses ({format_length(4 * plan.gauge.course.value, 'cm')!s})" in note
    toe = SockGiven(heel=HeelGiven(cup=near), toe=ToeGiven(ToeHalf.INSTEP, far))
    (note,) = notes_with(make_plan(order(sock=toe)).first, "opsided")
    assert "needle 31" in note
    assert "2 courses" in note
    assert not notes_with(PLAN, "opsided")


def test_a_tube_tells_how_long_it_is_and_what_the_turn_counts() -> None:
    plan = make_plan(order(sock=SockGiven(heel=HeelGiven(HeelKind.NONE)))).first
    (note,) = notes_with(plan, "No heel")
    both = plan.fabric.foot_length.value + plan.fabric.leg_length.value
    corner = plan.sizing.heel.corner
    assert plan.fabric.tube_length.value == pytest.approx(both - 2 * corner.value)
    assert format_pm(plan.fabric.tube_length, "cm") in note
    assert format_pm(corner, "cm") in note
    assert not notes_with(PLAN, "No heel")


@pytest.mark.parametrize("by_mm", [3.0, -3.0])
def test_feet_that_differ_by_a_round_or_two_get_one_size_for_the_longer(by_mm: float) -> None:
    pair = make_plan(order(right=longer(FOOT, by_mm)))
    plan = pair.first
    assert pair.second is None
    assert plan.foot.length.estimate.value == max(245.0, 245.0 + by_mm)
    (note,) = notes_with(plan, "longer foot")
    assert ("right" if by_mm > 0 else "left") in str(note).split(";")[0]
    assert not notes_with(PLAN, "longer foot")
    told = {one.key: one for one in sources(pair)}["foot.length"].value
    assert told == plan.foot.length.estimate


def test_the_cylinder_is_named_by_what_it_is_about_to_knit() -> None:
    tube = HeelGiven(HeelKind.NONE)
    socks = (
        (SockGiven(), "heel"),
        (SockGiven(heel=tube), "toe"),
        (SockGiven(heel=tube, toe=ToeGiven(closing=Closing.GATHER)), "start"),
    )
    for sock, moment in socks:
        assert moment in cylinder_words(make_plan(order(sock=sock)).first, "")
