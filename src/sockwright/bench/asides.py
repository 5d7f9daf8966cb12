"""What is said at the steps of the second sock about the first: what it follows, what it cannot,
and what was written down there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sockwright.bench.follow import Following, by_section
from sockwright.plan import Plan
from sockwright.words.said import Said, capitalised, joined, said, said_of


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
            yield number, said("Written down here at the first sock: “{text}”", text=text)


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
