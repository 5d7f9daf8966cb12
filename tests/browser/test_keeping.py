"""What is kept: added from nothing, changed, deleted and put back, in two windows at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.acts import choose, number
from browser.conftest import Visit, Visitor
from browser.stage import DESKTOP, PHONE, WITHOUT_SCRIPT
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.workshop import Workshop

PERSON = {
    "wearer.name": "night dispatcher",
    "foot.length": "25.2 cm",
    "foot.ball_girth": "23.4 cm",
    "foot.heel_girth": "31 cm",
}
YARN = {"name": "ice-blue sock yarn", "fineness": "100 g / 400 m", "on_hand": "150 g"}
MACHINE = {
    "name": "the hut's machine",
    "turns": "carrier",
    "cylinders[1].needles": "72",
    "cylinders[1].diameter": "11.4 cm",
}
DESIGN = {"name": "short sock", "cuff.depth": "2.5 cm", "leg.height": "15 cm"}
SWATCH = {
    "name": "ice-blue, washed",
    "state": "washed",
    "needles": "72",
    "cam": "8",
    "wales[1]": "33 in 10 cm",
    "courses[1]": "43 in 10 cm",
}


FILL = """(form, fields) => {
  for (const [name, text] of Object.entries(fields)) {
    const field = form.elements[name];
    field.value = text;
    if (field.value !== text) throw new Error(`${text} cannot be chosen for ${name}`);
    for (const kind of ["input", "change"]) {
      field.dispatchEvent(new Event(kind, { bubbles: true }));
    }
  }
}"""


def fill(page: Page, fields: Mapping[str, str]) -> None:
    """Fill in the fields of a form, by the keys they are kept under."""
    page.locator("#form").evaluate(FILL, dict(fields))


def keep(page: Page, folder: str, fields: Mapping[str, str], **choices: str) -> None:
    """Add a thing, from the list of its kind on; `choices` are of other things, by their names."""
    page.goto(f"/{folder}")
    page.locator(f"main a[href='/{folder}/new']").first.click()
    fill(page, fields)
    for name, label in choices.items():
        page.locator(f'#form [name="{name}"]').select_option(label=label)
    page.locator("#form button.main").click()
    expect(page).to_have_url(re.compile(rf"/{folder}/[0-9a-f-]{{36}}$"))
    expect(page.get_by_role("status")).to_contain_text("is saved.")


@pytest.mark.parametrize("view", [DESKTOP, WITHOUT_SCRIPT], ids=["desk", "without scripts"])
def test_from_an_empty_workshop_to_a_plan(
    visit: Visit, shop: Workshop, view: Mapping[str, Any]
) -> None:
    page = visit(view).page
    page.goto("/")
    page.get_by_role("button", name="Remove the example").click()
    expect(page.get_by_role("status")).to_contain_text("Example removed.")
    assert not any(shop.things(kind, None) for kind in ItemKind)

    keep(page, "people", PERSON)
    keep(page, "yarns", YARN)
    keep(page, "machines", MACHINE)
    keep(page, "designs", DESIGN)
    keep(page, "swatches", SWATCH, yarn_id=YARN["name"], machine_id=MACHINE["name"])
    assert [len(shop.things(kind)) for kind in ItemKind] == [1, 1, 1, 1, 1, 0, 0]

    page.goto("/plan")
    pair = {
        "Who it is for": PERSON["wearer.name"],
        "Yarn": YARN["name"],
        "Machine": MACHINE["name"],
        "Design": DESIGN["name"],
    }
    if view is DESKTOP:
        choose(page, pair)
    else:
        for label, option in pair.items():
            page.get_by_label(label, exact=True).select_option(label=option)
        page.get_by_role("button", name="Show the plan").click()
    expect(page.get_by_text("The steps work")).to_be_visible()
    assert number(page, "Needles") == "72"
    expect(page.get_by_label("ice-blue, washed")).to_be_checked()


def test_the_example_can_be_put_in_again(newcomer: Visitor, shop: Workshop) -> None:
    before = {one.id for one in shop.things(ItemKind.PERSON)}
    page = newcomer.page
    page.goto("/")
    page.get_by_role("button", name="Remove the example").click()
    page.get_by_role("button", name=re.compile("example")).click()
    assert {one.id for one in shop.things(ItemKind.PERSON)} == before


@pytest.fixture
def grey(shop: Workshop) -> Thing:
    """A yarn of the station."""
    return next(one for one in shop.things(ItemKind.YARN) if one.name == "grey boot-sock wool")


def test_a_change_is_kept_and_can_be_undone(newcomer: Visitor, shop: Workshop, grey: Thing) -> None:
    page = newcomer.page
    page.goto(f"/yarns/{grey.id}")
    fill(page, {"on_hand": "310 g"})
    page.get_by_role("button", name="Save changes").click()
    expect(page.get_by_role("status")).to_contain_text("is changed.")
    assert shop.thing(ItemKind.YARN, grey.id).document["on_hand"] == "310 g"
    page.get_by_role("button", name="Undo", exact=True).click()
    expect(page.locator("#form [name=on_hand]")).to_have_value("400 g")
    assert shop.thing(ItemKind.YARN, grey.id).document == grey.document


def test_enter_keeps_the_thing_and_adds_no_row(newcomer: Visitor, shop: Workshop) -> None:
    page = newcomer.page
    page.goto("/machines/new")
    fill(page, MACHINE)
    page.locator("#form [name=name]").press("Enter")
    expect(page).to_have_url(re.compile(r"/machines/[0-9a-f-]{36}$"))
    assert MACHINE["name"] in {one.name for one in shop.things(ItemKind.MACHINE)}


def test_rows_come_and_go_without_losing_what_was_typed(visit: Visit) -> None:
    for view in (DESKTOP, WITHOUT_SCRIPT):
        page = visit(view).page
        page.goto("/machines/new")
        fill(page, MACHINE)
        page.get_by_role("button", name="One more cylinder").click()
        second = page.locator('#form [name="cylinders[2].needles"]')
        expect(second).to_be_focused()
        second.fill("60")
        expect(page.locator("#form [name=name]")).to_have_value(MACHINE["name"])
        page.get_by_role("button", name="Remove").first.click()
        expect(second).to_have_count(0)
        expect(page.locator('#form [name="cylinders[1].needles"]')).to_have_value("60")


def test_what_is_wrong_is_named_and_what_was_typed_stays(newcomer: Visitor) -> None:
    newcomer.watch.allow(422)
    page = newcomer.page
    page.goto("/people/new")
    typed = {**PERSON, "foot.length": "size nine", "foot.heel_girth": "2 km"}
    fill(page, typed)
    page.locator("#form button.main").click()
    expect(page.get_by_role("alert")).to_be_focused()
    for name, text in typed.items():
        field = page.locator(f'#form [name="{name}"]')
        expect(field).to_have_value(text)
        wrong = text != PERSON[name]
        assert (field.get_attribute("aria-invalid") == "true") == wrong, name
    page.get_by_role("alert").get_by_role("link").first.click()
    expect(page.locator('#form [name="foot.length"]')).to_be_focused()


@pytest.mark.parametrize("view", [DESKTOP, PHONE], ids=["desk", "telephone"])
def test_a_deletion_is_taken_back(
    visit: Visit, shop: Workshop, grey: Thing, view: Mapping[str, Any]
) -> None:
    page = visit(view).page
    page.goto(f"/yarns/{grey.id}")
    page.get_by_role("button", name="Delete").click()
    assert grey.id not in {one.id for one in shop.things(ItemKind.YARN)}
    page.get_by_role("button", name="Undo", exact=True).click()
    assert grey.id in {one.id for one in shop.things(ItemKind.YARN)}

    page.goto(f"/yarns/{grey.id}")
    page.get_by_role("button", name="Delete").click()
    page.goto("/deleted")
    page.get_by_role("button", name=re.compile(grey.name)).click()
    assert grey.id in {one.id for one in shop.things(ItemKind.YARN)}


def two_windows(newcomer: Visitor, grey: Thing, first: str, field: str, text: str) -> Page:
    """The second of two windows on a yarn, after the first kept `first` on hand and it `text`."""
    newcomer.watch.allow(409)
    one, other = newcomer.page, newcomer.context.new_page()
    for page in (one, other):
        page.goto(f"/yarns/{grey.id}")
    fill(other, {"on_hand": first})
    other.get_by_role("button", name="Save changes").click()
    fill(one, {field: text})
    one.get_by_role("button", name="Save changes").click()
    return one


def test_two_windows_on_different_fields_keep_both_changes(
    newcomer: Visitor, shop: Workshop, grey: Thing
) -> None:
    page = two_windows(newcomer, grey, "90 g", "colour", "slate")
    expect(page.get_by_role("status")).to_contain_text("what someone else changed: On hand.")
    now = shop.thing(ItemKind.YARN, grey.id).document
    assert (now["colour"], now["on_hand"]) == ("slate", "90 g")


@pytest.mark.parametrize("choice", ["mine", "theirs", "dropped"])
def test_two_windows_on_one_field_lose_nothing_unasked(
    newcomer: Visitor, shop: Workshop, grey: Thing, choice: str
) -> None:
    page = two_windows(newcomer, grey, "90 g", "on_hand", "310 g")
    expect(page.get_by_role("alert")).to_contain_text("Changed by someone else")
    expect(page.get_by_role("alert")).to_contain_text("saved by someone else: 90 g")
    expect(page.locator("#form [name=on_hand]")).to_have_value("310 g")
    assert shop.thing(ItemKind.YARN, grey.id).document["on_hand"] == "90 g"
    if choice == "dropped":
        page.get_by_role("link", name="Discard my entries").first.click()
        expect(page.locator("#form [name=on_hand]")).to_have_value("90 g")
    else:
        if choice == "theirs":
            page.get_by_role("button", name="Use this").click()
            expect(page.locator("#form [name=on_hand]")).to_have_value("90 g")
        page.get_by_role("button", name="Save this version").click()
        expect(page.get_by_role("status")).to_be_visible()
    expect(page.get_by_role("alert")).to_have_count(0)
    now = shop.thing(ItemKind.YARN, grey.id).document["on_hand"]
    assert now == ("310 g" if choice == "mine" else "90 g")


def test_every_version_leads_back_and_forth(newcomer: Visitor, shop: Workshop, grey: Thing) -> None:
    page = newcomer.page
    page.goto(f"/yarns/{grey.id}")
    for mass in ("310 g", "120 g"):
        fill(page, {"on_hand": mass})
        page.get_by_role("button", name="Save changes").click()
    versions = page.locator(".versions > li")
    for version, mass in ((2, "310 g"), (1, "400 g"), (3, "120 g")):
        row = page.locator(f".versions > li[value='{version}']")
        row.get_by_role("button", name=re.compile("^Restore this version")).click()
        expect(page.get_by_role("status")).to_contain_text("Restored to the version of")
        expect(page.locator("#form [name=on_hand]")).to_have_value(mass)
    expect(versions).to_have_count(6)
    assert shop.thing(ItemKind.YARN, grey.id).deleted is None


def test_hostile_words_stay_words(newcomer: Visitor) -> None:
    page = newcomer.page
    name = "<img src=x onerror=alert(1)>\u200f & \"winch\" 'op' {{ 7 * 7 }}"
    keep(page, "yarns", {**YARN, "name": name})
    expect(page.locator("h1")).to_have_text(name)
    page.goto("/yarns")
    expect(page.get_by_role("link", name=name)).to_be_visible()
    page.goto("/plan")
    expect(page.locator("option", has_text=name).first).to_be_attached()
