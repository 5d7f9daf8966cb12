"""The example station: marked as one, whole, and gone in one call without taking anything else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from databases import contents
from sockwright.i18n.locale import locale_of
from sockwright.order import parse_order
from sockwright.store.items import ItemKind
from sockwright.workshop import Planned, Workshop
from sockwright.workshop.example import example_texts
from sockwright.workshop.pairs import choice_of
from workshops import YARN, database_of, everything, furnish, kept, note


def test_it_has_a_crew_a_shelf_a_bench_and_socks(one: Workshop) -> None:
    added = one.add_example()
    assert all(thing.example for thing in added)
    assert Counter(thing.kind for thing in added) == {
        ItemKind.PERSON: 5,
        ItemKind.YARN: 3,
        ItemKind.MACHINE: 2,
        ItemKind.DESIGN: 4,
        ItemKind.SWATCH: 4,
        ItemKind.SOCK: 2,
        ItemKind.NOTE: 2,
    }
    assert {str(thing.document["turns"]) for thing in one.things(ItemKind.MACHINE)} == {
        "carrier",
        "cylinder",
    }
    for pair in one.things(ItemKind.SOCK):
        assert pair.fields["status"] == "made"
        assert pair.fields["log"]
        assert pair.fields["measured"]


def test_its_pairs_can_be_planned_again(station: Workshop) -> None:
    for pair in station.things(ItemKind.SOCK):
        answer = station.plan_for(choice_of(pair))
        assert isinstance(answer, Planned), answer
        assert answer.pair.ok
        assert parse_order(station.export_order(pair.id)) == answer.composed.order


def test_its_names_and_notes_are_in_the_language_it_was_added_in(one: Workshop) -> None:
    """What its makers call things is told; words of the order are not."""
    german = locale_of("de")
    one.add_example(german)
    things = everything(one).values()
    told = {str(value) for thing in things for value in _leaves(thing.document)}
    for text in set(example_texts()):
        assert german.render(text) != text
        assert " " not in text or text not in told, "one word may be a word of the order, too"
    assert {thing.document["state"] for thing in one.things(ItemKind.SWATCH)} == {"washed"}
    for pair in one.things(ItemKind.SOCK):
        answer = one.plan_for(choice_of(pair))
        assert isinstance(answer, Planned), answer
        assert answer.pair.ok


def _leaves(value: object) -> Iterator[object]:
    """All keys and values of a document."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from _leaves(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _leaves(inner)
    else:
        yield value


def test_one_of_the_crew_has_unlike_feet_and_one_is_a_child(station: Workshop) -> None:
    crew = {thing.name: thing.document for thing in station.things(ItemKind.PERSON)}
    assert crew["dog handler"]["foot"]["left"] != crew["dog handler"]["foot"]["right"]
    assert crew["the cook's small son"]["wearer"]["age"] == 5


def test_its_memory_of_gauge_shows_what_a_service_does(station: Workshop) -> None:
    assert [bool(each.stale) for each in station.gauge_memory()] == [False, False, False, True]


def test_it_is_added_once(station: Workshop) -> None:
    before = everything(station)
    assert station.add_example() == ()
    assert everything(station) == before


def test_it_goes_without_a_trace(station: Workshop) -> None:
    removal = station.remove_example()
    assert len(removal.removed) == 22
    assert removal.needed == ()
    rows = contents(database_of(station))
    assert {name: len(held) for name, held in rows.items() if held} == {"sockwright_schema": 1}


def test_what_is_ones_own_stays(one: Workshop) -> None:
    choice = furnish(one)
    pair = kept(one.plan_sock(choice))
    mine = everything(one)
    one.add_example()
    one.remove_example()
    assert everything(one) == mine
    assert pair.id in mine


def test_an_example_that_is_changed_is_ones_own(station: Workshop) -> None:
    doctor = next(each for each in station.things(ItemKind.PERSON) if each.name == "station doctor")
    document = {**doctor.document, "foot": {"length": "24.8 cm"}}
    assert kept(station.change(ItemKind.PERSON, doctor.id, 1, document)).example is False
    station.remove_example()
    assert list(everything(station)) == [doctor.id]


def test_what_ones_own_things_need_stays_and_is_told(station: Workshop) -> None:
    pair = station.things(ItemKind.SOCK)[0]
    choice = choice_of(pair)
    own = kept(station.plan_sock(choice))
    machine = next(each for each in station.things(ItemKind.MACHINE) if "aunt" in each.name)
    remark = note(station, machine, "Came by post.")
    removal = station.remove_example()
    needed = {choice.person, choice.machine, choice.design, machine.id}
    needed |= {*choice.yarns.values(), *choice.swatches}
    assert {thing.id for thing in removal.needed} == needed
    assert set(everything(station)) == needed | {own.id, remark.id}
    assert all(thing.example for thing in removal.needed)


def test_deleting_and_putting_back_leaves_it_an_example(station: Workshop) -> None:
    yarn = station.things(ItemKind.YARN)[0]
    station.delete(ItemKind.YARN, yarn.id, 1)
    assert station.restore(ItemKind.YARN, yarn.id, 2).example
    assert not kept(station.change(ItemKind.YARN, yarn.id, 3, YARN)).example
    assert not kept(station.back_to(ItemKind.YARN, yarn.id, 4, 3)).example
