"""Two who change the same thing at once: both are kept, or the second chooses; nothing is lost."""

from __future__ import annotations

import pytest

from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to, forms
from web.keeping import a_person, address, one_of_each, page
from workshops import PERSON, kept


def test_changes_of_different_fields_made_apart_are_kept_together(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    mine = form_to(page(client, here), here)
    client.post(here, data=dict(mine.sent(foot__length="24.8 cm")))
    page(client, here)
    answer = client.post(here, data=dict(mine.sent(foot__ball_girth="23 cm")))
    assert answer.status_code == 303
    foot = shop.thing(ItemKind.PERSON, person.id).document["foot"]
    assert foot == {"length": "24.8 cm", "ball_girth": "23 cm", "heel_girth": "30.2 cm"}
    shown = page(client, here)
    assert "Foot length." in shown.split('class="told"')[1].split("</div>")[0]
    undo = next(one for one in forms(shown) if one.action == f"{here}/back/2")
    client.post(here + "/back/2", data=dict(undo.fields))
    assert shop.thing(ItemKind.PERSON, person.id).document["foot"]["length"] == "24.8 cm"


def test_a_form_changed_nowhere_writes_nothing_over_what_was_changed_meanwhile(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    mine = form_to(page(client, here), here)
    client.post(here, data=dict(mine.sent(foot__length="24.8 cm")))
    assert client.post(here, data=dict(mine.fields)).status_code == 303
    assert shop.thing(ItemKind.PERSON, person.id).version == 2


def clashing(client: sites.Client, shop: Workshop, kind: ItemKind, *changes: dict[str, str]) -> str:
    """The page that the second of two editors gets; the first keeps the first of the changes."""
    thing = one_of_each(shop)[kind]
    here = address(thing)
    mine = form_to(page(client, here), here)
    first, second = changes
    assert client.post(here, data=dict(mine.with_fields(first))).status_code == 303
    answer = client.post(here, data=dict(mine.with_fields(second)))
    assert answer.status_code == 409
    assert shop.thing(kind, thing.id).version == 2
    return str(answer.text)


def test_where_two_changed_the_same_field_the_second_chooses_in_it(
    client: sites.Client, shop: Workshop
) -> None:
    shown = clashing(
        client,
        shop,
        ItemKind.PERSON,
        {"foot.length": "24.8 cm", "foot.heel_girth": "31 cm", "wearer.age": "40"},
        {"foot.length": "24.9 cm", "foot.heel_girth": "30 cm"},
    )
    (person,) = shop.things(ItemKind.PERSON)
    here = address(person)
    assert "Foot length: saved by someone else: 24.8 cm" in shown
    assert 'href="#field-foot-length"' in shown
    assert "changed Age." in shown
    assert "omebody" not in shown
    mine = form_to(shown, here)
    said = dict(mine.fields)
    assert (said["foot.length"], said["foot.heel_girth"]) == ("24.9 cm", "30 cm")
    assert said["wearer.age"] == "40"
    assert ("theirs", "foot.length") in mine.buttons
    chosen = client.post(here, data=dict(mine.with_fields({"theirs": "foot.length"})))
    assert chosen.status_code == 200
    half = form_to(chosen.text, here)
    assert dict(half.fields)["foot.length"] == "24.8 cm"
    assert ("theirs", "foot.length") not in half.buttons
    assert ("theirs", "foot.heel_girth") in half.buttons
    assert shop.thing(ItemKind.PERSON, person.id).version == 2
    assert client.post(here, data=dict(half.fields)).status_code == 303
    now = shop.thing(ItemKind.PERSON, person.id).document
    assert (now["foot"]["length"], now["foot"]["heel_girth"]) == ("24.8 cm", "30 cm")
    assert now["wearer"]["age"] == 40


def test_rows_changed_by_two_are_chosen_as_a_whole(client: sites.Client, shop: Workshop) -> None:
    shown = clashing(
        client,
        shop,
        ItemKind.MACHINE,
        {"cylinders[1].needles": "56"},
        {"cylinders[1].needles": "58", "name": "mine"},
    )
    (machine,) = shop.things(ItemKind.MACHINE)
    here = address(machine)
    chosen = client.post(here, data=dict(form_to(shown, here).with_fields({"theirs": "cylinders"})))
    client.post(here, data=dict(form_to(chosen.text, here).fields))
    document = shop.thing(ItemKind.MACHINE, machine.id).document
    assert document["cylinders"] == [56, {"needles": 60, "diameter": "10.8 cm"}]
    assert document["name"] == "mine"


def test_what_was_typed_of_a_thing_deleted_meanwhile_is_not_lost(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    mine = form_to(page(client, here), here)
    shop.delete(ItemKind.PERSON, person.id, 1)
    answer = client.post(here, data=dict(mine.sent(foot__ball_girth="23 cm")))
    assert answer.status_code == 409
    assert "Deleted by someone else" in answer.text
    assert "omebody" not in answer.text
    assert "This was deleted on" in answer.text
    back = form_to(answer.text, here)
    assert client.post(here, data=dict(back.fields)).status_code == 303
    written = shop.thing(ItemKind.PERSON, person.id)
    assert written.document["foot"]["ball_girth"] == "23 cm"
    assert written.deleted is not None


@pytest.mark.parametrize("deed", ["delete", "restore", "back/1"])
def test_a_deed_on_what_was_changed_meanwhile_is_not_done(
    client: sites.Client, shop: Workshop, deed: str
) -> None:
    person = a_person(shop)
    kept(shop.change(ItemKind.PERSON, person.id, 1, {**PERSON, "foot": {"length": "25 cm"}}))
    answer = client.post_form(f"{address(person)}/{deed}", {"seen": "1"})
    assert answer.status_code == 409
    assert "24.5 cm → 25 cm" in answer.text
    assert shop.thing(ItemKind.PERSON, person.id).version == 2
