"""Lists of needles in as few words as say them exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import gcd

from sockwright.words import Tongue, phrase

FEWEST_RUN = 3
"""Neighbours that are worth saying as "3 to 5"."""
FEWEST_STEPPED = 4
"""Needles at equal steps that are worth saying as "every 2nd from 2 to 8"."""
MOST_MISSING = 2
"""As many may be missing from a run that is otherwise even."""
MOST_INTERLEAVED = 4
"""Stepped runs that may lie in one another: the wales of a rib that purls up to four together."""

Run = tuple[int, int, int]
"""(first, last, step) of numbers at equal steps; step 0 for one number alone."""


def needle_runs(numbers: Sequence[int]) -> list[Run]:
    """Rising `numbers` as runs that hold each of them once, in their order of first mention."""
    runs: list[Run] = []
    place = 0
    while place < len(numbers):
        ways, length = _best(numbers, place)
        if ways:
            parts = [numbers[place + way : place + length : ways] for way in range(ways)]
            runs += [(part[0], part[-1], part[1] - part[0]) for part in parts]
        else:
            runs.append((numbers[place], numbers[place], 0))
        place += length
    return runs


def _best(numbers: Sequence[int], place: int) -> tuple[int, int]:
    """How many interleaved runs begin at `place`, and how many numbers they hold together; (0, 1)
    where a number is best said alone."""
    best, gain = (0, 1), 0
    for ways in range(1, MOST_INTERLEAVED + 1):
        length = _regular(numbers, place, ways)
        step = numbers[place + ways] - numbers[place] if length else 0
        fewest = FEWEST_RUN if step == 1 else FEWEST_STEPPED * ways
        if length >= fewest and length - 3 * ways >= gain:
            best, gain = (ways, length), length - 3 * ways + 1
    return best


def _regular(numbers: Sequence[int], place: int, ways: int) -> int:
    """Length of the stretch from `place` on that rises by one step every `ways` numbers."""
    if place + ways >= len(numbers):
        return 0
    step = numbers[place + ways] - numbers[place]
    end = place + ways
    while end < len(numbers) and numbers[end] - numbers[end - ways] == step:
        end += 1
    return end - place


@dataclass(frozen=True)
class Numbered:
    """How things are told by their numbers: one, many, and every so many."""

    one: str
    many: str
    stepped: str


NEEDLES = Numbered(phrase("needle {n}"), phrase("needles {n}"), phrase("every {nth} needle {runs}"))
SLOTS = Numbered(
    phrase("dial slot {n}"), phrase("dial slots {n}"), phrase("every {nth} dial slot {runs}")
)


def say_numbered(tongue: Tongue, what: Numbered, numbers: Sequence[int]) -> str:
    """Things by their numbers: "needle 3", "needles 31 to 60", "every 3rd needle from 3 to 60"."""
    if len(numbers) == 1:
        return tongue.tell(what.one, n=numbers[0])
    runs, missing = _all_but(sorted(numbers))
    steps = {step for _, _, step in runs}
    if stepped := len(steps) == 1 and min(steps) > 1:
        said = [
            tongue.tell("from {first} to {last}", first=first, last=last) for first, last, _ in runs
        ]
    else:
        said = list(_pieces(tongue, runs))
    text = join(tongue, said)
    if missing:
        others = join(tongue, list(_pieces(tongue, needle_runs(missing))))
        text = tongue.tell("{runs}, but not {others}", runs=text, others=others)
    if stepped:
        return tongue.tell(what.stepped, nth=tongue.ordinal(runs[0][2]), runs=text)
    return tongue.tell(what.many, n=text)


def _all_but(numbers: Sequence[int]) -> tuple[list[Run], list[int]]:
    """Rising numbers as runs; as one even run and what is missing from it where that is shorter,
    or no longer and hardly anything is missing."""
    runs = needle_runs(numbers)
    step = gcd(*(b - a for a, b in pairwise(numbers)))
    whole = range(numbers[0], numbers[-1] + 1, step)
    missing = sorted(set(whole).difference(numbers))
    if not missing or len(whole) < FEWEST_STEPPED:
        return runs, []
    spared = len(runs) - 1 - len(needle_runs(missing))
    few = len(missing) <= MOST_MISSING and len(numbers) > FEWEST_STEPPED * len(missing)
    if spared > 0 or (spared == 0 and few):
        return [(whole[0], whole[-1], step)], missing
    return runs, []


def _pieces(tongue: Tongue, runs: Sequence[Run]) -> Iterator[str]:
    for first, last, step in runs:
        if step == 0:
            yield str(first)
        elif step == 1:
            yield tongue.tell("{first} to {last}", first=first, last=last)
        else:
            yield tongue.tell(
                "every {nth} from {first} to {last}",
                nth=tongue.ordinal(step),
                first=first,
                last=last,
            )


def join(tongue: Tongue, pieces: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(pieces) < 2:
        return pieces[0] if pieces else ""
    return tongue.tell("{some} and {last}", some=", ".join(pieces[:-1]), last=pieces[-1])
