"""The way back after losing count: the places of a sock that fit what is seen, the likeliest first.

How well a place fits is told in standard deviations, as if every sight erred on its own. Among
places that fit, one near the last count is likelier than one far from it: a lost count is mostly
off by a few, and sometimes by very many, as a Cauchy distribution has it.

The page at the machine guesses by itself, for it may be without a network. Its script
(web/static/bench/lost.js) does what stands here, and tests hold the two together, place by place.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log1p

from sockwright.bench.counting import DO, CountStep, Sock
from sockwright.facts import fact

BEST = 8
"""Places worth telling."""


@dataclass(frozen=True)
class Seen:
    """What the maker sees; None or "" for what she cannot tell.

    `raised` are the needles that are up; `passed` the needle the carrier passed last, whichever
    way it came, as `Sock.passed` tells it; `section` the part she is in; `length_mm` what it
    measures on the machine; `counted` how many counts were counted before she lost count.
    """

    raised: frozenset[int] | None = None
    passed: int | None = None
    section: str = ""
    length_mm: float | None = None
    counted: int | None = None


@dataclass(frozen=True)
class Guess:
    """So many counts `done`, and how far off what is seen they are, in standard deviations."""

    done: int
    off: float


def places_that_fit(sock: Sock, seen: Seen, most: int = BEST) -> tuple[Guess, ...]:
    """The likeliest of the places that fit, the likeliest first; the earlier of two alike first."""
    guesses = [
        Guess(count_step.place, _off(sock, count_step, seen))
        for count_step in places_told_apart(sock)
    ]
    fitting = [guess for guess in guesses if guess.off < _limit()]
    return tuple(sorted(fitting, key=lambda guess: (_unlikely(guess, seen), guess.done))[:most])


def places_told_apart(sock: Sock) -> list[CountStep]:
    """The counts after which the sock can be found again: those that are counted, and of what the
    hands do between counts what changes the look of the bed, and what comes last."""
    return [
        count_step
        for count_step, before, after in zip(
            sock.count_steps, (None, *sock.count_steps), (*sock.count_steps[1:], None), strict=False
        )
        if count_step.kind != DO
        or count_step.bed != (count_step.before if before is None else before.bed)
        or (after is not None and after.kind != DO)
    ]


def _limit() -> float:
    return fact("bench", "lost_off_most").number


def _unlikely(guess: Guess, seen: Seen) -> float:
    """Minus twice the logarithm of a place's likelihood, but for a constant."""
    if seen.counted is None:
        return guess.off**2
    astray = (guess.done - seen.counted) / fact("bench", "count_astray").number
    return guess.off**2 + 2 * log1p(astray**2)


def _off(sock: Sock, count_step: CountStep, seen: Seen) -> float:
    """How far a place is off what is seen, in standard deviations."""
    total = 0.0
    if seen.section and count_step.section != seen.section:
        return float("inf")
    if seen.raised is not None:
        look = sock.beds[count_step.bed][0]
        up = {n for n, letter in enumerate(look, 1) if letter == "r"}
        total += (len(up ^ seen.raised) / fact("bench", "needle_seen_sd").number) ** 2
    if seen.passed is not None:
        apart = abs(sock.passed(count_step.place) - seen.passed) % sock.needles
        total += (min(apart, sock.needles - apart) / fact("bench", "gap_seen_sd").number) ** 2
    if seen.length_mm is not None:
        sd = fact("bench", "length_seen_sd").number
        stretch = fact("bench", "length_on_machine").number
        expected = count_step.length_mm * stretch
        spread = max(sd * expected, fact("bench", "length_read_sd").number)
        total += ((seen.length_mm - expected) / spread) ** 2
    return float(total**0.5)
