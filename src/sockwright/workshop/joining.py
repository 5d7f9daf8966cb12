"""One workshop taken into another: nothing lost, nothing twice, all or nothing.

A thing is the same thing if its id is. Of two that differ the one is newer if it knows the other
from before; where neither does, the one changed last holds, and the other is kept as what the
thing was before.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.store import kept
from sockwright.store.items import Kind, State, Thing, same
from sockwright.store.kept import add_entries
from sockwright.words import said
from sockwright.workshop.answers import Problems
from sockwright.workshop.whole_file import Whole, WholeFile


@dataclass(frozen=True)
class Joined:
    """What became of the things taken in.

    `new` were not here, `newer` brought ours up to date, `known` told nothing new, and `differed`
    were changed here and there: each holds as it was changed last, and the other is a version
    before. `entries` of socks' logs were new.
    """

    new: tuple[Thing, ...] = ()
    newer: tuple[Thing, ...] = ()
    known: tuple[Thing, ...] = ()
    differed: tuple[Thing, ...] = ()
    entries: int = 0


def join(session: Session, file: WholeFile) -> Joined | Problems:
    """Take in the things, each after what it refers to, and the logs' entries that are new."""
    wholes = file.wholes
    ours = {thing.id: thing for kind in Kind for thing in kept.listed(session, kind, None)}
    taken = [
        Problem(
            f"{kind} {id}",
            said("has the id of another thing here"),
            said("give each thing its own"),
        )
        for kind, id in ((whole.thing.kind, whole.thing.id) for whole in wholes)
        if id in ours and ours[id].kind is not kind
    ]
    if taken:
        return Problems(tuple(taken))
    found: dict[str, list[Thing]] = {"new": [], "newer": [], "known": [], "differed": []}
    for whole in wholes:
        what, thing = _take(session, whole, ours.get(whole.thing.id))
        found[what].append(thing)
    entries = add_entries(session, file.entries)
    return Joined(**{what: tuple(things) for what, things in found.items()}, entries=entries)


def _take(session: Session, whole: Whole, ours: Thing | None) -> tuple[str, Thing]:
    if ours is None:
        return "new", kept.add(session, whole.thing, whole.before)
    theirs = [*whole.before.values(), whole.thing.state]
    known = [*kept.earlier(session, ours.id).values(), ours.state]
    unknown = [state for state in theirs if not _among(state, known)]
    if not unknown:
        return "known", ours
    is_newer = not _among(whole.thing.state, known) and _among(ours.state, theirs)
    states = unknown if is_newer else _with_the_last(unknown, ours.state, whole.thing.state)
    example = ours.example and whole.thing.example
    thing = ours
    for state in states:
        thing = kept.change(session, ours.kind, ours.id, thing.version, state, example)
    return ("newer" if is_newer else "differed"), thing


def _with_the_last(unknown: list[State], ours: State, theirs: State) -> list[State]:
    """The states to write so that the one changed last holds and the other is just before it."""
    others = [state for state in unknown if state is not theirs]
    if len(others) == len(unknown):
        return [*others, ours]
    if theirs.changed > ours.changed:
        return [*others, *([ours] if others else []), theirs]
    return [*others, theirs, ours]


def _among(state: State, states: list[State]) -> bool:
    """Whether the same was said at the same moment."""
    return any(one.changed == state.changed and same(one, state) for one in states)
