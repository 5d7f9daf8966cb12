"""The pages of kept things, for their tests."""

from __future__ import annotations

from sockwright.store.items import ItemKind, Thing
from sockwright.web.context import list_address
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import DESIGN, MACHINE, PERSON, SWATCH, YARN, kept, note


def page(client: sites.Client, address: str, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status, answer.text[:2000]
    return answer.text


def address(thing: Thing) -> str:
    return f"{list_address(thing.kind)}/{thing.id}"


def a_person(shop: Workshop) -> Thing:
    return kept(shop.keep(ItemKind.PERSON, PERSON))


def one_of_each(shop: Workshop) -> dict[ItemKind, Thing]:
    yarn, machine = kept(shop.keep(ItemKind.YARN, YARN)), kept(shop.keep(ItemKind.MACHINE, MACHINE))
    fields = {"yarn_id": yarn.id, "machine_id": machine.id}
    return {
        ItemKind.PERSON: a_person(shop),
        ItemKind.YARN: yarn,
        ItemKind.MACHINE: machine,
        ItemKind.DESIGN: kept(shop.keep(ItemKind.DESIGN, DESIGN, "plain boot sock")),
        ItemKind.SWATCH: kept(shop.keep(ItemKind.SWATCH, SWATCH, fields=fields)),
        ItemKind.NOTE: note(
            shop, machine, "Oil the cam track.\n\nThe latch of needle 17 is stiff."
        ),
    }
