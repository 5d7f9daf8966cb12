"""The pages of people, yarns, machines, swatches, designs and notes: shown, kept, undone."""

from __future__ import annotations

import pytest

from sockwright.store.items import ItemKind
from sockwright.web.context import list_address
from sockwright.web.kept.kinds import KINDS
from sockwright.workshop.example import example_id
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to, forms
from web.keeping import a_person, address, one_of_each, page
from workshops import MACHINE, YARN, kept

HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "x" * 100_000,
    "bell \x07 and escape \x1b[31m",
    "\x00",
    "\u202egnihtemos‎ \u200f",
    "{{ 7 * 7 }} {x} %s",
    "🧦 Ωμέγα सूत",
]
REFUSED = HOSTILE[2:6]
"""Too long, or with signs that no text may have."""


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_workshop_has_empty_lists_and_blank_forms(
    client: sites.Client, kind: ItemKind
) -> None:
    folder = list_address(kind)
    assert f'href="{folder}/new"' in page(client, folder)
    form = form_to(page(client, f"{folder}/new"), f"{folder}/new")
    said = [(name, text) for name, text in form.fields if text]
    assert said == []


def test_a_blank_form_sent_as_it_is_asks_for_what_is_needed(client: sites.Client) -> None:
    wanted = {
        ItemKind.PERSON: ["wearer.name"],
        ItemKind.YARN: ["name", "fineness"],
        ItemKind.MACHINE: ["name", "turns"],
        ItemKind.SWATCH: ["name", "yarn_id", "machine_id", "state", "needles"],
        ItemKind.DESIGN: ["name"],
        ItemKind.NOTE: ["about", "text"],
    }
    for kind, faults in wanted.items():
        answer = client.post_form(f"{list_address(kind)}/new")
        assert answer.status_code == 422
        form = form_to(answer.text, f"{list_address(kind)}/new")
        assert form.faults == faults
        assert 'role="alert"' in answer.text


def test_a_person_is_kept_as_typed_and_the_next_page_can_take_it_back(
    client: sites.Client, shop: Workshop
) -> None:
    form = form_to(page(client, "/people/new"), "/people/new")
    typed = form.sent(
        wearer__name="night dispatcher",
        wearer__age="44",
        foot__length="9 5/8 in",
        foot__left__length="9 3/4 in",
    )
    answer = client.post("/people/new", data=dict(typed))
    assert answer.status_code == 303
    (person,) = shop.things(ItemKind.PERSON)
    assert answer.headers["location"] == address(person)
    assert person.document == {
        "wearer": {"name": "night dispatcher", "age": 44},
        "foot": {"length": "9 5/8 in", "left": {"length": "9 3/4 in"}},
    }
    shown = page(client, address(person))
    assert "“night dispatcher” is saved." in shown
    undo = next(one for one in forms(shown) if one.action == f"{address(person)}/delete")
    assert client.post(undo.action, data=dict(undo.fields)).status_code == 303
    assert shop.things(ItemKind.PERSON) == ()


@pytest.mark.parametrize("kind", KINDS)
def test_an_untouched_form_changes_nothing(
    client: sites.Client, shop: Workshop, kind: ItemKind
) -> None:
    thing = one_of_each(shop)[kind]
    form = form_to(page(client, address(thing)), address(thing))
    answer = client.post(address(thing), data=dict(form.fields))
    assert answer.status_code == 303
    assert shop.thing(kind, thing.id) == thing


def test_every_thing_of_the_station_comes_back_from_its_form(station: Workshop) -> None:
    client = sites.client(station)
    for kind in KINDS:
        for thing in station.things(kind):
            form = form_to(page(client, address(thing)), address(thing))
            client.post(address(thing), data=dict(form.fields))
            assert station.thing(kind, thing.id) == thing


def test_a_change_is_kept_told_and_undone(client: sites.Client, shop: Workshop) -> None:
    yarn = kept(shop.keep(ItemKind.YARN, YARN))
    form = form_to(page(client, address(yarn)), address(yarn))
    answer = client.post(address(yarn), data=dict(form.sent(on_hand="120 g")))
    assert answer.status_code == 303
    assert shop.thing(ItemKind.YARN, yarn.id).document == {**YARN, "on_hand": "120 g"}
    shown = page(client, address(yarn))
    assert "On hand: 150 g → 120 g" in shown
    undo = next(one for one in forms(shown) if one.action == f"{address(yarn)}/back/1")
    client.post(undo.action, data=dict(undo.fields))
    assert shop.thing(ItemKind.YARN, yarn.id).document == YARN


