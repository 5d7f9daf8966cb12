"""The second sock of a pair follows the first, and says where it cannot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from sockwright.bench.counting import count_steps_in, sock_of
from sockwright.bench.log import MOST_EXTRA, Entry, State, round_counts, state_of
from sockwright.i18n.messages import Message, _, capitalised, joined, ngettext
from sockwright.once import once
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan

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
    the first was changed since, by the second's instructions. `_` are the notes of the first
    sock by the second's instructions.
    """

    follows: Extra = field(default_factory=dict)
    left: Mapping[str, int] = field(default_factory=dict)
    later: Extra = field(default_factory=dict)
    begun: bool = False
    said: Mapping[int, tuple[NoteOfFirst, ...]] = field(default_factory=dict)


def following(
    first: SockPlan, own: SockPlan, firsts: Iterable[Entry], own_state: State, known: Extra
) -> Following:
    """What the second sock, planned as `own`, follows of the first, planned as `first`.

    `firsts` is the log of the first, `own_state` what the second's log comes to. `known` is the
    first's rounds by its own instructions that a log tells nothing of by itself, when the second
    was begun before it was recorded what it follows.
    """
    state = state_of(firsts, count_steps_in(first))
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


class CarriedRounds(NamedTuple):
    """Rounds more and fewer of the first sock by the instructions of the other, and by section
    those that it cannot have."""

    rounds: dict[int, int]
    left: dict[str, int]


def carried(first: SockPlan, own: SockPlan, extra: Extra) -> CarriedRounds:
    """The first sock's rounds more and fewer at the other, which may have other instructions.

    They go to the rounds of the same section in the same yarn, with the ribber in or out of work
    alike: to those at the same place among them, or else to any that can have them.
    """
    if not extra:
        return CarriedRounds({}, {})
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
    return CarriedRounds(
        {number: by for number, by in sorted(found.items()) if by},
        {section: by for section, by in left.items() if by},
    )


def by_section(plan: SockPlan, extra: Extra) -> dict[str, int]:
    """Rounds more and fewer by section, without zeros."""
    sections = {each.number: each.section.value for each in instructions(plan)}
    found: dict[str, int] = {}
    for number, by in extra.items():
        if number in sections:
            found[sections[number]] = found.get(sections[number], 0) + by
    return {section: by for section, by in found.items() if by}


@once
def _kinds(plan: SockPlan) -> dict[int, tuple[str, str | None, bool]]:
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


def _said(first: SockPlan, own: SockPlan, state: State) -> dict[int, tuple[NoteOfFirst, ...]]:
    """What was noted at the first sock, by the other's instructions."""
    if not state.said:
        return {}
    count_steps = sock_of(first).count_steps
    theirs, mine = _by_section(first), _by_section(own)
    found: dict[int, tuple[NoteOfFirst, ...]] = {}
    for one in state.said:
        count_step = count_steps[max(one.done, 1) - 1]
        place = theirs[count_step.section].index(count_step.instruction)
        among = mine.get(count_step.section) or [1]
        number = among[min(place, len(among) - 1)]
        found[number] = (*found.get(number, ()), NoteOfFirst(one.text, one.deviation))
    return found


def _by_section(plan: SockPlan) -> dict[str, list[int]]:
    numbers: dict[str, list[int]] = {}
    for each in instructions(plan):
        numbers.setdefault(each.section.value, []).append(each.number)
    return numbers


def asides(plan: SockPlan, following: Following) -> dict[int, list[Message]]:
    """The sentences by instruction, the beginning of the sock being instruction 1."""
    found: dict[int, list[Message]] = {}
    for number, sentence in _all(plan, following):
        found.setdefault(number, []).append(sentence)
    return dict(sorted(found.items()))


def _all(plan: SockPlan, following: Following) -> Iterator[tuple[int, Message]]:
    if following.follows and not following.begun:
        what = sections_told(by_section(plan, following.follows))
        yield 1, _("The first sock was changed: {what}. This one follows it.", what=what)
    if following.left:
        what = sections_told(following.left)
        yield 1, _("This sock cannot follow the first in this: {what}.", what=what)
    for number, by in following.follows.items():
        yield number, as_the_first(by)
    for number, by in following.later.items():
        yield number, changed_later(by)
    for number, notes in following.said.items():
        for text, __ in notes:
            yield number, _("Noted here on the first sock: “{text}”", text=text)


def as_the_first(by: int) -> Message:
    """Of rounds that the second sock has as the first was knitted."""
    if by > 0:
        return ngettext(
            "{n} round more than planned, as the first sock.",
            "{n} rounds more than planned, as the first sock.",
            by,
        )
    return ngettext(
        "{n} round fewer than planned, as the first sock.",
        "{n} rounds fewer than planned, as the first sock.",
        -by,
    )


def changed_later(by: int) -> Message:
    """Of rounds that the first sock was given after the second was begun."""
    if by > 0:
        return ngettext(
            "The first sock was changed after this one was begun: it has {n} round more here. "
            "This one goes on as it was begun.",
            "The first sock was changed after this one was begun: it has {n} rounds more here. "
            "This one goes on as it was begun.",
            by,
        )
    return ngettext(
        "The first sock was changed after this one was begun: it has {n} round fewer here. "
        "This one goes on as it was begun.",
        "The first sock was changed after this one was begun: it has {n} rounds fewer here. "
        "This one goes on as it was begun.",
        -by,
    )


def sections_told(more: Mapping[str, int]) -> Message:
    """Rounds more or fewer by section: "Leg: 2 rounds more, Foot: 1 round fewer"."""
    return joined(", ", [section_told(section, by) for section, by in more.items()])


def section_told(section: str, by: int) -> Message:
    """Rounds more or fewer in a section: "Leg: 2 rounds more"."""
    rounds = ngettext("{n} round", "{n} rounds", abs(by))
    name = section_name(section)
    if by > 0:
        return _("{section}: {rounds} more", section=name, rounds=rounds)
    return _("{section}: {rounds} fewer", section=name, rounds=rounds)


def section_name(section: str) -> Message:
    """A section of the sock, as the steps call it."""
    return capitalised(_(section))
