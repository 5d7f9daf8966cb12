"""A visitor's unit rules every length that a page shows; what was typed stays as it was typed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from browser.pages import PAGES, Ids, PageOf, furnish
from sockwright.facts import table
from sockwright.facts.feet import foot_measures
from sockwright.i18n import locale_of
from sockwright.store.items import ItemKind
from sockwright.workshop.workshop import Workshop
from web import sites
from web.form_reading import form_to
from workshops import kept

OPEN_PAGES = [one for one in PAGES if one.status == 200 and not one.outside]
OTHER = {
    "in": re.compile(r"[\d½¼¾]\s*(?:cm|mm)\b"),
    "cm": re.compile(r"\d(?:\.\d+)? in\b(?! [\w(])"),
}
"""What must not be shown to whom: lengths in the other unit. "32 in 10 cm" is a count."""
BOTH = re.compile(
    r"(?:With its unit, for example 23.4 cm or|Mit Einheit, zum Beispiel 23,4 cm oder) 9 1/4 in"
    r"|cm, mm (?:or|oder) in, (?:such as|etwa) \"25.4 cm\" (?:or|oder) \"10 1/4 in\""
)
"""Hints that show how to write either."""
TOLD = [
    *(each for name in ("measuring", "gauge", "constants") for each in table(name).values()),
    *(each for one in foot_measures().values() for each in one.swells.values()),
]
"""Facts whose sources explanations cite."""
TYPED = {"changes", "lines", "log"}
"""Classes of what repeats texts of the user's own."""
VOID = {"input", "meta", "link", "br", "img", "hr"}


class Shown(HTMLParser):
    """What a page shows besides what was typed, the data of the bench with it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._quiet: list[bool] = [False]
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in VOID:
            return
        classes = set((dict(attrs).get("class") or "").split())
        quiet = tag in ("script", "style", "textarea") or bool(classes & TYPED)
        self._quiet.append(self._quiet[-1] or quiet)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            self._quiet.pop()

    def handle_data(self, data: str) -> None:
        if not self._quiet[-1] and data.strip():
            self.texts.append(data.strip())


@cache
def spoken_for(language: str) -> re.Pattern[str]:
    """What speaks for itself: the sources that are cited, the longest first, and BOTH."""
    cited = sorted({locale_of(language).render(fact.source) for fact in TOLD} - {""}, key=len)
    return re.compile("|".join([*map(re.escape, reversed(cited)), BOTH.pattern]))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Workshop, Ids]]:
    """A furnished site of people who type in cm."""
    with sites.workshop(tmp_path_factory.mktemp("units"), example=True) as shop:
        yield shop, furnish(shop)


@cache
def visitor(shop: Workshop, units: str, language: str = "en") -> sites.Client:
    """Somebody who chose units and a language on the page of settings."""
    client = sites.client(shop)
    settings = form_to(client.get("/settings").text, "/settings")
    sent = {"units": units, "language": language}
    client.post_form("/settings", [(n, sent.get(n, t)) for n, t in settings.fields])
    return client


@pytest.mark.parametrize("one", OPEN_PAGES, ids=lambda one: one.name)
def test_no_page_shows_a_length_in_the_other_unit(site: tuple[Workshop, Ids], one: PageOf) -> None:
    shop, ids = site
    for units, language in (("in", "en"), ("in", "de"), ("cm", "en")):
        page = visitor(shop, units, language).get(one.address.format(**ids)).text
        shown = [spoken_for(language).sub("", text) for text in Shown(page).texts]
        wrong = [text[:200] for text in shown if OTHER[units].search(text)]
        assert wrong == [], (units, language)


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_plan_and_its_links_are_in_the_visitors_units(
    site: tuple[Workshop, Ids], units: str
) -> None:
    shop, ids = site
    page = visitor(shop, units).get(f"/socks/{ids['made']}").text
    again = re.search(r'href="(/plan\?[^"]*)"', page)
    assert again is not None
    assert parse_qs(urlsplit(again[1].replace("&amp;", "&")).query)["units"] == [units]
    assert re.search(rf"\d ± \d[\d.]* {units}\b", page)


def test_a_slider_moved_in_cm_is_the_same_length_to_a_reader_of_inches(
    site: tuple[Workshop, Ids],
) -> None:
    shop, ids = site
    address = f"/plan?{ids['choice']}&try.leg=25.4&was.leg=20"
    assert "units=cm" in address
    page = visitor(shop, "in").get(address).text
    leg = re.search(r'name="try.leg"[^>]*value="([\d.]+)"', page)
    assert leg is not None
    assert float(leg[1]) == pytest.approx(10.0, abs=0.26)
    assert "leg.height=25.4+cm" in page.replace("&amp;", "&")


def test_a_kept_pair_stays_in_the_units_it_was_planned_in(
    site: tuple[Workshop, Ids], tmp_path: Path
) -> None:
    shop, ids = site
    address = f"/socks/{ids['planned']}/order.toml"
    inches, metric = (visitor(shop, units).get(address).content for units in ("in", "cm"))
    assert inches == metric
    assert b'units = "cm"' in metric


def test_a_list_converts_what_was_typed_and_the_form_keeps_it(
    site: tuple[Workshop, Ids],
) -> None:
    shop, _ = site
    person = kept(
        shop.keep(
            ItemKind.PERSON, {"wearer": {"name": "radio officer"}, "foot": {"length": "254 mm"}}
        )
    )
    inches, metric = visitor(shop, "in"), visitor(shop, "cm")
    assert "10.00 in" in inches.get("/people").text
    assert "254 mm" in metric.get("/people").text
    form = form_to(inches.get(f"/people/{person.id}").text, f"/people/{person.id}")
    assert dict(form.fields)["foot.length"] == "254 mm"
