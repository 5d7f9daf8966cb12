"""What is worked out once: not again for the same, anew for another, and forgotten with it."""

from __future__ import annotations

import gc
from dataclasses import dataclass

from sockwright.once import once


@dataclass(frozen=True)
class Value:
    """Something that never changes, and cannot be hashed."""

    parts: list[int]


def test_it_is_done_once_for_each_and_what_else_is_given() -> None:
    done: list[tuple[int, int]] = []

    @once
    def total(value: Value, more: int = 0) -> int:
        done.append((id(value), more))
        return sum(value.parts) + more

    one, alike = Value([1, 2]), Value([1, 2])
    for _ in range(2):
        assert (total(one), total(one, 4), total(one, more=5), total(alike)) == (3, 7, 8, 3)
    assert done == [(id(one), 0), (id(one), 4), (id(one), 5), (id(alike), 0)]


def test_what_came_of_it_goes_with_it() -> None:
    told: list[Value] = []

    class Result:
        """What is worked out."""

        def __del__(self) -> None:
            told.append(Value([]))

    @once
    def result(value: Value) -> Result:
        return Result()

    one = Value([1])
    assert result(one) is result(one)
    del one
    gc.collect()
    assert len(told) == 1
