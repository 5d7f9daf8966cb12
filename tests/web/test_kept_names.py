"""Names known here: fibres in the page's language, and marks painted as their owner says."""

from __future__ import annotations

from pathlib import Path

import pytest

from sockwright.store.items import ItemKind
from sockwright.web.preferences import PREFERENCES_COOKIE
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to
from workshops import MACHINE, YARN, kept


@pytest.fixture
def german(shop: Workshop) -> sites.Client:
    client = sites.client(shop)
    client.cookies.set(PREFERENCES_COOKIE, "language=de")
    return client


def test_fibres_are_shown_and_typed_in_german_and_kept_as_the_order_has_them(
    german: sites.Client, shop: Workshop
) -> None:
    yarn = kept(shop.keep(ItemKind.YARN, YARN))
    page = german.get(f"/yarns/{yarn.id}").text
    form = form_to(page, f"/yarns/{yarn.id}")
    assert dict(form.fields)["fibres[1].name"] == "Wolle"
    assert '<option value="Baumwolle">' in page
    assert "80 % Wolle, 20 % Nylon" in german.get("/yarns").text
    unchanged = german.post_form(f"/yarns/{yarn.id}", form.sent())
    assert unchanged.status_code == 303
    assert shop.thing(ItemKind.YARN, yarn.id).version == 1
    sent = [(n, "Baumwolle" if n == "fibres[2].name" else t) for n, t in form.fields]
    assert german.post_form(f"/yarns/{yarn.id}", sent).status_code == 303
    now = shop.thing(ItemKind.YARN, yarn.id).document["fibres"]
    assert now == {"wool": "80 %", "cotton": "20 %"}


def test_a_fibre_that_is_not_known_comes_back_as_typed_with_the_names_there_are(
    german: sites.Client,
) -> None:
    fields = {"name": "x", "fineness": "100 g / 400 m"}
    rows = {"fibres[1].name": "Einhornhaar", "fibres[1].value": "100 %"}
    answer = german.post_form("/yarns/new", {**fields, **rows})
    assert answer.status_code == 422
    assert 'value="Einhornhaar"' in answer.text
    assert "Lammwolle" in answer.text


@pytest.mark.parametrize(
    ("typed", "painted"),
    [
        ("#12ab34", "#12AB34"),
        ("Lime Green", "#32CD32"),
        ("purple", "#800080"),
        ("#FFFFFE", "#FFFFFE"),
    ],
)
def test_a_mark_is_drawn_in_its_owners_own_colour(
    client: sites.Client, shop: Workshop, typed: str, painted: str
) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    assert painted not in client.get(f"/machines/{machine.id}").text
    form = form_to(client.get(f"/machines/{machine.id}").text, f"/machines/{machine.id}")
    sent = dict(form.with_fields({"marks.home.name": "my dot", "marks.home.colour": typed}))
    assert client.post_form(f"/machines/{machine.id}", sent).status_code == 303
    page = client.get(f"/machines/{machine.id}").text
    drawing = page[page.index('id="cylinder"') :].partition("</figure>")[0]
    assert painted in drawing


@pytest.mark.parametrize("typed", ["purple with spots", "spotted", "#12ab3", "rgb(1, 2, 3)"])
def test_a_colour_that_cannot_be_drawn_is_refused_with_what_can(
    client: sites.Client, shop: Workshop, typed: str
) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    form = form_to(client.get(f"/machines/{machine.id}").text, f"/machines/{machine.id}")
    sent = dict(form.with_fields({"marks.home.colour": typed}))
    answer = client.post_form(f"/machines/{machine.id}", sent)
    assert answer.status_code == 422
    assert f'value="{typed}"' in answer.text
    assert "lime green" in answer.text
    assert "#rrggbb" in answer.text
    assert shop.thing(ItemKind.MACHINE, machine.id).version == 1


def test_days_are_written_one_way_in_a_language(tmp_path: Path) -> None:
    folder = tmp_path / "example"
    folder.mkdir()
    with sites.workshop(folder, example=True) as shop:
        german, english = sites.client(shop), sites.client(shop)
        german.cookies.set(PREFERENCES_COOKIE, "language=de")
        swatch = shop.gauge_memory()[0]
        year, month, day = swatch.date.split("-")
        for address in ("/gauge", "/swatches"):
            assert f"{day}.{month}.{year}" in german.get(address).text
            assert swatch.date not in german.get(address).text
            assert swatch.date in english.get(address).text
