"""What forms say of what is wrong: in their own words, with what may be put in a field instead."""

from __future__ import annotations

import re

import pytest

from sockwright.store.items import ItemKind
from sockwright.web.forms.offers import value_at
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to
from workshops import MACHINE, YARN, kept

FILE_WORDS = (
    "give needles",
    "wearer.age",
    "[wearer]",
    "shoe_size",
    "{ needles",
    "an array",
    "flat_width",
)
GERMAN = {"accept-language": "de"}
PERSON_FIELDS = ("length", "ball_girth", "instep_girth", "heel_girth", "ankle_girth", "calf_girth")


def refused(client: sites.Client, folder: str, fields: dict[str, str], **headers: str) -> str:
    if headers:
        client.headers.update(headers)
    answer = client.post_form(f"/{folder}/new", fields)
    assert answer.status_code == 422, answer.text[:500]
    visible = re.sub(r"<[^>]*>", "", answer.text)
    assert not [words for words in FILE_WORDS if words in visible]
    return str(answer.text)


def inches(client: sites.Client) -> None:
    client.cookies.set("sockwright_preferences", "language=en&units=in")


def test_an_empty_machine_asks_for_its_fields_not_for_tables(client: sites.Client) -> None:
    text = refused(client, "machines", {})
    assert (
        '<a href="#field-cylinders-1-needles">Cylinders: is missing; fill in one at least' in text
    )
    assert "choose carrier or cylinder" in text


def test_german_choices_are_told_as_they_read(client: sites.Client) -> None:
    text = refused(client, "machines", {}, **GERMAN)
    assert "Fadenführer oder Zylinder wählen" in text


def test_a_swatch_without_readings_leads_to_one(client: sites.Client, shop: Workshop) -> None:
    yarn, machine = kept(shop.keep(ItemKind.YARN, YARN)), kept(shop.keep(ItemKind.MACHINE, MACHINE))
    fields = {"name": "bare", "state": "washed", "needles": "60"}
    text = refused(client, "swatches", {**fields, "yarn_id": yarn.id, "machine_id": machine.id})
    assert 'href="#field-wales-1">Wales: no reading is filled in' in text
    assert "one of these is enough to begin with: Wales, Courses, Unravelled yarn" in text


def test_a_childs_foot_asks_for_the_age_by_its_label(client: sites.Client) -> None:
    text = refused(client, "people", {"wearer.name": "a child", "foot.length": "16 cm"})
    assert "For a child fill in the age" in text


@pytest.mark.parametrize(("units", "offer"), [("cm", "9.75 cm"), ("in", "9.75 in")])
def test_a_number_without_a_unit_gets_the_unit_of_the_settings(
    client: sites.Client, units: str, offer: str
) -> None:
    client.cookies.set("sockwright_preferences", f"language=en&units={units}")
    text = refused(client, "people", {"wearer.name": "cook", "foot.ball_girth": "9.75"})
    assert ("did you mean 9.75 in?" in text) == (units == "in")
    assert f"did you mean {offer}?" in text or units == "cm"


def test_seven_numbers_without_units_are_offered_one_by_one(client: sites.Client) -> None:
    inches(client)
    typed = dict.fromkeys((f"foot.{name}" for name in PERSON_FIELDS), "9.75")
    text = refused(client, "people", {"wearer.name": "cook", **typed})
    assert "write a length with its unit" not in text
    form = form_to(text, "/people/new")
    assert {("fill", f"foot.{name}=9.75 in") for name in PERSON_FIELDS} <= set(form.buttons)
    filled = form.with_fields({"fill": "foot.length=9.75 in"})
    again = client.post("/people/new", data=dict(filled))
    assert again.status_code == 200
    said = dict(form_to(again.text, "/people/new").fields)
    assert (said["foot.length"], said["foot.ball_girth"]) == ("9.75 in", "9.75")


