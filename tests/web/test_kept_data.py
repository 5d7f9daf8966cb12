"""Kept things as data: as they were typed, with what they were and what uses them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sockwright.store.items import ItemKind
from sockwright.web.context import list_address
from sockwright.web.kept.kinds import KINDS
from sockwright.workshop.example import example_id
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import PERSON, YARN, kept, note


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    with sites.workshop(tmp_path, example=True) as opened:
        yield opened


def data(client: sites.Client, address: str, status: int = 200) -> Any:
    answer = client.get(f"/data{address}")
    assert answer.status_code == status, answer.text
    return answer.json()


@pytest.mark.parametrize("kind", KINDS)
def test_everything_kept_is_there_as_it_was_typed(
    client: sites.Client, shop: Workshop, kind: ItemKind
) -> None:
    things = data(client, list_address(kind))["things"]
    assert {one["id"]: (one["document"], one["fields"], one["name"]) for one in things} == {
        one.id: (dict(one.document), dict(one.fields), one.name) for one in shop.things(kind)
    }
    assert all(one["example"] for one in things)
    for one in things:
        assert one["address"] == f"{list_address(kind)}/{one['id']}"
        assert data(client, one["address"])["document"] == one["document"]


def test_a_thing_tells_what_it_was_and_what_uses_it(client: sites.Client, shop: Workshop) -> None:
    yarn = kept(shop.keep(ItemKind.YARN, YARN))
    kept(shop.change(ItemKind.YARN, yarn.id, 1, {**YARN, "on_hand": "90 g"}))
    pinned = note(shop, yarn, "smells of resin")
    told = data(client, f"/yarns/{yarn.id}")
    assert told["version"] == 2
    assert told["document"]["on_hand"] == "90 g"
    assert [(was["version"], was["document"]) for was in told["earlier"]] == [(1, YARN)]
    assert told["used_by"] == [
        {
            "id": pinned.id,
            "kind": "note",
            "name": "smells of resin",
            "address": f"/notes/{pinned.id}",
        }
    ]
    assert told["deleted"] is None


def test_what_was_deleted_is_told_of(client: sites.Client, shop: Workshop) -> None:
    assert data(client, "/deleted") == {"things": []}
    person = kept(shop.keep(ItemKind.PERSON, PERSON))
    shop.delete(ItemKind.PERSON, person.id, 1)
    (gone,) = data(client, "/deleted")["things"]
    assert (gone["id"], gone["kind"]) == (person.id, "person")
    assert gone["deleted"] is not None
    assert person.id not in {one["id"] for one in data(client, "/people")["things"]}
    assert data(client, f"/people/{person.id}")["deleted"] == gone["deleted"]


def test_the_memory_of_gauge_is_the_workshops(client: sites.Client, shop: Workshop) -> None:
    told = data(client, "/gauge")["swatches"]
    remembered = shop.gauge_memory()
    assert [one["swatch"] for one in told] == [one.swatch.id for one in remembered]
    assert [one["wale"]["value"] for one in told] == [one.wale.value for one in remembered]
    assert [one["stale"] for one in told] == [one.stale for one in remembered]
    bench = example_id(ItemKind.MACHINE, "bench")
    narrowed = data(client, f"/gauge?machine={bench}")["swatches"]
    assert narrowed == [one for one in told if one["machine"] == bench]
    data(client, "/gauge?machine=" + "x" * 100, 422)


@pytest.mark.parametrize("kind", KINDS)
def test_what_may_be_said_of_a_new_one_is_told(client: sites.Client, kind: ItemKind) -> None:
    fields = data(client, f"{list_address(kind)}/new")["fields"]
    assert all(one["label"] for one in fields)
    assert len({one["path"] for one in fields}) == len(fields)


@pytest.mark.parametrize("kind", KINDS)
def test_unknown_ids_are_refused(client: sites.Client, kind: ItemKind) -> None:
    folder = list_address(kind)
    other = example_id(ItemKind.YARN if kind is not ItemKind.YARN else ItemKind.PERSON, "grey")
    data(client, f"{folder}/nobody", 422)
    data(client, f"{folder}/00000000-0000-4000-8000-000000000000", 404)
    data(client, f"{folder}/{other}", 404)
