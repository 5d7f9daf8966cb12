"""What a kept swatch says of itself: contradictions, slips, and what was converted."""

from __future__ import annotations

from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import MACHINE, SWATCH, YARN, kept


def page(client: sites.Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text[:2000]
    return answer.text


def test_a_swatch_that_cannot_be_right_says_so_when_it_is_kept(
    client: sites.Client, shop: Workshop
) -> None:
    """58 needles on a machine without them, 44 wales in 4 in against a flat tube of 10 in, and a
    day that is still to come."""
    yarn, machine = kept(shop.keep(ItemKind.YARN, YARN)), kept(shop.keep(ItemKind.MACHINE, MACHINE))
    swatch = {
        **SWATCH,
        "needles": 58,
        "date": "2099-01-01",
        "wales": "44 in 4 in",
        "courses": "58 in 4 in",
        "flat_width": "10 in",
    }
    fields = {"yarn_id": yarn.id, "machine_id": machine.id}
    wrong = kept(shop.keep(ItemKind.SWATCH, swatch, fields=fields))
    first = page(client, f"/swatches/{wrong.id}").split("Look at this first")[1].split("</div>")[0]
    assert "is still to come" in first
    assert "It was knitted on 58 needles" in first
    assert "cannot both be right" in first
    told = client.get(f"/data/gauge?machine={machine.id}").json()["swatches"]
    assert len(told[0]["cautions"]) >= 3
    sound = kept(shop.keep(ItemKind.SWATCH, SWATCH, fields=fields))
    assert "Look at this first" not in page(client, f"/swatches/{sound.id}")


def test_a_swatch_measured_on_the_machine_is_said_to_be_converted(
    client: sites.Client, shop: Workshop
) -> None:
    yarn, machine = kept(shop.keep(ItemKind.YARN, YARN)), kept(shop.keep(ItemKind.MACHINE, MACHINE))
    fields = {"yarn_id": yarn.id, "machine_id": machine.id}
    swatch = kept(shop.keep(ItemKind.SWATCH, {**SWATCH, "state": "on the machine"}, fields=fields))
    text = page(client, f"/swatches/{swatch.id}")
    assert "Measured on the machine: only the yarn in a loop is taken" in text
