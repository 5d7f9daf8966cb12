"""Plans that are at hand: the same as new ones, a bounded number of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from sockwright.once import Memory
from sockwright.plan.data import plan_data
from sockwright.store.items import ItemKind
from sockwright.workshop.answers import Planned
from sockwright.workshop.planning import Plans
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import furnish


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    with sites.workshop(tmp_path) as shop:
        yield shop


def test_a_plan_just_made_is_not_made_again(shop: Workshop) -> None:
    choice = furnish(shop)
    first, again = shop.plan_for(choice), shop.plan_for(choice)
    assert isinstance(first, Planned)
    assert isinstance(again, Planned)
    assert again.pair is first.pair
    sock = shop.plan_sock(choice)
    kept = shop.plan_of(sock.id)  # type: ignore[union-attr]
    assert isinstance(kept, Planned)
    assert kept.pair is first.pair
    order = shop.write_order(choice)
    fresh = Plans().of(order)  # type: ignore[arg-type]
    assert isinstance(fresh, Planned)
    assert fresh.composed == first.composed
    assert plan_data(fresh.pair) == plan_data(first.pair)


def test_what_was_changed_is_planned_anew(shop: Workshop) -> None:
    choice = furnish(shop)
    before = shop.plan_for(choice)
    person = shop.thing(ItemKind.PERSON, choice.person)
    foot = {**person.document["foot"], "length": "26 cm"}
    shop.change(ItemKind.PERSON, person.id, person.version, {**person.document, "foot": foot})
    after = shop.plan_for(choice)
    assert isinstance(before, Planned)
    assert isinstance(after, Planned)
    assert after.pair.first.sizing.foot_rounds > before.pair.first.sizing.foot_rounds


def test_notes_are_those_of_the_choice_not_of_the_plan_at_hand(shop: Workshop) -> None:
    order = shop.write_order(furnish(shop))
    told = replace(order, notes=("a note",))  # type: ignore[type-var]
    plans = Plans()
    plans.of(order)  # type: ignore[arg-type]
    found = plans.of(told)  # type: ignore[arg-type]
    assert isinstance(found, Planned)
    assert found.composed.notes == ("a note",)


def test_only_the_last_values_are_kept() -> None:
    memory: Memory[int] = Memory(2)
    made: list[int] = []

    def value(key: int) -> int:
        def make() -> int:
            made.append(key)
            return -key

        return memory.of(key, make)

    assert [value(key) for key in (1, 2, 1, 3, 1, 2)] == [-1, -2, -1, -3, -1, -2]
    assert made == [1, 2, 3, 2]
    assert len(memory) == 2


def test_what_could_not_be_made_is_tried_again() -> None:
    memory: Memory[int] = Memory(2)
    with pytest.raises(ZeroDivisionError):
        memory.of("key", lambda: 1 // 0)
    assert memory.of("key", lambda: 1) == 1
