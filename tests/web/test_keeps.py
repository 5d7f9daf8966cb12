"""The pages of people, yarns, machines, swatches, designs and notes: shown, kept, undone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from sockwright.store.things import Kind, Thing
from sockwright.web.keep_kinds import KINDS, list_address
from sockwright.workshop.example import example_id
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to, forms
from workshops import DESIGN, MACHINE, PERSON, SWATCH, YARN, kept, note

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


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    with sites.workshop(tmp_path) as opened:
        yield opened


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Workshop]:
    with sites.workshop(tmp_path, example=True) as opened:
        yield opened


@pytest.fixture
def client(shop: Workshop) -> sites.Client:
    return sites.client(shop)


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


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_workshop_has_empty_lists_and_blank_forms(
    client: sites.Client, kind: Kind
) -> None:
    folder = list_address(kind)
    assert f'href="{folder}/new"' in page(client, folder)
    form = form_to(page(client, f"{folder}/new"), f"{folder}/new")
    said = [(name, text) for name, text in form.fields if text and name != "proof"]
    assert said == []


def test_a_blank_form_sent_as_it_is_asks_for_what_is_needed(client: sites.Client) -> None:
    wanted = {
        Kind.PERSON: ["wearer.name"],
        Kind.YARN: ["name", "fineness"],
        Kind.MACHINE: ["name", "turns"],
        Kind.SWATCH: ["name", "yarn_id", "machine_id", "state", "needles"],
        Kind.DESIGN: ["name"],
        Kind.NOTE: ["about", "text"],
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
    (person,) = shop.things(Kind.PERSON)
    assert answer.headers["location"] == address(person)
    assert person.document == {
        "wearer": {"name": "night dispatcher", "age": 44},
        "foot": {"length": "9 5/8 in", "left": {"length": "9 3/4 in"}},
    }
    shown = page(client, address(person))
    assert "“night dispatcher” is kept." in shown
    undo = next(one for one in forms(shown) if one.action == f"{address(person)}/delete")
    assert client.post(undo.action, data=dict(undo.fields)).status_code == 303
    assert shop.things(Kind.PERSON) == ()


@pytest.mark.parametrize("kind", KINDS)
def test_an_untouched_form_changes_nothing(
    client: sites.Client, shop: Workshop, kind: Kind
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
    yarn = kept(shop.keep(Kind.YARN, YARN))
    form = form_to(page(client, address(yarn)), address(yarn))
    answer = client.post(address(yarn), data=dict(form.sent(on_hand="120 g")))
    assert answer.status_code == 303
    assert shop.thing(Kind.YARN, yarn.id).document == {**YARN, "on_hand": "120 g"}
    shown = page(client, address(yarn))
    assert "On hand: 150 g → 120 g" in shown
    undo = next(one for one in forms(shown) if one.action == f"{address(yarn)}/back/1")
    client.post(undo.action, data=dict(undo.fields))
    assert shop.thing(Kind.YARN, yarn.id).document == YARN


def test_each_version_leads_back_and_none_deletes(client: sites.Client, shop: Workshop) -> None:
    yarn = kept(shop.keep(Kind.YARN, YARN))
    here = address(yarn)
    for seen, grams in enumerate((120, 90, 20), 1):
        kept(shop.change(Kind.YARN, yarn.id, seen, {**YARN, "on_hand": f"{grams} g"}))
    shop.delete(Kind.YARN, yarn.id, 4)
    assert "/back/" not in page(client, here)
    restore = form_to(page(client, here), f"{here}/restore")
    client.post(restore.action, data=dict(restore.fields))
    for version, grams in ((3, 90), (2, 120), (1, 150), (4, 20)):
        back = form_to(page(client, here), f"{here}/back/{version}")
        assert client.post(back.action, data=dict(back.fields)).status_code == 303
        now = shop.thing(Kind.YARN, yarn.id)
        assert (now.document["on_hand"], now.deleted) == (f"{grams} g", None)
        assert f"{here}/back/{version}" not in page(client, here)


def test_what_was_put_back_offers_no_undo_that_deletes(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    shop.delete(Kind.PERSON, person.id, 1)
    restore = form_to(page(client, here), f"{here}/restore")
    client.post(restore.action, data=dict(restore.fields))
    shown = page(client, here)
    assert "is here again" in shown
    assert ">Undo<" not in shown
    assert [one.action for one in forms(shown) if one.action != here] == [f"{here}/delete"]


def test_a_yarn_is_used_up(client: sites.Client, shop: Workshop) -> None:
    yarn = kept(shop.keep(Kind.YARN, YARN))
    form = form_to(page(client, address(yarn)), address(yarn))
    both = form.with_fields({"used_up": "true"})
    answer = client.post(address(yarn), data=dict(both))
    assert answer.status_code == 422
    assert "is said of a yarn that is on hand" in answer.text
    alone = form.with_fields({"used_up": "true", "on_hand": ""})
    assert client.post(address(yarn), data=dict(alone)).status_code == 303
    assert shop.thing(Kind.YARN, yarn.id).fields == {"used_up": True}
    assert "used up" in page(client, "/yarns")


def test_a_machine_is_serviced_and_its_swatches_go_stale(
    client: sites.Client, shop: Workshop
) -> None:
    things = one_of_each(shop)
    machine = things[Kind.MACHINE]
    assert "stale</strong>" not in page(client, "/gauge")
    form = form_to(page(client, address(machine)), address(machine))
    client.post(address(machine), data=dict(form.sent(serviced="2025-12-01")))
    assert shop.thing(Kind.MACHINE, machine.id).fields == {"serviced": "2025-12-01"}
    shown = page(client, "/gauge")
    assert "before the machine was serviced on 2025-12-01" in shown
    assert "stale</strong>" in page(client, "/swatches")
    assert "before the machine was serviced" in page(client, address(things[Kind.SWATCH]))


def test_bad_input_keeps_what_was_typed_and_names_each_field(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(Kind.MACHINE, MACHINE))
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
    assert shop.thing(Kind.MACHINE, machine.id) == machine


def test_rows_are_added_and_taken_away_without_writing(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(Kind.MACHINE, MACHINE))
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
    assert shop.thing(Kind.MACHINE, machine.id) == machine
    client.post(here, data=shorter)
    assert shop.thing(Kind.MACHINE, machine.id).document == {
        **MACHINE,
        "name": "half",
        "cylinders": [{"needles": 60, "diameter": "10.8 cm"}],
    }


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
    foot = shop.thing(Kind.PERSON, person.id).document["foot"]
    assert foot == {"length": "24.8 cm", "ball_girth": "23 cm", "heel_girth": "30.2 cm"}
    shown = page(client, here)
    assert "kept together with the change made meanwhile: Foot length." in shown
    undo = next(one for one in forms(shown) if one.action == f"{here}/back/2")
    client.post(here + "/back/2", data=dict(undo.fields))
    assert shop.thing(Kind.PERSON, person.id).document["foot"]["length"] == "24.8 cm"


def test_a_form_changed_nowhere_writes_nothing_over_what_was_changed_meanwhile(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    mine = form_to(page(client, here), here)
    client.post(here, data=dict(mine.sent(foot__length="24.8 cm")))
    assert client.post(here, data=dict(mine.fields)).status_code == 303
    assert shop.thing(Kind.PERSON, person.id).version == 2


def clashing(client: sites.Client, shop: Workshop, kind: Kind, *changes: dict[str, str]) -> str:
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
        Kind.PERSON,
        {"foot.length": "24.8 cm", "foot.heel_girth": "31 cm", "wearer.age": "40"},
        {"foot.length": "24.9 cm", "foot.heel_girth": "30 cm"},
    )
    (person,) = shop.things(Kind.PERSON)
    here = address(person)
    assert "Foot length: kept meanwhile: 24.8 cm" in shown
    assert 'href="#field-foot-length"' in shown
    assert "taken into the form below: Age." in shown
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
    assert shop.thing(Kind.PERSON, person.id).version == 2
    assert client.post(here, data=dict(half.fields)).status_code == 303
    now = shop.thing(Kind.PERSON, person.id).document
    assert (now["foot"]["length"], now["foot"]["heel_girth"]) == ("24.8 cm", "30 cm")
    assert now["wearer"]["age"] == 40


def test_rows_changed_by_two_are_chosen_as_a_whole(client: sites.Client, shop: Workshop) -> None:
    shown = clashing(
        client,
        shop,
        Kind.MACHINE,
        {"cylinders[1].needles": "56"},
        {"cylinders[1].needles": "58", "name": "mine"},
    )
    (machine,) = shop.things(Kind.MACHINE)
    here = address(machine)
    chosen = client.post(here, data=dict(form_to(shown, here).with_fields({"theirs": "cylinders"})))
    client.post(here, data=dict(form_to(chosen.text, here).fields))
    document = shop.thing(Kind.MACHINE, machine.id).document
    assert document["cylinders"] == [56, {"needles": 60, "diameter": "10.8 cm"}]
    assert document["name"] == "mine"


def test_what_was_typed_of_a_thing_deleted_meanwhile_is_not_lost(
    client: sites.Client, shop: Workshop
) -> None:
    person = a_person(shop)
    here = address(person)
    mine = form_to(page(client, here), here)
    shop.delete(Kind.PERSON, person.id, 1)
    answer = client.post(here, data=dict(mine.sent(foot__ball_girth="23 cm")))
    assert answer.status_code == 409
    assert "It was deleted meanwhile" in answer.text
    assert "omebody" not in answer.text
    assert "This was deleted on" in answer.text
    back = form_to(answer.text, here)
    assert client.post(here, data=dict(back.fields)).status_code == 303
    written = shop.thing(Kind.PERSON, person.id)
    assert written.document["foot"]["ball_girth"] == "23 cm"
    assert written.deleted is not None


@pytest.mark.parametrize("deed", ["delete", "restore", "back/1"])
def test_a_deed_on_what_was_changed_meanwhile_is_not_done(
    client: sites.Client, shop: Workshop, deed: str
) -> None:
    person = a_person(shop)
    kept(shop.change(Kind.PERSON, person.id, 1, {**PERSON, "foot": {"length": "25 cm"}}))
    answer = client.post_form(f"{address(person)}/{deed}", {"seen": "1"})
    assert answer.status_code == 409
    assert "24.5 cm → 25 cm" in answer.text
    assert shop.thing(Kind.PERSON, person.id).version == 2


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_deleted_can_be_put_back(client: sites.Client, shop: Workshop, kind: Kind) -> None:
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
    shop.delete(Kind.PERSON, person.id, person.version)
    back = form_to(page(client, "/deleted"), f"{address(person)}/restore")
    assert client.post(back.action, data=dict(back.fields)).status_code == 303
    assert len(shop.things(Kind.PERSON)) == 1


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
    sound = (len(text) <= 200 and text.isprintable()) or "\u202e" in text
    assert named.status_code == (303 if sound else 422)
    shown = page(client, named.headers["location"]) if sound else named.text
    assert "<script>alert" not in shown
    assert "<img src=x" not in shown
    assert not sound or shop.things(Kind.PERSON)[0].name == text.strip()


def test_a_note_is_attached_and_shown_where_it_belongs(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(Kind.MACHINE, MACHINE))
    link = f"/notes/new?about=machine/{machine.id}"
    assert f'href="{link}"' in page(client, address(machine))
    form = form_to(page(client, link), "/notes/new")
    assert dict(form.fields)["about"] == f"machine/{machine.id}"
    typed = "Oil the cam track.\r\n\r\nThe latch of needle 17 is stiff.\r\n"
    assert client.post("/notes/new", data=dict(form.sent(text=typed))).status_code == 303
    (kept_note,) = shop.things(Kind.NOTE)
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
    bench = f"/machines/{example_id(Kind.MACHINE, 'bench')}"
    shown = page(client, f"{bench}?needles=84")
    assert "Cylinder of 84 needles, seen from above" in shown
    assert "white bar" in shown.split("</svg>")[1]
    assert "Cylinder of 54 needles" in page(client, f"{bench}?needles=junk")


def test_a_machine_of_an_odd_number_of_needles_is_drawn(
    client: sites.Client, shop: Workshop
) -> None:
    machine = kept(shop.keep(Kind.MACHINE, {**MACHINE, "turns": "cylinder", "cylinders": 61}))
    assert "Cylinder of 61 needles" in page(client, address(machine))


def test_a_swatch_tells_its_gauge_and_what_it_was_knitted_of(station: Workshop) -> None:
    client = sites.client(station)
    shown = page(client, f"/swatches/{example_id(Kind.SWATCH, 'grey')}")
    assert "30.2 ± 0.2 / 10 cm" in shown
    yarn = f"/yarns/{example_id(Kind.YARN, 'grey')}"
    assert "grey, washed twice" in page(client, yarn)


def test_the_memory_of_gauge_is_by_machine_and_can_be_narrowed(station: Workshop) -> None:
    client = sites.client(station)
    every = page(client, "/gauge")
    assert every.index("the forecaster&#39;s aunt&#39;s machine</a>") < every.index(
        "the station&#39;s bench machine</a>"
    )
    bench, grey = example_id(Kind.MACHINE, "bench"), example_id(Kind.YARN, "grey")
    narrowed = page(client, f"/gauge?machine={bench}&yarn={grey}")
    assert narrowed.count("<tr>") == 3
    assert "No swatch tells of this yet." in page(client, "/gauge?machine=nothing")


def test_what_changed_is_told_by_the_names_of_its_fields(
    client: sites.Client, shop: Workshop
) -> None:
    yarn = kept(shop.keep(Kind.YARN, YARN))
    form = form_to(page(client, address(yarn)), address(yarn))
    typed = {"fibres[2].value": "25 %", "fibres[1].value": "75 %"}
    client.post(address(yarn), data=dict(form.with_fields(typed)))
    shown = page(client, address(yarn))
    assert "Fibres: nylon: 20 % → 25 %" in shown
    assert "Fibres: wool: 80 % → 75 %" in shown


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_not_there_is_not_found(client: sites.Client, shop: Workshop, kind: Kind) -> None:
    things = one_of_each(shop)
    other = things[Kind.YARN if kind is not Kind.YARN else Kind.PERSON]
    sent = {"proof": client.proof(), "seen": "1"}
    for id in (other.id, "nobody", "%00", "x" * 3000, "00000000-0000-4000-8000-000000000000"):
        here = f"{list_address(kind)}/{id}"
        assert client.get(here).status_code == 404
        for deed in ("", "/delete", "/restore", "/back/1"):
            assert client.post(f"{here}{deed}", data=sent).status_code == 404


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_written_without_proof(client: sites.Client, shop: Workshop, kind: Kind) -> None:
    thing = one_of_each(shop)[kind]
    before = shop.export_all()
    here = address(thing)
    for path in (f"{list_address(kind)}/new", here, *(f"{here}/{d}" for d in DEEDS)):
        answer = client.post(path, data={"seen": "1", "wearer.name": "cook"})
        assert answer.status_code == 403, path
    assert shop.export_all() == before


DEEDS = ("delete", "restore", "back/1")


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
