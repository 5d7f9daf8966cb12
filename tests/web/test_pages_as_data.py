"""What a page shows, its data hold: every cell of its tables, its sliders, choices and notes.

The rule: each text of a table's cell, as it is printed, is a text or a number of the data. Marks
and words of the page's own that stand in a cell beside that (OWN_WORDS) are no values.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

import pytest

from browser.pages import PAGES, Ids, PageOf, furnish
from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import note

OPEN_PAGES = [one for one in PAGES if one.status == 200 and not one.outside]
OWN_WORDS = {"example", "outdated", "too little", "–", "not noted", "yes", "?", ":"}
NOT_A_VALUE = {"on-phone", "ask", "keep-form"}
VOID = {"input", "meta", "link", "br", "img", "hr"}


@dataclass
class Values(HTMLParser):
    """The values that a page shows."""

    text: str
    cells: list[str] = field(default_factory=list)
    sliders: list[dict[str, str]] = field(default_factory=list)
    options: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    sheets: list[str] = field(default_factory=list)
    _open: list[tuple[str, frozenset[str]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()
        self.feed(self.text)

    def _within(self, *names: str) -> bool:
        return any(tag in names or classes & set(names) for tag, classes in self._open)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "input":
            if given.get("type") == "range":
                self.sliders.append(given)
            radio = given.get("type") == "radio" and not self._within(*NOT_A_VALUE)
            if radio or given.get("name") == "swatch":
                self.options.append(given["value"])
        if tag == "option" and not self._within(*NOT_A_VALUE) and given["value"]:
            self.options.append(given["value"])
        if tag == "a" and "/sheets/" in given.get("href", "") and "all.zip" not in given["href"]:
            self.sheets.append(given["href"])
        if tag not in VOID:
            self._open.append((tag, frozenset(given.get("class", "").split())))

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            self._open.pop()

    def handle_data(self, data: str) -> None:
        words = " ".join(data.split())
        if not words or self._within("svg", *NOT_A_VALUE):
            return
        if self._within("tbody") and words not in OWN_WORDS:
            self.cells.append(words.strip(":").strip())
        elif self._within("lines") and self._within("plain"):
            self.lines.append(data.strip())


def texts_of(data: Any) -> Iterator[str]:
    """Every text and number of some data."""
    if isinstance(data, dict):
        for value in data.values():
            yield from texts_of(value)
    elif isinstance(data, list):
        for value in data:
            yield from texts_of(value)
    elif isinstance(data, str):
        yield " ".join(data.split())
    elif isinstance(data, int | float) and not isinstance(data, bool):
        yield f"{data:g}"


def holds(known: set[str], cell: str) -> bool:
    """Whether the data hold what stands in a cell; a role and its yarn's name may be two texts."""
    return cell in known or set(cell.split(": ", 1)) <= known


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Workshop, Ids]]:
    with sites.workshop(tmp_path_factory.mktemp("data"), example=True) as shop:
        ids = furnish(shop)
        note(shop, shop.thing(ItemKind.YARN, ids["yarn"]), "Smells of resin.\n\nWash it twice.")
        yield shop, ids


@pytest.mark.parametrize("one", OPEN_PAGES, ids=lambda one: one.name)
@pytest.mark.parametrize("settings", ["", "language=de&units=in"], ids=["cm", "german-inches"])
def test_the_values_of_a_page_are_in_its_data(
    site: tuple[Workshop, Ids], one: PageOf, settings: str
) -> None:
    shop, ids = site
    client = sites.client(shop)
    client.cookies.set("sockwright_preferences", settings)
    text = client.get(one.address.format(**ids)).text
    page = Values(text)
    # In another language what is no value is told otherwise: numbers must be there still.
    shown = [cell for cell in page.cells if not settings or re.search(r"\d", cell)]
    address = re.search(r'type="application/json" href="([^"]*)"', text)
    assert address is not None
    answer = client.get(address[1].replace("&amp;", "&"), follow_redirects=True)
    data = answer.json()
    known = {text.casefold() for text in texts_of(data)}
    lacking = [cell for cell in shown if not holds(known, cell.casefold())]
    assert lacking == []
    assert [option for option in page.options if option.casefold() not in known] == []
    whole = json.dumps(data, ensure_ascii=False)
    assert [line for line in page.lines if json.dumps(line)[1:-1] not in whole] == []
    assert [sheet for sheet in page.sheets if sheet.split("?")[0] not in whole] == []
    numbers = {
        f"{float(slider[name]):g}" for slider in page.sliders for name in ("min", "max", "value")
    }
    assert numbers <= known


def test_pages_that_show_values_are_seen_to_show_them(site: tuple[Workshop, Ids]) -> None:
    shop, ids = site
    client = sites.client(shop)
    plan = Values(client.get(f"/plan?{ids['choice']}").text)
    assert len(plan.cells) > 40
    assert len(plan.sliders) == 4
    assert len(plan.options) > 10
    assert plan.sheets != []
    yarn = Values(client.get(f"/yarns/{ids['yarn']}").text)
    assert "Smells of resin.\n\nWash it twice." in yarn.lines
    assert any("/ 10 cm" in cell for cell in yarn.cells)
    assert "nothing" in Values(client.get("/people").text).cells


def test_a_machine_is_drawn_at_an_address_of_its_own(site: tuple[Workshop, Ids]) -> None:
    shop, ids = site
    client = sites.client(shop)
    drawings = client.get(f"/data/machines/{ids['machine']}").json()["drawings"]
    assert drawings
    for address in drawings.values():
        answer = client.get(address)
        assert (answer.status_code, answer.headers["content-type"]) == (200, "image/svg+xml")
        assert answer.text.startswith("<svg")
    assert client.get(address.replace("cylinder-", "cylinder-9")).status_code == 404