def test_a_slip_is_offered_in_the_visitors_numbers(client: sites.Client) -> None:
    typed = {"wearer.name": "cook", "foot.length": "251 cm"}
    assert ("fill", "foot.length=25.1 cm") in form_to(
        refused(client, "people", typed), "/people/new"
    ).buttons
    german = form_to(refused(client, "people", typed, **GERMAN), "/people/new")
    assert ("fill", "foot.length=25,1 cm") in german.buttons
    fixed = {**typed, "foot.length": "25,1 cm"}
    assert client.post_form("/people/new", fixed).status_code == 303


@pytest.mark.parametrize(
    ("typed", "offer"),
    [
        ({"unravelled[1].rounds": "10", "unravelled[1].length": "7.9"}, "7.9 m"),
        ({"weighed[1].rounds": "40", "weighed[1].mass": "9.1"}, "9.1 g"),
        ({"wales[1]": "32"}, "32 in 10 cm"),
    ],
)
def test_each_quantity_is_offered_its_own_unit(
    client: sites.Client, shop: Workshop, typed: dict[str, str], offer: str
) -> None:
    yarn, machine = kept(shop.keep(ItemKind.YARN, YARN)), kept(shop.keep(ItemKind.MACHINE, MACHINE))
    fields = {"name": "grey", "state": "washed", "needles": "60", **typed}
    text = refused(client, "swatches", {**fields, "yarn_id": yarn.id, "machine_id": machine.id})
    path = next(name for name in typed if not name.endswith("rounds"))
    assert ("fill", f"{path}={offer}") in form_to(text, "/swatches/new").buttons


def test_units_are_read_as_german_readers_write_them(client: sites.Client, shop: Workshop) -> None:
    person = {"wearer.name": "Zoll Gramm auf", "foot.length": "9 3/4 Zoll"}
    assert client.post_form("/people/new", person).status_code == 303
    (one,) = shop.things(ItemKind.PERSON)
    assert one.document["foot"]["length"] == "9 3/4 in"
    assert one.name == "Zoll Gramm auf"
    yarn = {"name": "grau", "fineness": "100 Gramm auf 360 Meter", "on_hand": "150 Gramm"}
    assert client.post_form("/yarns/new", yarn).status_code == 303
    (grey,) = shop.things(ItemKind.YARN)
    assert grey.document["on_hand"] == "150 g"
    assert grey.document["fineness"] == "100 g per 360 Meter"
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    swatch = {
        "name": "grau",
        "state": "washed",
        "needles": "60",
        "wales[1]": "30 Maschen auf 10 cm",
    }
    own = {"yarn_id": grey.id, "machine_id": machine.id}
    assert client.post_form("/swatches/new", {**swatch, **own}).status_code == 303
    (kept_swatch,) = shop.things(ItemKind.SWATCH)
    assert kept_swatch.document["wales"] == ["30 stitches in 10 cm"]


def test_shares_may_be_given_in_per_cent_without_the_sign(
    client: sites.Client, shop: Workshop
) -> None:
    fields = {"name": "grey", "fineness": "100 g / 360 m"}
    fibres = {"fibres[1].name": "wool", "fibres[2].name": "nylon"}
    shares = {"fibres[1].value": "75", "fibres[2].value": "25"}
    assert client.post_form("/yarns/new", {**fields, **fibres, **shares}).status_code == 303
    (yarn,) = shop.things(ItemKind.YARN)
    assert yarn.document["fibres"] == {"wool": "75 %", "nylon": "25 %"}
    text = refused(client, "yarns", {**fields, "fibres[1].name": "wool", "fibres[1].value": "75"})
    assert "the shares add up to 75 %" in text
    for odd in ("175", "-75"):
        typed = {**fields, "fibres[1].name": "wool", "fibres[1].value": odd}
        assert odd in refused(client, "yarns", typed)


def test_the_field_of_a_path_is_found_in_the_declarations() -> None:
    people, machines = ItemKind.PERSON, ItemKind.MACHINE
    for kind, path, found in (
        (people, "foot.left.length", True),
        (people, "foot.left", False),
        (people, "nowhere", False),
        (machines, "cylinders[2].needles", True),
        (machines, "marks.home.name", True),
        (machines, "landmarks[1].value", True),
        (ItemKind.SWATCH, "wales[1]", True),
    ):
        assert (value_at(kind, path) is not None) == found, path
