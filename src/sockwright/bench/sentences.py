"""The sentences that the page tells, each once, and which of their numbers move.

Where rounds were knitted more or fewer, a later step says another number: a counter that shows 40
instead of 38. Which numbers those are is found by telling the program anew with a round more.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sockwright import steps as op
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.wording.instructions import Instruction
from sockwright.words import Tongue

_NUMBER = re.compile(r"\d+")
_APART = re.compile(r"\d+|[^\d]+")

Moves = tuple[tuple[int, tuple[int, ...]], ...]
"""Of a sentence: the place of a number in it, from 0, and the instructions whose rounds move it."""


class Pool:
    """Sentences, each once: rows of heel and toe say much the same."""

    def __init__(self) -> None:
        self._places: dict[tuple[str, Moves], int] = {}

    def places(self, text: str, others: Sequence[tuple[int, str]] = ()) -> list[int]:
        """Where the sentences of a text are; with blanks between, they make the text again.

        `others` say the same text with a round more in an instruction, each after its number.
        """
        own = _sentences(text)
        told = [(number, _sentences(other)) for number, other in others if other != text]
        alike = [(number, other) for number, other in told if len(other) == len(own)]
        return [
            self._places.setdefault(
                (one, moves(one, [(n, other[at]) for n, other in alike])), len(self._places)
            )
            for at, one in enumerate(own)
        ]

    @property
    def sentences(self) -> list[str]:
        """All of them, by place."""
        return [text for text, _ in self._places]

    @property
    def moving(self) -> dict[int, Moves]:
        """By place of a sentence, the numbers in it that move."""
        return {place: moving for (_, moving), place in self._places.items() if moving}


def moves(text: str, others: Sequence[tuple[int, str]]) -> Moves:
    """The numbers of a sentence that are one higher in another telling of it.

    A telling that differs otherwise too (by "rounds" for "round", say) moves nothing.
    """
    found: dict[int, list[int]] = {}
    own = _APART.findall(text)
    for number, other in others:
        theirs = _APART.findall(other)
        if len(theirs) != len(own):
            continue
        apart = [place for place, one in enumerate(own) if one != theirs[place]]
        if all(_one_more(own[place], theirs[place]) for place in apart):
            for place in apart:
                nth = sum(1 for one in own[:place] if _NUMBER.fullmatch(one))
                found.setdefault(nth, []).append(number)
    return tuple((nth, tuple(numbers)) for nth, numbers in sorted(found.items()))


def _one_more(before: str, after: str) -> bool:
    return before.isdigit() and after.isdigit() and int(after) == int(before) + 1


@dataclass(frozen=True)
class Telling:
    """A program and its instructions."""

    steps: tuple[op.Step, ...]
    told: tuple[Instruction, ...]


def told_with_more(plan: Plan, tongue: Tongue) -> dict[int, Telling]:
    """By each instruction whose counted rounds may be more, the program with one round more in
    it, told and not proven."""
    told: dict[int, Telling] = {}
    for each in instructions(plan):
        for place in (number - 1 for number in each.steps):
            step = plan.program.steps[place]
            if each.count is None or not isinstance(step, op.Rounds):
                continue
            more = list(plan.program.steps)
            more[place] = replace(step, count=step.count + 1)
            other = replace(plan, program=replace(plan.program, steps=tuple(more)))
            told[each.number] = Telling(tuple(more), instructions(other, tongue.code))
    return told


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=[.:]) ", text) if text else []
