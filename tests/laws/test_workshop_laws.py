"""Laws of the workshop: what is kept comes out again, goes in elsewhere, and is never halved."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from databases import contents, new_workshop_url
from laws.test_order_laws import damaged, names, orders
from sockwright.errors import OrderError
from sockwright.order import model, parse_order, to_toml
from sockwright.order.changes import merged
from sockwright.order.document import parse_document
from sockwright.order.file import toml_text
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop import Composed, Problems, Workshop
from sockwright.workshop.backup import JoinResult
from sockwright.workshop.order_exchange import Taken
from sockwright.workshop.pairs import choice_of
from workshops import (
    DESIGN,
    MACHINE,
    PERSON,
    START,
    SWATCH,
    YARN,
    database_of,
    everything,
    workshop,
)

few_examples = settings(max_examples=amount(8, 200))


@contextmanager
def workshops(count: int = 1) -> Iterator[list[Workshop]]:
    """Empty workshops, each on a file of its own, a day after the last."""
    with tempfile.TemporaryDirectory() as folder:
        opened = [
            workshop(new_workshop_url("sqlite", Path(folder)), START + timedelta(days=number))
            for number in range(count)
        ]
        try:
            yield opened
        finally:
            for one in opened:
                database_of(one).close()


# What a maker may do in any order.

texts = st.text(
    st.characters(exclude_categories=("C", "Zl", "Zp")), min_size=1, max_size=40
).filter(lambda text: bool(text.strip()))
documents: dict[ItemKind, st.SearchStrategy[dict[str, Any]]] = {
    ItemKind.PERSON: names.map(lambda name: {**PERSON, "wearer": {"name": name}}),
    ItemKind.YARN: st.builds(
        lambda name, grams: {**YARN, "name": name, "on_hand": f"{grams} g"},
        names,
        st.integers(1, 500),
    ),
    ItemKind.MACHINE: names.map(lambda name: {**MACHINE, "name": name}),
    ItemKind.DESIGN: st.integers(1, 300).map(lambda rounds: {**DESIGN, "leg": {"rounds": rounds}}),
    ItemKind.SWATCH: names.map(lambda name: {**SWATCH, "name": name}),
    ItemKind.NOTE: st.lists(texts, min_size=1, max_size=3).map(
        lambda all: {"text": "\n".join(all)}
    ),
}


def deeds(verbs: list[str], kinds: list[ItemKind]) -> st.SearchStrategy[Any]:
    """One deed on one thing: the verb, what is written, which thing, a name."""
    typed = st.sampled_from(kinds).flatmap(lambda kind: st.tuples(st.just(kind), documents[kind]))
    return st.tuples(st.sampled_from(verbs), typed, st.integers(0, 1000), names)


WRITES = ["change", "delete", "back_to", "restore"]
histories = st.lists(deeds(["keep", "keep", "keep", *WRITES], sorted(documents)), max_size=12)
few_things = [ItemKind.YARN, ItemKind.PERSON]
beginnings = st.lists(deeds(["keep"], few_things), min_size=1, max_size=3)
ways_apart = st.lists(deeds(["keep", "change", *WRITES], few_things), max_size=8)


def fields_for(one: Workshop, kind: ItemKind, number: int) -> dict[str, Any] | None:
    """References to what is there, picked by a number; None where there is nothing."""

    def pick(kind: ItemKind) -> Thing | None:
        there = sorted(one.things(kind), key=lambda thing: thing.id)
        return there[number % len(there)] if there else None

    if kind is ItemKind.NOTE:
        about = pick(list(ItemKind)[number % 5])
        return about and {"about_kind": str(about.kind), "about_id": about.id}
    if kind is ItemKind.SWATCH:
        yarn, machine = pick(ItemKind.YARN), pick(ItemKind.MACHINE)
        return {"yarn_id": yarn.id, "machine_id": machine.id} if yarn and machine else None
    return {}


def live(one: Workshop, history: list[Any]) -> None:
    """Do all of a history, as far as it can be done."""
    for deed, (kind, document), number, name in history:
        if deed == "keep":
            fields = fields_for(one, kind, number)
            if fields is not None:
                assert isinstance(one.keep(kind, document, name, fields), Thing)
            continue
        there = sorted(one.things(kind, None), key=lambda thing: thing.id)
        if not there:
            continue
        thing = there[number % len(there)]
        if deed == "change":
            assert isinstance(one.change(kind, thing.id, thing.version, document), Thing)
        elif deed == "back_to":
            earlier = 1 + number % thing.version
            assert isinstance(one.back_to(kind, thing.id, thing.version, earlier), Thing)
        else:
            getattr(one, deed)(kind, thing.id, thing.version)


@settings(max_examples=amount(10, 240))
@given(orders())
def test_an_order_taken_in_and_given_out_is_the_same_order(order: model.Order) -> None:
    with workshops() as (one,):
        taken = one.import_order(to_toml(order))
        assert isinstance(taken, Taken), taken
        assert parse_order(one.export_order(taken.sock.id)) == order
        composed = one.compose_order(choice_of(taken.sock))
        assert isinstance(composed, Composed), composed
        assert (composed.order, composed.toml) == (order, one.export_order(taken.sock.id))
        before = everything(one)
        assert one.import_order(to_toml(order)) == replace(taken, new=(), found=_all(taken))
        assert one.import_order(composed.toml) == replace(taken, new=(), found=_all(taken))
        assert everything(one) == before


def _all(taken: Taken) -> tuple[Thing, ...]:
    """The parts in the order in which a pair names them."""
    fields = taken.sock.fields
    ids = [fields["person_id"], fields["machine_id"], fields["design_id"]]
    ids += [*fields["yarns"].values(), *fields["swatches"]]
    parts = {thing.id: thing for thing in (*taken.new, *taken.found)}
    return tuple(parts[id] for id in ids)


@few_examples
@given(damaged())
def test_any_order_at_all_is_taken_whole_or_refused(document: dict[str, Any]) -> None:
    text = toml_text(document)
    with workshops() as (one,):
        answer = one.import_order(text)
        if isinstance(answer, Problems):
            with pytest.raises(OrderError) as refusal:
                parse_order(text)
            assert refusal.value.problems == answer.problems
            assert everything(one) == {}
        else:
            assert isinstance(answer, Taken)
            assert parse_order(one.export_order(answer.sock.id)) == parse_order(text)


@few_examples
@given(st.lists(orders(), max_size=2), histories)
def test_a_whole_workshop_goes_elsewhere_without_loss(
    every: list[model.Order], history: list[Any]
) -> None:
    with workshops(2) as (one, other):
        for order in every:
            one.import_order(to_toml(order))
        live(one, history)
        data = one.export_all()
        assert isinstance(other.import_all(data), JoinResult)
        assert other.export_all() == data
        assert contents(database_of(other)) == contents(database_of(one))
        assert isinstance(one.import_all(data), JoinResult)
        assert one.export_all() == data


@settings(max_examples=amount(10, 240))
@given(beginnings, ways_apart, ways_apart, st.booleans())
def test_two_workshops_that_went_apart_come_together(
    common: list[Any], mine: list[Any], theirs: list[Any], other_first: bool
) -> None:
    with workshops(2) as (one, other):
        live(one, common)
        other.import_all(one.export_all())
        live(one, mine)
        live(other, theirs)
        said = _said(one) | _said(other)
        pair = (other, one) if other_first else (one, other)
        for into, of in (pair, pair[::-1]):
            assert isinstance(into.import_all(of.export_all()), JoinResult)
        # Nothing that was ever said is lost, and both hold the same.
        assert said <= _said(one)
        assert said <= _said(other)
        assert _now(one) == _now(other)
        settled = one.export_all(), other.export_all()
        for into, of in (pair, pair[::-1]):
            answer = into.import_all(of.export_all())
            assert isinstance(answer, JoinResult)
            assert (answer.new, answer.newer, answer.differed) == ((), (), ())
        assert settled == (one.export_all(), other.export_all())


def _said(one: Workshop) -> set[str]:
    """All that was ever said of anything, deleted or not."""
    return {
        json.dumps([id, state.name, state.document, state.fields, str(state.changed)])
        for id, thing in everything(one).items()
        for state in (thing.state, *one.earlier(id).values())
    }


def _now(one: Workshop) -> dict[str, Any]:
    """What is said of everything now."""
    return {id: thing.state for id, thing in everything(one).items()}


@cache
def exported() -> bytes:
    """The example station as a file."""
    with workshops() as (one,):
        one.add_example()
        return one.export_all()


def cut(data: bytes, start: int, end: int, patch: bytes) -> bytes:
    """The file with a piece replaced."""
    first, last = sorted((start % len(data), end % len(data)))
    return data[:first] + patch + data[min(last, first + 40) :]


damages: st.SearchStrategy[Callable[[bytes], bytes]] = st.builds(
    lambda start, end, patch: lambda data: cut(data, start, end, patch),
    st.integers(0, 10**6),
    st.integers(0, 10**6),
    st.binary(max_size=5),
)


@settings(max_examples=amount(16, 400))
@given(damages)
def test_a_damaged_file_is_refused_or_taken_as_it_was(damage: Callable[[bytes], bytes]) -> None:
    with workshops() as (one,):
        answer = one.import_all(damage(exported()))
        if isinstance(answer, Problems):
            assert answer.problems
            assert everything(one) == {}
        else:
            # The damage was in what no reader looks at, such as a blank.
            assert one.export_all() == exported()


scalars = st.none() | st.booleans() | st.integers() | st.text(max_size=5)


@given(st.binary() | st.recursive(scalars, st.lists).map(lambda value: json.dumps(value).encode()))
def test_anything_else_is_no_workshop(data: bytes) -> None:
    with workshops() as (one,):
        assert isinstance(one.import_all(data), Problems)
        assert everything(one) == {}


@few_examples
@given(histories)
def test_the_example_comes_and_goes_without_a_trace(history: list[Any]) -> None:
    with workshops() as (one,):
        live(one, history)
        before = contents(database_of(one))
        one.add_example()
        removal = one.remove_example()
        assert removal.needed == ()
        assert contents(database_of(one)) == before


@settings(max_examples=amount(15, 1000))
@given(orders(), orders())
def test_a_what_if_of_a_whole_design_is_that_design(
    first: model.Order, second: model.Order
) -> None:
    design, wish = (
        parse_document(to_toml(order), "an order").get("sock", {}) for order in (first, second)
    )
    changed = merged(design, wish)
    for part in wish:
        if isinstance(wish[part], dict):
            assert wish[part].items() <= changed[part].items()
    assert merged(design, {}) == design
    assert merged(changed, wish) == changed
