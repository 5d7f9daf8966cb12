"""The example station: marked as one, whole, and gone in one call without taking anything else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import pytest

from databases import contents
from sockwright.order import parse_order
from sockwright.store.things import Kind
from sockwright.workshop import Planned, Workshop
from sockwright.workshop.socks import choice_of
from workshops import YARN, database_of, everything, furnish, kept, note, workshop


@pytest.fixture
def one(url: str) -> Iterator[Workshop]:
    opened = workshop(url)
    yield opened
    database_of(opened).close()


def test_it_has_a_crew_a_shelf_a_bench_and_socks(one: Workshop) -> None:
    added = one.add_example()
    assert all(thing.example for thing in added)
    assert Counter(thing.kind for thing in added) == {
        Kind.PERSON: 5,
        Kind.YARN: 3,
        Kind.MACHINE: 2,
        Kind.DESIGN: 4,
        Kind.SWATCH: 4,
        Kind.SOCK: 2,
        Kind.NOTE: 2,
    }
    assert {str(thing.document["turns"]) for thing in one.things(Kind.MACHINE)} == {
        "carrier",
        "cylinder",
    }
    for pair in one.things(Kind.SOCK):
        assert pair.fields["status"] == "made"
        assert pair.fields["log"]
        assert pair.fields["measured"]


def test_its_pairs_can_be_planned_again(one: Workshop) -> None:
    one.add_example()
    for pair in one.things(Kind.SOCK):
        answer = one.plan_for(choice_of(pair))
        assert isinstance(answer, Planned), answer
        assert answer.plan.ok
        assert parse_order(one.export_order(pair.id)) == answer.composed.order


def test_one_of_the_crew_has_unlike_feet_and_one_is_a_child(one: Workshop) -> None:
    one.add_example()
    crew = {thing.name: thing.document for thing in one.things(Kind.PERSON)}
    assert crew["dog handler"]["foot"]["left"] != crew["dog handler"]["foot"]["right"]
    assert crew["the cook's small son"]["wearer"]["age"] == 5


def test_its_memory_of_gauge_shows_what_a_service_does(one: Workshop) -> None:
    one.add_example()
    assert [bool(each.stale) for each in one.gauge_memory()] == [False, False, False, True]


def test_it_is_added_once(one: Workshop) -> None:
    one.add_example()
    before = everything(one)
    assert one.add_example() == ()
    assert everything(one) == before


def test_it_goes_without_a_trace(one: Workshop) -> None:
    one.add_example()
    removal = one.remove_example()
    assert len(removal.removed) == 22
    assert removal.needed == ()
    rows = contents(database_of(one))
    assert {name: len(held) for name, held in rows.items() if held} == {"sockwright_schema": 1}


def test_what_is_ones_own_stays(one: Workshop) -> None:
    choice = furnish(one)
    pair = kept(one.plan_sock(choice))
    mine = everything(one)
    one.add_example()
    one.remove_example()
    assert everything(one) == mine
    assert pair.id in mine


def test_an_example_that_is_changed_is_ones_own(one: Workshop) -> None:
    one.add_example()
    doctor = next(each for each in one.things(Kind.PERSON) if each.name == "station doctor")
    document = {**doctor.document, "foot": {"length": "24.8 cm"}}
    assert kept(one.change(Kind.PERSON, doctor.id, 1, document)).example is False
    one.remove_example()
    assert list(everything(one)) == [doctor.id]


def test_what_ones_own_things_need_stays_and_is_told(one: Workshop) -> None:
    one.add_example()
    pair = one.things(Kind.SOCK)[0]
    choice = choice_of(pair)
    own = kept(one.plan_sock(choice))
    machine = next(each for each in one.things(Kind.MACHINE) if "aunt" in each.name)
    remark = note(one, machine, "Came by post.")
    removal = one.remove_example()
    needed = {choice.person, choice.machine, choice.design, machine.id}
    needed |= {*choice.yarns.values(), *choice.swatches}
    assert {thing.id for thing in removal.needed} == needed
    assert set(everything(one)) == needed | {own.id, remark.id}
    assert all(thing.example for thing in removal.needed)


def test_deleting_and_putting_back_leaves_it_an_example(one: Workshop) -> None:
    one.add_example()
    yarn = one.things(Kind.YARN)[0]
    one.delete(Kind.YARN, yarn.id, 1)
    assert one.restore(Kind.YARN, yarn.id, 2).example
    assert not kept(one.change(Kind.YARN, yarn.id, 3, YARN)).example
    assert not kept(one.back_to(Kind.YARN, yarn.id, 4, 3)).example
