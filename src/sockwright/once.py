"""What was worked out is kept at hand: as long as what it is of, or as long as it is asked for."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import wraps
from threading import Lock
from typing import Concatenate, Generic, ParamSpec, TypeVar
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


class Memory(Generic[T]):
    """The `most` values asked for last, by their keys; threads may ask at once.

    A value must depend on its key alone. Two threads that ask for the same at the same moment may
    both make it.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, T] = OrderedDict()

    def of(self, key: Hashable, make: Callable[[], T]) -> T:
        """The value of a key, made if it is not at hand; what `make` raises is not remembered."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        value = make()
        with self._lock:
            self._kept[key] = value
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return value

    def __len__(self) -> int:
        return len(self._kept)
