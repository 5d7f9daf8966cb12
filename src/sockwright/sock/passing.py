"""Passing: whether a fabric opens so far as it must, with the odds that it does not."""

from __future__ import annotations

from dataclasses import dataclass
from math import erf, hypot, inf, sqrt

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.words import said, said_of

FRACTIONS = (
    *((1, 20), (1, 10), (1, 5), (1, 4), (1, 3), (2, 5), (1, 2)),
    *((3, 5), (2, 3), (3, 4), (4, 5), (9, 10), (19, 20)),
)
"""Odds are said as the nearest of these: nobody feels finer ones."""
PRINTED = 2
"""Decimals with which openings are printed: what prints alike is said to be alike."""


@dataclass(frozen=True)
class Passing:
    """A tube over the heel or the leg: how many times its relaxed width it must open (`needed`),
    and how many times the fabric opens in comfort (`possible`)."""

    needed: Estimate
    possible: Estimate

    @property
    def short_sds(self) -> float:
        """By how many standard deviations of both together the fabric opens too little; below 0
        where it opens far enough."""
        short = self.needed.value - self.possible.value
        spread = hypot(self.needed.sd, self.possible.sd)
        return short / spread if spread else inf * short if short else 0.0

    @property
    def too_tight(self) -> float:
        """The probability, 0 to 1, that it must open farther than the fabric does; both taken as
        normal and independent."""
        return (1 + erf(self.short_sds / sqrt(2))) / 2

    @property
    def likely_tight(self) -> bool:
        """Whether it must open farther, as printed, than the fabric most likely does."""
        return round(self.needed.value, PRINTED) > round(self.possible.value, PRINTED)

    @property
    def just(self) -> bool:
        """Whether it passes, but with odds worth a word (`fit.tight_odds_worth_a_word`)."""
        worth = fact("fit", "tight_odds_worth_a_word").number
        return not self.likely_tight and self.too_tight >= worth


def passing_words(what: str, passing: Passing) -> str:
    """`what` is said of it, then both openings and, where they are worth a word, the odds."""
    openings = said(
        "{what}: it must open {needed:.2f} times, and the fabric opens "
        "{possible:.2f} ± {possible_sd:.2f} times",
        what=what,
        needed=passing.needed.value,
        possible=passing.possible.value,
        possible_sd=passing.possible.sd,
    )
    if not passing.likely_tight and not passing.just:
        return openings
    return said("{openings}; {odds}", openings=openings, odds=odds_words(passing.too_tight))


def odds_words(share: float) -> str:
    """The odds of being too tight as a maker says them."""
    if share > fact("fit", "tight_odds_almost_sure").number:
        return said("it will almost surely be too tight")
    of, among = min(FRACTIONS, key=lambda one: abs(share - one[0] / one[1]))
    return said_of(
        "about {n} time in {among} it will be too tight",
        "about {n} times in {among} it will be too tight",
        of,
        among=among,
    )
