"""Cups: which kept counts can be turned, and what is offered in place of one that cannot."""

from __future__ import annotations

import pytest

from sockwright.errors import CannotMake
from sockwright.order.model import CupGiven, Widening
from sockwright.sock.cup import FEWEST_KEPT, Cup, default_kept, kept_choices, size_cup


def refusal(needles: int, given: CupGiven) -> CannotMake:
    with pytest.raises(CannotMake) as refused:
        size_cup(needles, given, "sock.heel.kept")
    return refused.value


def test_choices_leave_an_even_number_to_raise() -> None:
    assert kept_choices(12) == (4, 6, 8, 10)
    assert kept_choices(13) == (5, 7, 9, 11)


@pytest.mark.parametrize("needles", range(12, 101))
def test_default_is_a_choice_within_one_of_a_third(needles: int) -> None:
    kept = default_kept(needles)
    assert kept in kept_choices(needles)
    assert abs(kept - needles / 3) <= 1 or kept in (FEWEST_KEPT, FEWEST_KEPT + 1)


@pytest.mark.parametrize(
    ("kept", "offered"), [(11, [10, 12]), (3, [4, 6]), (30, [26, 28]), (99, [26, 28]), (0, [4, 6])]
)
def test_nearest_kept_counts_are_offered(kept: int, offered: list[int]) -> None:
    error = refusal(30, CupGiven(kept))
    assert "sock.heel.kept" in error.reason
    assert str(kept) in error.reason
    assert [offer.change for offer in error.offers] == [f"leave {each} in work" for each in offered]


@pytest.mark.parametrize("kept", [29, 31, 27])
def test_offers_for_doubled_turns_can_be_doubled(kept: int) -> None:
    for offer in refusal(30, CupGiven(kept, first_raise=2)).offers:
        cup = size_cup(
            30, CupGiven(int(str(offer.change).split()[1]), first_raise=2), "sock.heel.kept"
        )
        assert offer.effect == f"{cup.rows} rows"


def test_doubled_turns_need_four_needles_to_raise() -> None:
    error = refusal(30, CupGiven(28, first_raise=2))
    assert [offer.change for offer in error.offers] == ["raise one a row"]
    assert size_cup(30, CupGiven(28), "sock.heel.kept").rows == 4
    assert size_cup(30, CupGiven(26, first_raise=2), "sock.heel.kept").rows == 6


def test_doubled_turns_take_one_course_off_each_side() -> None:
    single, doubled = Cup(36, 12), Cup(36, 12, Widening.WRAPPED_NEAR, 2)
    assert (single.share, doubled.share) == (24, 23)


def test_cup_kept_whole_has_the_girth_of_a_tube() -> None:
    assert Cup(30, 30).girth_mm(3.0, 2.0) == pytest.approx(2 * 30 * 3.0)


def test_deeper_cup_is_roomier() -> None:
    girths = [Cup(36, kept).girth_mm(3.0, 2.3) for kept in (20, 16, 12, 8)]
    assert girths == sorted(girths)
