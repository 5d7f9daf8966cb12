"""Putting on: odds by the normal law, one scale of words, and how they are said."""

from __future__ import annotations

import pytest

from sockwright.estimates import Estimate
from sockwright.sock.passing import Passing, PuttingOn, passing_words, tug_odds

EASILY, TUG, HARDLY, NOT = PuttingOn


def passing(needed: float, possible: float = 1.811, sd: float = 0.07, own: float = 0.04) -> Passing:
    """Relative sds of what it opens, and of what it needs."""
    return Passing(Estimate(needed, own * needed, "1"), Estimate(possible, sd * possible, "1"))


@pytest.mark.parametrize(
    ("needed", "word", "odds"),
    [
        (1.45, EASILY, (0.90, 1.00, 1.00)),
        (1.54, EASILY, (0.71, 0.98, 1.00)),
        (1.62, TUG, (0.47, 0.92, 1.00)),
        (1.75, TUG, (0.15, 0.67, 0.96)),
        (1.90, HARDLY, (0.02, 0.28, 0.76)),
        (2.10, NOT, (0.00, 0.03, 0.30)),
    ],
)
def test_the_worked_verdicts(
    needed: float, word: PuttingOn, odds: tuple[float, float, float]
) -> None:
    """Worked by hand: 1.811 +- 7 % against a need +- 4 %, limits at 8/9, 1 and 10/9 of it."""
    one = passing(needed)
    assert one.word is word
    assert one.at_least == pytest.approx(odds, abs=0.006)
    assert sum(one.odds) == pytest.approx(1.0)
    assert one.doubtful is (word in (HARDLY, NOT))


@pytest.mark.parametrize(
    ("sds", "share"), [(-2.0, 0.9772), (-1.0, 0.8413), (0.0, 0.5), (1.0, 0.1587), (1.96, 0.025)]
)
def test_odds_are_those_of_the_normal_table(sds: float, share: float) -> None:
    """So many of both sds together, 0.05 of the logarithm, above what a firm pull opens."""
    one = passing(1.8 * 2.718281828 ** (0.05 * sds), 1.8, 0.03, 0.04)
    assert one.odds_within(1.0) == pytest.approx(share, abs=0.0002)
    assert one.short_sds == pytest.approx(sds, abs=1e-6)


def test_what_is_known_to_a_hair_passes_or_does_not() -> None:
    assert passing(1.79, 1.8, 0.0, 0.0).odds_within(1.0) == 1.0
    assert passing(1.81, 1.8, 0.0, 0.0).odds_within(1.0) == 0.0


@pytest.mark.parametrize(
    ("needed", "words"),
    [
        (1.40, "goes on easily"),
        (1.58, "goes on easily, or with a tug"),
        (1.64, "goes on with a tug, or easily"),
        (1.78, "goes on with a tug, or hardly"),
        (1.85, "hardly goes on, or with a tug"),
        (2.02, "hardly goes on, or not at all"),
        (2.10, "will not go on"),
        (2.30, "will not go on"),
    ],
)
def test_a_word_that_is_not_sure_is_said_with_its_neighbour(needed: float, words: str) -> None:
    assert passing(needed).words == words


def test_a_sure_tug_stands_alone() -> None:
    assert passing(1.70, 1.8, 0.02, 0.02).words == "goes on with a tug"


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.19, "1 time in 5 with no more than a tug"),
        (0.49, "1 time in 2 with no more than a tug"),
        (0.64, "2 times in 3 with no more than a tug"),
        (0.96, "19 times in 20 with no more than a tug"),
        (0.99, "almost surely with no more than a tug"),
        (0.01, "almost surely not with a tug alone"),
    ],
)
def test_odds_are_said_as_plain_fractions(share: float, words: str) -> None:
    assert tug_odds(share) == words


def test_the_word_comes_first_then_the_odds_and_both_numbers() -> None:
    assert passing_words("over the heel", passing(1.9)) == (
        "over the heel: hardly goes on, or with a tug, 1 time in 4 with no more than a tug; it "
        "must open to 1.90 times its width, and pulled firmly it opens to 1.81 ± 0.13 times"
    )
