"""Passing: odds by the normal law, and how they are said."""

from __future__ import annotations

import pytest

from sockwright.estimates import Estimate
from sockwright.sock.fit import Passing, odds_words, passing_words


def passing(needed: float, possible: float, sd: float = 0.18, needed_sd: float = 0.0) -> Passing:
    return Passing(Estimate(needed, needed_sd, "1"), Estimate(possible, sd, "1"))


@pytest.mark.parametrize(
    ("sds", "share"), [(-2.0, 0.0228), (-1.0, 0.1587), (0.0, 0.5), (1.0, 0.8413), (1.96, 0.975)]
)
def test_odds_are_those_of_the_normal_table(sds: float, share: float) -> None:
    assert passing(1.5 + sds * 0.2, 1.5, 0.2).too_tight == pytest.approx(share, abs=0.0001)


def test_both_spreads_count() -> None:
    """0.3 short with sds of 0.18 and 0.24, together 0.3: one standard deviation, 84 in 100."""
    assert passing(1.8, 1.5, 0.18, 0.24).too_tight == pytest.approx(0.8413, abs=0.0001)


def test_what_is_known_to_a_hair_passes_or_does_not() -> None:
    assert passing(1.6, 1.5, 0.0).too_tight == 1.0
    assert passing(1.4, 1.5, 0.0).too_tight == 0.0
    assert passing(1.5, 1.5, 0.0).too_tight == 0.5


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.19, "about 1 sock in 5 will be too tight"),
        (0.49, "about 1 sock in 2 will be too tight"),
        (0.64, "about 2 socks in 3 will be too tight"),
        (0.81, "about 4 socks in 5 will be too tight"),
        (0.96, "about 19 socks in 20 will be too tight"),
        (0.99, "it will almost surely be too tight"),
    ],
)
def test_odds_are_said_as_plain_fractions(share: float, words: str) -> None:
    assert odds_words(share) == words


@pytest.mark.parametrize(
    ("needed", "likely_tight", "just"),
    [(1.25, False, False), (1.40, False, True), (1.474, False, True), (1.48, True, False)],
)
def test_just_ends_where_the_need_as_printed_is_more(
    needed: float, likely_tight: bool, just: bool
) -> None:
    """1.474 prints as 1.47, and so is no more than the 1.47 that the fabric opens."""
    one = passing(needed, 1.47)
    assert (one.likely_tight, one.just) == (likely_tight, just)


def test_a_tube_that_may_not_pass_is_said_with_both_numbers_and_the_odds() -> None:
    """0.16 short of 0.19 in all: 0.84 standard deviations, 80 in 100 by the table."""
    assert passing_words("may not go over the heel", passing(1.63, 1.47, 0.18, 0.06)) == (
        "may not go over the heel: it must stretch to 1.63 times its width; this fabric stretches "
        "to 1.47 ± 0.18 times; about 4 socks in 5 will be too tight"
    )
    assert passing_words("goes over the heel", passing(1.2, 1.47)) == (
        "goes over the heel: it must stretch to 1.20 times its width; this fabric stretches to "
        "1.47 ± 0.18 times"
    )
