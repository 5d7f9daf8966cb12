"""The second sock of a pair follows the first, and says where it cannot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from sockwright.bench.counting import beats_in, sock_of
from sockwright.bench.log import MOST_EXTRA, Entry, State, round_counts, state_of
from sockwright.once import once
from sockwright.plan.data import instructions
from sockwright.plan.make import Plan
from sockwright.words.said import Said, capitalised, joined, said, said_of

Extra = Mapping[int, int]
"""Rounds more (fewer: below 0) by the number of an instruction."""


class NoteOfFirst(NamedTuple):
    """What was noted at the first sock, and whether it tells of a deviation."""

    text: str
    deviation: bool


@dataclass(frozen=True)
class Following:
    """What the second sock follows of the first.

    `follows` are rounds by its own instructions, `left` those of the first by section that it
    cannot have. Once it is `begun`, what it follows is settled; `later` is then by how much more
    the first was changed since, by the second's instructions. `said` are the notes of the first
    sock by the second's instructions.
    """

    follows: Extra = field(default_factory=dict)
    left: Mapping[str, int] = field(default_factory=dict)
    later: Extra = field(default_factory=dict)
    begun: bool = False
    said: Mapping[int, tuple[NoteOfFirst, ...]] = field(default_factory=dict)


def following(
    first: Plan, own: Plan, firsts: Iterable[Entry], own_state: State, known: Extra
) -> Following:
    """What the second sock, planned as `own`, follows of the first, planned as `first`.

    `firsts` is the log of the first, `own_state` what the second's log comes to. `known` is the
    first's rounds by its own instructions that a log tells nothing of by itself, when the second
    was begun before it was recorded what it follows.
    """
    state = state_of(firsts, beats_in(first))
    now, left = carried(first, own, state.extra)
    said = _said(first, own, state)
    if not own_state.begun:
        return Following(now, left, said=said)
    follows = carried(first, own, known).rounds if own_state.follows is None else own_state.follows
    later = {
        number: by
        for number in sorted({*now, *follows})
        if (by := now.get(number, 0) - follows.get(number, 0))
    }
    return Following(follows, left, later, True, said)


class Carried(NamedTuple):
    """Rounds more and fewer of the first sock by the instructions of the other, and by section
    those that it cannot have."""

    rounds: dict[int, int]
    left: dict[str, int]


def carried(first: Plan, own: Plan, extra: Extra) -> Carried:
    """The first sock's rounds more and fewer at the other, which may have other instructions.

    They go to the rounds of the same section in the same yarn, with the ribber in or out of work
    alike: to those at the same place among them, or else to any that can have them.
    """
    if not extra:
        return Carried({}, {})
    counts, theirs = round_counts(own), _kinds(first)
    mine = _kinds(own)
    found: dict[int, int] = {}
    left: dict[str, int] = {}
    for number, by in extra.items():
        kind = theirs.get(number)
        alike = [each for each, other in theirs.items() if other == kind]
        targets = [each for each, other in mine.items() if other == kind]
        place = min(alike.index(number), len(targets) - 1) if alike and targets else 0
        for target in (*targets[place : place + 1], *targets):
            together = found.get(target, 0) + by
            if 1 <= counts[target] + together <= counts[target] + MOST_EXTRA:
                found[target] = together
                break
        else:
            if kind is not None:
                left[kind[0]] = left.get(kind[0], 0) + by
    return Carried(
        {number: by for number, by in sorted(found.items()) if by},
        {section: by for section, by in left.items() if by},
    )


def by_section(plan: Plan, extra: Extra) -> dict[str, int]:
    """Rounds more and fewer by section, without zeros."""
    sections = {each.number: each.section.value for each in instructions(plan)}
    found: dict[str, int] = {}
    for number, by in extra.items():
        if number in sections:
            found[sections[number]] = found.get(sections[number], 0) + by
    return {section: by for section, by in found.items() if by}


@once
def _kinds(plan: Plan) -> dict[int, tuple[str, str | None, bool]]:
    """Of each instruction that knits rounds: its section, its yarn, whether the ribber knits."""
    states = plan.execution.states
    counts = round_counts(plan)
    return {
        each.number: (
            each.section.value,
            states[each.steps[-1]].yarn,
            states[each.steps[-1]].ribber,
        )
        for each in instructions(plan)
        if each.number in counts
    }


def _said(first: Plan, own: Plan, state: State) -> dict[int, tuple[NoteOfFirst, ...]]:
    """What was noted at the first sock, by the other's instructions."""
    if not state.said:
        return {}
    beats = sock_of(first).beats
    theirs, mine = _by_section(first), _by_section(own)
    found: dict[int, tuple[NoteOfFirst, ...]] = {}
    for one in state.said:
        beat = beats[max(one.done, 1) - 1]
        place = theirs[beat.section].index(beat.instruction)
        among = mine.get(beat.section) or [1]
        number = among[min(place, len(among) - 1)]
        found[number] = (*found.get(number, ()), NoteOfFirst(one.text, one.deviation))
    return found


