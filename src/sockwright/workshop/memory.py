"""What was worked out lately, kept at hand for who asks for the same again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

V = TypeVar("V")


class Memory(Generic[V]):
    """The `most` values asked for last, by their keys; threads may ask at once.

    A value must depend on its key alone. Two threads that ask for the same at the same moment may
    both make it.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, V] = OrderedDict()

    def of(self, key: Hashable, make: Callable[[], V]) -> V:
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
