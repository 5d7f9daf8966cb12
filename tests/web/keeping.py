"""The pages of kept things, for their tests."""

from __future__ import annotations

from sockwright.store.items import Kind, Thing
from sockwright.web.kept.kinds import list_address
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
    return kept(shop.keep(Kind.PERSON, PERSON))


def one_of_each(shop: Workshop) -> dict[Kind, Thing]:
    yarn, machine = kept(shop.keep(Kind.YARN, YARN)), kept(shop.keep(Kind.MACHINE, MACHINE))
    fields = {"yarn_id": yarn.id, "machine_id": machine.id}
    return {
        Kind.PERSON: a_person(shop),
        Kind.YARN: yarn,
        Kind.MACHINE: machine,
        Kind.DESIGN: kept(shop.keep(Kind.DESIGN, DESIGN, "plain boot sock")),
        Kind.SWATCH: kept(shop.keep(Kind.SWATCH, SWATCH, fields=fields)),
        Kind.NOTE: note(shop, machine, "Oil the cam track.\n\nThe latch of needle 17 is stiff."),
    }