def _by_section(plan: Plan) -> dict[str, list[int]]:
    numbers: dict[str, list[int]] = {}
    for each in instructions(plan):
        numbers.setdefault(each.section.value, []).append(each.number)
    return numbers


def asides(plan: Plan, following: Following) -> dict[int, list[Said]]:
    """The sentences by instruction, the beginning of the sock being instruction 1."""
    found: dict[int, list[Said]] = {}
    for number, sentence in _all(plan, following):
        found.setdefault(number, []).append(sentence)
    return dict(sorted(found.items()))


def _all(plan: Plan, following: Following) -> Iterator[tuple[int, Said]]:
    if following.follows and not following.begun:
        what = sections_told(by_section(plan, following.follows))
        yield 1, said("The first sock was changed: {what}. This one follows it.", what=what)
    if following.left:
        what = sections_told(following.left)
        yield 1, said("This sock cannot follow the first in this: {what}.", what=what)
    for number, by in following.follows.items():
        yield number, as_the_first(by)
    for number, by in following.later.items():
        yield number, changed_later(by)
    for number, notes in following.said.items():
        for text, _ in notes:
            yield number, said("Noted here on the first sock: “{text}”", text=text)


def as_the_first(by: int) -> Said:
    """Of rounds that the second sock has as the first was knitted."""
    if by > 0:
        return said_of(
            "{n} round more than planned, as the first sock.",
            "{n} rounds more than planned, as the first sock.",
            by,
        )
    return said_of(
        "{n} round fewer than planned, as the first sock.",
        "{n} rounds fewer than planned, as the first sock.",
        -by,
    )


def changed_later(by: int) -> Said:
    """Of rounds that the first sock was given after the second was begun."""
    if by > 0:
        return said_of(
            "The first sock was changed after this one was begun: it has {n} round more here. "
            "This one goes on as it was begun.",
            "The first sock was changed after this one was begun: it has {n} rounds more here. "
            "This one goes on as it was begun.",
            by,
        )
    return said_of(
        "The first sock was changed after this one was begun: it has {n} round fewer here. "
        "This one goes on as it was begun.",
        "The first sock was changed after this one was begun: it has {n} rounds fewer here. "
        "This one goes on as it was begun.",
        -by,
    )


def sections_told(more: Mapping[str, int]) -> Said:
    """Rounds more or fewer by section: "Leg: 2 rounds more, Foot: 1 round fewer"."""
    return joined(", ", [section_told(section, by) for section, by in more.items()])


def section_told(section: str, by: int) -> Said:
    """Rounds more or fewer in a section: "Leg: 2 rounds more"."""
    rounds = said_of("{n} round", "{n} rounds", abs(by))
    name = section_name(section)
    if by > 0:
        return said("{section}: {rounds} more", section=name, rounds=rounds)
    return said("{section}: {rounds} fewer", section=name, rounds=rounds)


def section_name(section: str) -> Said:
    """A section of the sock, as the steps call it."""
    return capitalised(said(section))