def test_each_version_leads_back_and_none_deletes(client: sites.Client, shop: Workshop) -> None:
    yarn = kept(shop.keep(ItemKind.YARN, YARN))
    here = address(yarn)
    for seen, grams in enumerate((120, 90, 20), 1):
        kept(shop.change(ItemKind.YARN, yarn.id, seen, {**YARN, "on_hand": f"{grams} g"}))
    shop.delete(ItemKind.YARN, yarn.id, 4)
    assert "/back/" not in page(client, here)
    restore = form_to(page(client, here), f"{here}/restore")
    client.post(restore.action, data=dict(restore.fields))
    for version, grams in ((3, 90), (2, 120), (1, 150), (4, 20)):
        back = form_to(page(client, here), f"{here}/back/{version}")
        assert client.post(back.action, data=dict(back.fields)).status_code == 303
        now = shop.thing(ItemKind.YARN, yarn.id)
        assert (now.document["on_hand"], now.deleted) == (f"{grams} g", None)
        assert f"{here}/back/{version}" not in page(client, here)


def test_what_was_put_back_offers_no_undo_that_deletes(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    shop.delete(ItemKind.PERSON, person.id, 1)
    restore = form_to(page(client, here), f"{here}/restore")
    client.post(restore.action, data=dict(restore.fields))
    shown = page(client, here)
    assert "is restored" in shown
    assert ">Undo<" not in shown
    assert [one.action for one in forms(shown) if one.action != here] == [f"{here}/delete"]


def test_a_yarn_is_used_up(client: sites.Client, shop: Workshop) -> None:
    yarn = kept(shop.keep(ItemKind.YARN, YARN))
    form = form_to(page(client, address(yarn)), address(yarn))
    both = form.with_fields({"used_up": "true"})
    answer = client.post(address(yarn), data=dict(both))
    assert answer.status_code == 422
    assert 'id="field-used-up-problem"' in answer.text
    alone = form.with_fields({"used_up": "true", "on_hand": ""})
    assert client.post(address(yarn), data=dict(alone)).status_code == 303
    assert shop.thing(ItemKind.YARN, yarn.id).fields == {"used_up": True}
    assert "used up" in page(client, "/yarns")


def test_a_machine_is_serviced_and_its_swatches_go_stale(
    client: sites.Client, shop: Workshop
) -> None:
    things = one_of_each(shop)
    machine = things[ItemKind.MACHINE]
    assert "outdated</strong>" not in page(client, "/gauge")
    form = form_to(page(client, address(machine)), address(machine))
    client.post(address(machine), data=dict(form.sent(serviced="2025-12-01")))
    assert shop.thing(ItemKind.MACHINE, machine.id).fields == {"serviced": "2025-12-01"}
    shown = page(client, "/gauge")
    assert "serviced on 2025-12-01" in shown
    assert "outdated</strong>" in page(client, "/swatches")
    assert "before the machine was serviced" in page(client, address(things[ItemKind.SWATCH]))


def test_bad_input_keeps_what_was_typed_and_names_each_field(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    form = form_to(page(client, address(machine)), address(machine))
    typed = {
        "name": "a <b>bold</b> machine",
        "cylinders[1].needles": "fifty-four",
        "cylinders[2].diameter": "10.8",
        "marks.home.name": "m" * 300,
        "landmarks[1].name": "mast",
        "landmarks[1].value": "27",
        "serviced": "last spring",
    }
    answer = client.post(address(machine), data=dict(form.with_fields(typed)))
    assert answer.status_code == 422
    again = form_to(answer.text, address(machine))
    assert dict(again.fields) == {**dict(form.fields), **typed}
    wrong = [name for name in typed if name not in ("name", "landmarks[1].name")]
    assert set(again.faults) == set(wrong)
    for problem in ("field-cylinders-1-needles", "field-marks-home-name", "field-serviced"):
        assert f'href="#{problem}"' in answer.text
        assert f'id="{problem}"' in answer.text
        assert f'aria-describedby="{problem}-problem' in answer.text
    assert "&#34;fifty-four&#34; is not a number" in answer.text
    assert "without quotes" not in answer.text
    assert shop.thing(ItemKind.MACHINE, machine.id) == machine


def test_rows_are_added_and_taken_away_without_writing(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    here = address(machine)
    form = form_to(page(client, here), here)
    assert ("more", "cylinders") in form.buttons
    more = client.post(here, data=dict(form.with_fields({"name": "half", "more": "cylinders"})))
    assert more.status_code == 200
    longer = form_to(more.text, here)
    assert dict(longer.fields)["cylinders[3].needles"] == ""
    assert dict(longer.fields)["name"] == "half"
    assert 'id="field-cylinders-3-needles" value="" autocomplete="off"' in more.text
    less = client.post(here, data=dict(longer.with_fields({"less": "cylinders[1]"})))
    shorter = dict(form_to(less.text, here).fields)
    assert shorter["cylinders[1].needles"] == "60"
    assert shorter["cylinders[1].diameter"] == "10.8 cm"
    assert "cylinders[2].needles" not in shorter
    assert shop.thing(ItemKind.MACHINE, machine.id) == machine
    client.post(here, data=shorter)
    assert shop.thing(ItemKind.MACHINE, machine.id).document == {
        **MACHINE,
        "name": "half",
        "cylinders": [{"needles": 60, "diameter": "10.8 cm"}],
    }


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_deleted_can_be_put_back(
    client: sites.Client, shop: Workshop, kind: ItemKind
) -> None:
    thing = one_of_each(shop)[kind]
    here = address(thing)
    delete = form_to(page(client, here), f"{here}/delete")
    answer = client.post(delete.action, data=dict(delete.fields))
    assert (answer.status_code, answer.headers["location"]) == (303, list_address(kind))
    flash = form_to(page(client, list_address(kind)), f"{here}/restore")
    assert thing.id not in {one.id for one in shop.things(kind)}
    assert f'href="{here}"' in page(client, "/deleted")
    assert "This was deleted on" in page(client, here)
    client.post(flash.action, data=dict(flash.fields))
    assert shop.thing(kind, thing.id).state.document == thing.document
    assert shop.thing(kind, thing.id).deleted is None
    assert "Nothing is deleted." in page(client, "/deleted")


def test_a_thing_is_put_back_from_the_page_of_what_is_deleted(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    shop.delete(ItemKind.PERSON, person.id, person.version)
    back = form_to(page(client, "/deleted"), f"{address(person)}/restore")
    assert client.post(back.action, data=dict(back.fields)).status_code == 303
    assert len(shop.things(ItemKind.PERSON)) == 1


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts_are_shown_as_they_are_or_refused(
    client: sites.Client, shop: Workshop, text: str
) -> None:
    answer = client.post_form(
        "/people/new", {"wearer.name": text, "foot.length": "24.5 cm", "foot.load": text}
    )
    assert answer.status_code == 422
    again = dict(form_to(answer.text, "/people/new").fields)
    assert again["foot.load"] == text
    named = client.post_form("/people/new", {"wearer.name": text})
    sound = text not in REFUSED
    assert named.status_code == (303 if sound else 422)
    shown = page(client, named.headers["location"]) if sound else named.text
    assert "<script>alert" not in shown
    assert "<img src=x" not in shown
    assert not sound or shop.things(ItemKind.PERSON)[0].name == text.strip()


def test_a_note_is_attached_and_shown_where_it_belongs(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    link = f"/notes/new?about=machine/{machine.id}"
    assert f'href="{link}"' in page(client, address(machine))
    form = form_to(page(client, link), "/notes/new")
    assert dict(form.fields)["about"] == f"machine/{machine.id}"
    typed = "Oil the cam track.\r\n\r\nThe latch of needle 17 is stiff.\r\n"
    assert client.post("/notes/new", data=dict(form.sent(text=typed))).status_code == 303
    (kept_note,) = shop.things(ItemKind.NOTE)
    assert kept_note.document["text"] == "Oil the cam track.\n\nThe latch of needle 17 is stiff."
    assert "needle 17 is stiff" in page(client, address(machine))
    assert f'href="{address(kept_note)}"' in page(client, address(machine))
    assert f'href="{address(machine)}"' in page(client, address(kept_note))


def test_a_person_is_listed_with_both_feet_and_what_is_missing(station: Workshop) -> None:
    shown = page(sites.client(station), "/people")
    assert "left 26.9 cm, right 27.7 cm" in shown
    assert "by shoe size EU 39" in shown
    assert "heel girth, ankle girth" in shown


def test_a_machine_is_drawn_with_its_marks(station: Workshop) -> None:
    client = sites.client(station)
    bench = f"/machines/{example_id(ItemKind.MACHINE, 'bench')}"
    shown = page(client, f"{bench}?needles=84")
    assert "Cylinder of 84 needles" in shown
    assert "white bar" in shown.split('id="cylinder"')[1].split("</svg>")[0]
    # What does not read is as if it were not there: the cylinder whose loops are told above it.
    assert "Cylinder of 60 needles" in page(client, bench)
    assert "Cylinder of 60 needles" in page(client, f"{bench}?needles=junk")
    assert "Cylinder of 72 needles" in page(
        client, f"/machines/{example_id(ItemKind.MACHINE, 'aunt')}"
    )


def test_a_machine_of_an_odd_number_of_needles_is_drawn(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, {**MACHINE, "turns": "cylinder", "cylinders": 61}))
    assert "Cylinder of 61 needles" in page(client, address(machine))


def test_a_swatch_tells_its_gauge_and_what_it_was_knitted_of(station: Workshop) -> None:
    client = sites.client(station)
    shown = page(client, f"/swatches/{example_id(ItemKind.SWATCH, 'grey')}")
    assert "30.2 ± 0.2 / 10 cm" in shown
    yarn = f"/yarns/{example_id(ItemKind.YARN, 'grey')}"
    assert "grey, washed twice" in page(client, yarn)


def test_the_memory_of_gauge_is_by_machine_and_can_be_narrowed(station: Workshop) -> None:
    client = sites.client(station)
    every = page(client, "/gauge")
    assert every.index("the forecaster&#39;s aunt&#39;s machine</a>") < every.index(
        "the station&#39;s bench machine</a>"
    )
    bench, grey = example_id(ItemKind.MACHINE, "bench"), example_id(ItemKind.YARN, "grey")
    narrowed = page(client, f"/gauge?machine={bench}&yarn={grey}")
    assert narrowed.count("<tr>") == 5
    assert "<tr>" not in page(client, "/gauge?machine=nothing")


def test_what_changed_is_told_by_the_names_of_its_fields(
    client: sites.Client, shop: Workshop
) -> None:
    yarn = kept(shop.keep(ItemKind.YARN, YARN))
    form = form_to(page(client, address(yarn)), address(yarn))
    typed = {"fibres[2].value": "25 %", "fibres[1].value": "75 %"}
    client.post(address(yarn), data=dict(form.with_fields(typed)))
    shown = page(client, address(yarn))
    assert "Fibres: nylon: 20 % → 25 %" in shown
    assert "Fibres: wool: 80 % → 75 %" in shown


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_not_there_is_not_found(
    client: sites.Client, shop: Workshop, kind: ItemKind
) -> None:
    things = one_of_each(shop)
    other = things[ItemKind.YARN if kind is not ItemKind.YARN else ItemKind.PERSON]
    sent = {"seen": "1"}
    for id in (other.id, "nobody", "%00", "x" * 3000, "00000000-0000-4000-8000-000000000000"):
        here = f"{list_address(kind)}/{id}"
        assert client.get(here).status_code == 404
        for deed in ("", "/delete", "/restore", "/back/1"):
            assert client.post(f"{here}{deed}", data=sent).status_code == 404


def test_going_back_to_what_never_was_is_refused(client: sites.Client, shop: Workshop) -> None:
    person = a_person(shop)
    answer = client.post_form(f"{address(person)}/back/7", {"seen": "1"})
    assert answer.status_code == 422
    assert "there was no version 7" in answer.text
    assert client.post_form(f"{address(person)}/back/0", {"seen": "1"}).status_code == 422


def test_pages_have_no_inline_script_or_style(station: Workshop) -> None:
    client = sites.client(station)
    for kind in KINDS:
        for where in (
            list_address(kind),
            f"{list_address(kind)}/new",
            address(station.things(kind)[0]),
        ):
            text = page(client, where)
            assert "<script>" not in text
            assert " style=" not in text
            assert " onclick" not in text
