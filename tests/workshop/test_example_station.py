"""The example station: marked as one, whole, and gone in one call without taking anything else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

from databases import KINDS, contents, copied, filled
from sockwright.i18n.locale import locale_of
from sockwright.measure.gauge import estimate_gauge
from sockwright.measure.yarn import yarn_from
from sockwright.order import load_order, parse_order
from sockwright.order.model import Drape, Fabric, Pull
from sockwright.plan.notes import look_again
from sockwright.plan.trust import Trust, size_verdict
from sockwright.store.items import ItemKind
from sockwright.workshop import Choice, Planned, Workshop
from sockwright.workshop.elsewhere import good_choice
from sockwright.workshop.example import example_texts
from sockwright.workshop.kinds import read_swatch
from sockwright.workshop.pairs import choice_of
from workshops import (
    YARN,
    database_of,
    everything,
    furnish,
    kept,
    note,
    with_the_example,
    workshop,
)

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_it_has_a_crew_a_shelf_a_bench_and_socks(one: Workshop) -> None:
    added = one.add_example()
    assert all(thing.example for thing in added)
    assert Counter(thing.kind for thing in added) == {
        ItemKind.PERSON: 5,
        ItemKind.YARN: 3,
        ItemKind.MACHINE: 2,
        ItemKind.DESIGN: 4,
        ItemKind.SWATCH: 7,
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
        # The order of a new pair tells of the finished ones besides.
        assert len(answer.composed.order.finished) == 2
        before, now = parse_order(station.export_order(pair.id)), answer.composed.order
        assert replace(before, finished=()) == replace(now, finished=())


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
    assert crew["the cook's small son"]["wearer"]["age"] == 8


def test_its_memory_of_gauge_shows_what_a_service_does(station: Workshop) -> None:
    stale = [each.swatch.name for each in station.gauge_memory() if each.stale]
    assert stale == ["grey, last winter"]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """The station in one kind of database: of plans all kinds tell the same."""
    opened = workshop(copied(filled(KINDS[0], with_the_example), tmp_path))
    yield opened
    database_of(opened).close()


def test_every_person_yarn_and_machine_give_a_plan_or_a_refusal_that_helps(shop: Workshop) -> None:
    people, yarns, machines, designs = (
        shop.things(kind)
        for kind in (ItemKind.PERSON, ItemKind.YARN, ItemKind.MACHINE, ItemKind.DESIGN)
    )
    ribbed = next(one.id for one in designs if one.document["cuff"]["kind"] == "true rib")
    planned = 0
    for person, yarn, machine in product(people, yarns, machines):
        swatches = shop.fitting_swatches(machine.id, [yarn.id])
        choice = Choice(person.id, machine.id, {"main": yarn.id}, swatches=swatches)
        answer = shop.plan_for(choice)
        assert isinstance(answer, Planned), answer
        assert answer.pair.ok
        planned += 1
        if person in people[:2]:
            refused = shop.plan_for(replace(choice, design=ribbed))
            assert isinstance(refused, Planned) or any(
                offer.what
                for offer in refused.refusal.offers  # type: ignore[union-attr]
            )
    assert planned == 30


def test_its_swatches_are_of_plausible_sock_fabric(shop: Workshop) -> None:
    """Tightness 1.2 +- 0.12, a loop of about 4.66 sqrt(w h), and in a firm pull about 1.8."""
    seen = 0
    for thing in shop.things(ItemKind.SWATCH):
        order = shop.swatch_order(thing.id, "cm")
        assert order is not None
        (given,) = order.swatches
        if given.fabric is not Fabric.PLAIN or not given.stretch:
            continue
        gauge = estimate_gauge(
            order.swatches,
            yarn_from(order.yarn("main")),
            order.machine,
            given.needles,
            Drape.MIDDLE,
        )
        assert 1.08 <= gauge.tightness.value <= 1.32
        whole = 4.66 * (gauge.wale.value * gauge.course.value) ** 0.5
        assert gauge.loop.value == pytest.approx(whole, rel=0.04)
        (pulled,) = given.stretch
        assert pulled.pull is Pull.FIRM
        assert pulled.stretched_mm / pulled.relaxed_mm == pytest.approx(1.8, abs=0.05)
        assert given.flat_widths_mm[0] == pytest.approx(
            given.needles * gauge.wale.value / 2, rel=0.01
        )
        assert not gauge.conflicts
        seen += 1
    assert seen == 3


def test_its_rib_draws_in_and_opens_farther_than_its_plain_swatch(shop: Workshop) -> None:
    plain, rib = (
        next(one.document for one in shop.things(ItemKind.SWATCH) if one.name == name)
        for name in ("plain, spruce", "3x1 rib, spruce")
    )
    given = [read_swatch(one) for one in (plain, rib)]
    widths = [one.flat_widths_mm[0] for one in given if one is not None]
    opened = [
        one.stretch[0].stretched_mm / one.stretch[0].relaxed_mm for one in given if one is not None
    ]
    assert widths[1] / widths[0] == pytest.approx(0.82, abs=0.07)
    assert opened[1] > 1.2 * opened[0]


def test_what_it_offers_first_is_good(shop: Workshop) -> None:
    (found,) = good_choice(shop.plans, shop.first_choices("cm"))
    for sock in found.planned.pair.socks:
        assert size_verdict(sock).trust is Trust.GOOD
        assert look_again(sock) == ()


def test_its_pairs_and_the_example_orders_are_alike(shop: Workshop) -> None:
    for name, title in (
        ("winch-operator.toml", "Boot socks for the winch operator"),
        ("cooks-son.toml", "Socks for the cook's small son"),
    ):
        pair = next(one for one in shop.things(ItemKind.SOCK) if one.name == title)
        kept_order = parse_order(shop.export_order(pair.id))
        file = load_order(EXAMPLES / name)
        assert kept_order.wearer == file.wearer
        assert kept_order.sock.needles == file.sock.needles
        kept_swatch, of_file = kept_order.swatches[0], file.swatches[0]
        for reading in ("wales", "courses", "unravelled", "stretch"):
            assert getattr(kept_swatch, reading) == getattr(of_file, reading)


def test_it_is_added_once(station: Workshop) -> None:
    before = everything(station)
    assert station.add_example() == ()
    assert everything(station) == before


def test_it_goes_without_a_trace(station: Workshop) -> None:
    removal = station.remove_example()
    assert len(removal.removed) == 25
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
