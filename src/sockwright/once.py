"""What is worked out of a value that never changes, worked out once and forgotten with it."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar
from weakref import finalize

A = TypeVar("A")
P = ParamSpec("P")
T = TypeVar("T")


def once(work: Callable[Concatenate[A, P], T]) -> Callable[Concatenate[A, P], T]:
    """The same work, done once for each first argument, by identity, and whatever else is given.

    Its result must not refer to that argument, or neither would ever be forgotten. Two threads that
    ask at the same moment may both do it.
    """
    known: dict[int, dict[Hashable, T]] = {}

    @wraps(work)
    def done(one: A, /, *args: P.args, **named: P.kwargs) -> T:
        if id(one) not in known:
            known[id(one)] = {}
            finalize(one, known.pop, id(one), None)
        found, key = known[id(one)], (args, tuple(sorted(named.items())))
        if key not in found:
            found[key] = work(one, *args, **named)
        return found[key]

    return done
