"""The way back after losing count: the places of a sock that fit what is seen, the likeliest first.

How well a place fits is told in standard deviations, as if every sight erred on its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.bench.beats import DO, Beat, Sock
from sockwright.facts import fact

BEST = 8
"""Places worth telling."""


@dataclass(frozen=True)
class Seen:
    """What the maker sees; None or "" for what she cannot tell.

    `raised` are the needles that are up; `gap` the needle the carrier stands past (0: the home
    gap); `section` the part she is in; `length_mm` what it measures on the machine.
    """

    raised: frozenset[int] | None = None
    gap: int | None = None
    section: str = ""
    length_mm: float | None = None


@dataclass(frozen=True)
class Guess:
    """So many beats `done`, and how far off what is seen they are, in standard deviations."""

    done: int
    off: float


def places_that_fit(sock: Sock, seen: Seen, most: int = BEST) -> tuple[Guess, ...]:
    """The places that fit best, the best first; the earlier of two alike first."""
    guesses = [Guess(beat.place, _off(sock, beat, seen)) for beat in sock.beats if beat.kind != DO]
    fitting = [guess for guess in guesses if guess.off < _limit()]
    return tuple(sorted(fitting, key=lambda guess: (guess.off, guess.done))[:most])


def _limit() -> float:
    return fact("bench", "lost_off_most").number


def _off(sock: Sock, beat: Beat, seen: Seen) -> float:
    """How far a place is off what is seen, in standard deviations."""
    total = 0.0
    if seen.section and beat.section != seen.section:
        return float("inf")
    if seen.raised is not None:
        look = sock.beds[beat.bed][0]
        up = {n for n, letter in enumerate(look, 1) if letter == "r"}
        total += (len(up ^ seen.raised) / fact("bench", "needle_seen_sd").number) ** 2
    if seen.gap is not None:
        apart = abs(beat.gap - seen.gap) % sock.needles
        total += (min(apart, sock.needles - apart) / fact("bench", "gap_seen_sd").number) ** 2
    if seen.length_mm is not None:
        sd = fact("bench", "length_seen_sd").number
        stretch = fact("bench", "length_on_machine").number
        expected = beat.length_mm * stretch
        spread = max(sd * expected, fact("bench", "length_read_sd").number)
        total += ((seen.length_mm - expected) / spread) ** 2
    return float(total**0.5)
