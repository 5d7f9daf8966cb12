"""No number of a page without a way to where it comes from."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

import pytest

from browser.pages import Ids, furnish
from web import sites
from web.tables import numbers

PAGES = {
    "/plan?{choice}": 30,
    "/plan?{choice}&beside=54": 60,
    "/plan?{choice}&units=in": 30,
    "/plan?{two_feet}": 45,
    "/socks/{planned}": 8,
    "/socks/{made}": 12,
    "/gauge": 9,
    "/yarns/{yarn}": 3,
    "/machines/{machine}": 3,
    "/swatches/{swatch}": 3,
}
"""Pages that have tables of numbers, with how many there are at least."""

LEADS_ON = re.compile(r"^(/plan/why|/socks/[\w-]+/why|/swatches/[\w-]+/why)\?key=|^/yarns/[\w-]+$")
"""To an explanation; or, for what was weighed, to the page where it is written down."""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[sites.Client, Ids]]:
    with sites.workshop(tmp_path_factory.mktemp("numbers"), example=True) as shop:
        yield sites.client(shop), furnish(shop)


@pytest.mark.parametrize("address", PAGES)
def test_every_number_has_a_way_to_where_it_comes_from(
    site: tuple[sites.Client, Ids], address: str
) -> None:
    client, ids = site
    found = list(numbers(client.get(address.format(**ids)).text))
    assert len(found) >= PAGES[address]
    lost = [words for words, links in found if not any(map(LEADS_ON.search, links))]
    assert lost == []


@pytest.mark.parametrize("address", ["/plan?{choice}&beside=54", "/plan?{two_feet}"])
def test_every_way_leads_to_an_explanation(site: tuple[sites.Client, Ids], address: str) -> None:
    client, ids = site
    text = client.get(address.format(**ids)).text
    ways = {link for _, links in numbers(text) for link in links if "/why?" in link}
    asked = {key for way in ways for key in re.findall(r"key=([\w.]+)", way)}
    query = address.partition("?")[2].format(**ids)
    known = {one["key"] for one in client.get(f"/data/plan/why?{query}").json()}
    assert len(asked) >= 40
    assert asked <= known


def test_a_number_without_a_way_is_seen() -> None:
    page = """<table><tr><th>Leg</th><td>55 rounds</td><td class="ask"></td></tr>
      <tr><th>Tube</th><td>19.8 ± 0.1 cm</td><td class="ask"><a href="/plan/why?key=x">?</a></td>
      </tr><tr><th>Cam</th><td>7</td></tr></table>
      <ul class="asks"><li>Ease <b>4 ± 1 %</b></li></ul>"""
    lost = [words for words, links in numbers(page) if not links]
    assert lost == ["Leg: 55 rounds", "Ease 4 ± 1 %: Ease 4 ± 1 %"]


def test_beside_each_other_both_cylinders_are_explained(site: tuple[sites.Client, Ids]) -> None:
    client, ids = site
    query = f"{ids['choice']}&beside=54"
    text = unescape(client.get(f"/plan?{query}").text)
    told = unescape(client.get(f"/plan/why?key=fit.girth&{query}").text)
    assert "Girth of the tube (60 needles)" in told
    assert "Girth of the tube (54 needles)" in told
    row = re.search(r"Girth of the tube</th>\s*<td>(.*?)</td>\s*<td>(.*?)</td>", text)
    assert row is not None
    girths = [float(girth) for girth in re.findall(r"([\d.]+) ± [\d.]+ cm", told)]
    for cell in row.groups():
        assert any(f"{girth:.1f}" == cell.split(" ±")[0] for girth in girths), (cell, girths)
    ball = client.get(f"/plan/why?key=foot.ball_girth&{query}").text
    assert ball.count("How it is worked out") == 1


def test_a_swatch_tells_where_its_gauge_comes_from(site: tuple[sites.Client, Ids]) -> None:
    client, ids = site
    told = client.get(f"/swatches/{ids['swatch']}/why?key=gauge.course").text
    assert "Height of a course" in told
    assert "Munden" in told
    assert "over" in told  # the readings themselves
    assert "this plan" not in told
    memory = {one["swatch"]: one for one in client.get("/data/gauge").json()["swatches"]}
    for name in ("wale", "course", "loop"):
        (one,) = client.get(f"/data/swatches/{ids['swatch']}/why?key=gauge.{name}").json()
        told_there = memory[ids["swatch"]][name]
        assert one["value"]["value"] == pytest.approx(told_there["value"], rel=1e-4)
        assert one["value"]["sd"] == pytest.approx(told_there["sd"], rel=0.05)
        assert sum(each["share"] for each in one["inputs"]) == pytest.approx(1, abs=0.01)
    assert client.get(f"/swatches/{ids['swatch']}/why?key=minutes").status_code == 404
    assert client.get("/swatches/nothing/why?key=gauge.wale").status_code == 404


def test_a_pair_tells_where_its_numbers_come_from(site: tuple[sites.Client, Ids]) -> None:
    client, ids = site
    told = client.get(f"/socks/{ids['made']}/why?key=fabric.foot_length").text
    assert "Courses of the sole" in told or "courses of the sole" in told
    assert f'href="/socks/{ids["made"]}"' in told
    assert client.get(f"/socks/{ids['made']}/why?key=nothing").status_code == 404
    data = client.get(f"/data/socks/{ids['made']}/why?key=fabric.foot_length").json()
    assert [one["key"] for one in data] == ["fabric.foot_length"]
