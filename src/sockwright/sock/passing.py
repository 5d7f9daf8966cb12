"""Putting on: whether a tube goes over what it must pass, and how, as the odds have it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from math import erf, hypot, log, sqrt

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.i18n import N_, Message, _, ngettext

FRACTIONS = (
    *((1, 20), (1, 10), (1, 5), (1, 4), (1, 3), (2, 5), (1, 2)),
    *((3, 5), (2, 3), (3, 4), (4, 5), (9, 10), (19, 20)),
)
"""Odds are said as the nearest of these: nobody feels finer ones."""


class PuttingOn(IntEnum):
    """How a sock goes on, the best first: one scale for every verdict."""

    EASILY = 0
    TUG = 1
    HARDLY = 2
    NOT = 3


WORDS = {
    PuttingOn.EASILY: "easily",
    PuttingOn.TUG: "with a tug",
    PuttingOn.HARDLY: "hardly",
    PuttingOn.NOT: "not",
}
"""As data tells them."""
PUTTING_ON = {
    PuttingOn.EASILY: N_("goes on easily"),
    PuttingOn.TUG: N_("goes on with a tug"),
    PuttingOn.HARDLY: N_("hardly goes on"),
    PuttingOn.NOT: N_("will not go on"),
}
OR_RATHER = {
    (PuttingOn.EASILY, PuttingOn.TUG): N_("goes on easily, or with a tug"),
    (PuttingOn.TUG, PuttingOn.EASILY): N_("goes on with a tug, or easily"),
    (PuttingOn.TUG, PuttingOn.HARDLY): N_("goes on with a tug, or hardly"),
    (PuttingOn.HARDLY, PuttingOn.TUG): N_("hardly goes on, or with a tug"),
    (PuttingOn.HARDLY, PuttingOn.NOT): N_("hardly goes on, or not at all"),
    (PuttingOn.NOT, PuttingOn.HARDLY): N_("will not go on, or hardly"),
}
"""The word and its likelier neighbour, where the word alone says too much."""


@dataclass(frozen=True)
class Passing:
    """A tube over the heel or the leg: how many times its relaxed width it must open (`needed`),
    and how many times its fabric opens in a firm pull (`possible`); both are taken as lognormal
    and independent."""

    needed: Estimate
    possible: Estimate

    @property
    def short_sds(self) -> float:
        """By how many standard deviations of both together a firm pull opens it too little; below
        0 where it opens far enough."""
        short = log(self.needed.value / self.possible.value)
        return short / self._spread

    @property
    def _spread(self) -> float:
        needed, possible = self.needed, self.possible
        return max(hypot(needed.sd / needed.value, possible.sd / possible.value), 1e-6)

    def odds_within(self, share: float) -> float:
        """The probability, 0 to 1, that so much of a firm pull is enough."""
        over = log(share * self.possible.value / self.needed.value) / self._spread
        return (1 + erf(over / sqrt(2))) / 2

    @cached_property
    def at_least(self) -> tuple[float, float, float]:
        """The odds that it goes on easily, with no more than a tug, and at all."""
        easily, at_all = (fact("fit", name).number for name in ("easily_of_pull", "at_all_of_pull"))
        return self.odds_within(easily), self.odds_within(1.0), self.odds_within(at_all)

    @cached_property
    def odds(self) -> tuple[float, float, float, float]:
        """The odds of each word of PuttingOn; they add up to 1."""
        easily, tug, at_all = self.at_least
        return easily, tug - easily, at_all - tug, 1 - at_all

    @property
    def word(self) -> PuttingOn:
        """The verdict: refused where it more likely than two in three does not go on at all."""
        easily, tug, at_all = self.at_least
        if at_all < fact("fit", "refused_below_odds").number:
            return PuttingOn.NOT
        if tug < 0.5:
            return PuttingOn.HARDLY
        return PuttingOn.TUG if easily < 0.5 else PuttingOn.EASILY

    @property
    def doubtful(self) -> bool:
        """Whether it is to be warned of or refused."""
        return self.word >= PuttingOn.HARDLY

    @property
    def words(self) -> Message:
        """The verdict in words, with the likelier neighbour where it is not sure enough."""
        word = self.word
        if self.odds[word] >= fact("fit", "sure_word_odds").number:
            return _(PUTTING_ON[word])
        beside = [one for one in PuttingOn if abs(one - word) == 1]
        return _(OR_RATHER[word, max(beside, key=lambda one: self.odds[one])])


def passing_words(what: str, passing: Passing) -> Message:
    """The verdict on `what` it must pass, then the odds and both openings."""
    return _(
        "{what}: {verdict}, {odds}; it must open to {needed:.2f} times its width, and pulled "
        "firmly it opens to {possible:.2f} ± {possible_sd:.2f} times",
        what=what,
        verdict=passing.words,
        odds=tug_odds(passing.at_least[1]),
        needed=passing.needed.value,
        possible=passing.possible.value,
        possible_sd=passing.possible.sd,
    )


def tug_odds(share: float) -> Message:
    """The odds that no more than a tug is needed, as a maker says them."""
    sure = fact("fit", "almost_sure_odds").number
    if share > sure:
        return _("almost surely with no more than a tug")
    if share < 1 - sure:
        return _("almost surely not with a tug alone")
    of, among = min(FRACTIONS, key=lambda one: abs(share - one[0] / one[1]))
    return ngettext(
        "{n} time in {among} with no more than a tug",
        "{n} times in {among} with no more than a tug",
        of,
        among=among,
    )
