"""What a wearer's words say of a wish or a fabric: ordinal answers on a latent scale.

Each scale has one unknown, on a bounded grid: a wished length or girth against the usual one, how
deep a heel, how much stretch holds a top, how far a fabric opens. A word says on which side of
which cut the sock came out,

    P(word or one before it) = Phi((cut - offset + unknown) / s),  s^2 = noise^2 + sd of offset^2,

the ordered probit of any textbook of statistics, but for slips. How far the words can be trusted
is unknown as well: three opinions run beside each other. Answers are kept as they were given and
replayed in order, so that taking one back undoes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import erf, hypot, log, sqrt

import numpy as np
import numpy.typing as npt

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.order.model import (
    HeelAnswer,
    LengthAnswer,
    PuttingOnAnswer,
    RoundAnswer,
    StaysUpAnswer,
)

Array = npt.NDArray[np.float64]

POINTS = 161
"""Points of a grid: more than twenty to a prior's sd."""
OPINION = ("noise", "slips", "odds")
"""The facts of an opinion on how far words can be trusted."""


@dataclass(frozen=True)
class Scale:
    """An unknown that words tell of: the `words` in order, the `cuts` between them, `mean` and `sd`
    of the unknown before any answer, the `noise` of a word, how far on either side of the mean it
    is looked for (`reach`), and how far a plan follows one answered sock (`step`, None: all the
    way). All are natural logarithms or shares, unit "1"."""

    words: tuple[str, ...]
    cuts: tuple[float, ...]
    mean: float
    sd: float
    noise: float
    reach: float
    step: float | None = None


@dataclass(frozen=True)
class Answer:
    """A word for one sock as it was finished, and where that sock lies on the scale: `offset`,
    with its `sd`, in the scale's unit."""

    word: str
    offset: float
    sd: float


@dataclass(frozen=True)
class Heard:
    """What answers say of the unknown: its `mean` and `sd`, what a plan uses of it, `applied`, and
    the odds of the three opinions on the words, the last that they mean nothing."""

    mean: float
    sd: float
    applied: float
    trust: tuple[float, float, float]

    @property
    def contradictory(self) -> bool:
        """Whether the answers more likely mean nothing: foot or fabric is to be measured."""
        return self.trust[-1] > fact("learning", "contradiction_odds").number


def length_scale() -> Scale:
    """Wished length, ln over the usual wish; a sock's offset is ln(knitted / usual wish)."""
    return _wish("length", LengthAnswer)


def girth_scale() -> Scale:
    """Wished girth, ln over the usual wish; a sock's offset is ln(knitted / usual wish)."""
    return _wish("girth", RoundAnswer)


def heel_scale() -> Scale:
    """Wished depth of the heel beyond the usual, in shares of the half's needles; a sock's offset
    is (needles usually kept - needles kept) / needles of the half."""
    return _wish("heel", HeelAnswer)


def grip_scale() -> Scale:
    """The stretch that holds a top on this leg, ln over the usual one; a sock's offset is
    ln(leg girth at the top / girth of the top / the usual stretch that holds)."""
    words = (StaysUpAnswer.SLIPS, StaysUpAnswer.YES)
    return Scale(words, (0.0,), 0.0, *_numbers("grip", "sd", "noise", "reach", "step"))


def opening_scale(opening: Estimate, easily: float, at_all: float) -> Scale:
    """How far a fabric opens in a firm pull, ln of times its relaxed width, as `opening` has it
    before any answer; a sock's offset is ln(girth to pass / relaxed girth).

    `easily` and `at_all` are the shares of the opening to which a sock goes on easily, and at all.
    """
    sd = opening.sd / opening.value
    (reach,), (noise,) = _numbers("opening", "reach_sds"), _numbers("opening", "noise")
    cuts = (log(easily), 0.0, log(at_all))
    return Scale(tuple(PuttingOnAnswer), cuts, log(opening.value), sd, noise, reach * sd)


def _wish(name: str, words: type[StrEnum]) -> Scale:
    cut, sd, noise, reach, step = _numbers(name, "cut", "sd", "noise", "reach", "step")
    return Scale(tuple(words), (-cut, cut), 0.0, sd, noise, reach, step)


def _numbers(name: str, *rows: str) -> tuple[float, ...]:
    return tuple(fact("learning", f"{name}_{row}").number for row in rows)


def replay(scale: Scale, answers: Sequence[Answer]) -> tuple[Heard, ...]:
    """What was heard before any answer, and after each of them in order.

    ValueError for a word that is none of the scale's.
    """
    grid = np.linspace(scale.mean - scale.reach, scale.mean + scale.reach, POINTS)
    opinions = [_numbers("trust", *(f"{row}_{one}" for row in OPINION)) for one in (1, 2, 3)]
    prior = -(((grid - scale.mean) / scale.sd) ** 2) / 2
    log_odds = np.log([[odds] for _, _, odds in opinions]) + prior
    heard = [_heard(scale, grid, log_odds, None)]
    for answer in answers:
        log_odds = log_odds + np.log(
            [_likelihood(scale, answer, grid, noise, slips) for noise, slips, _ in opinions]
        )
        heard.append(_heard(scale, grid, log_odds, heard[-1]))
    return tuple(heard)


def hear(scale: Scale, answers: Sequence[Answer]) -> Heard:
    """What the answers together say; ValueError for a word that is none of the scale's."""
    return replay(scale, answers)[-1]


def _likelihood(scale: Scale, answer: Answer, grid: Array, noise: float, slips: float) -> Array:
    """The probability of the word for each value of the unknown, (POINTS,)."""
    if answer.word not in scale.words:
        raise ValueError(f"'{answer.word}' is none of {', '.join(scale.words)}")
    spread = hypot(scale.noise * noise, answer.sd)
    place = scale.words.index(answer.word)
    ends = [_up_to((cut - answer.offset + grid) / spread) for cut in scale.cuts]
    below = ends[place - 1] if place else np.zeros_like(grid)
    above = ends[place] if place < len(ends) else np.ones_like(grid)
    return np.asarray((1 - slips) * (above - below) + slips / len(scale.words))


def _up_to(sds: Array) -> Array:
    """The normal distribution."""
    return np.array([(1 + erf(each / sqrt(2))) / 2 for each in sds.tolist()])


def _heard(scale: Scale, grid: Array, log_odds: Array, before: Heard | None) -> Heard:
    """Mean and sd over the opinions together, and the plan's step from where it was `before`.

    Answers that contradict each other move a plan no further from where it began, but let it
    come back.
    """
    odds = np.exp(log_odds - log_odds.max())
    odds /= odds.sum()
    mean = float(np.sum(odds * grid))
    sd = sqrt(float(np.sum(odds * (grid - mean) ** 2)))
    first, second, third = odds.sum(axis=1).tolist()
    heard = Heard(mean, sd, scale.mean, (first, second, third))
    if before is None:
        return heard
    step = mean - before.applied
    if heard.contradictory:
        nearer = sorted((0.0, scale.mean - before.applied))
        step = min(max(step, nearer[0]), nearer[1])
    if scale.step is not None:
        step = min(max(step, -scale.step), scale.step)
    return Heard(mean, sd, before.applied + step, heard.trust)


def pull_is_due(answers: Sequence[Answer], opening: Estimate, easily: float) -> bool:
    """Whether socks did not go on that should have easily by the `opening` believed before any
    answer, often enough for the fabric to be pulled instead of asked about."""
    least = log(easily * opening.value)
    wrong = [one for one in answers if one.word == PuttingOnAnswer.NOT and one.offset < least]
    return len(wrong) >= fact("learning", "pull_asked_after").number
