"""What the page of a machine, its data and its drawing tell of the stitch cam."""

from __future__ import annotations

import re
from html import unescape
from math import pi

import pytest

from drawing_reading import size_mm, texts
from sockwright.store.items import ItemKind
from sockwright.workshop.example import example_id
from sockwright.workshop.workshop import Workshop
from web import sites
from web.keeping import one_of_each
from workshops import MACHINE, kept

BENCH = example_id(ItemKind.MACHINE, "bench")
AUNT = example_id(ItemKind.MACHINE, "aunt")
BERRY = example_id(ItemKind.YARN, "berry")
GREY = example_id(ItemKind.YARN, "grey")


@pytest.fixture
def bench(station: Workshop) -> sites.Client:
    """A client of the example station."""
    return sites.client(station)


def section(client: sites.Client, address: str) -> str:
    """The part of a machine's page that tells of its cam."""
    text = client.get(address).text
    found = re.search(r'<section id="cam".*?</section>', text, re.DOTALL)
    assert found is not None
    return found[0]


def lead(text: str) -> str:
    found = re.search(r'class="lead"><strong>(.*?)</strong>', text)
    assert found is not None
    return unescape(found[1])


def drawings(text: str) -> list[str]:
    return re.findall(r"<svg.*?</svg>", text, re.DOTALL)


def test_the_reading_the_setting_for_a_drape_and_the_tube_are_told(bench: sites.Client) -> None:
    text = section(bench, f"/machines/{BENCH}")
    data = bench.get(f"/data/machines/{BENCH}").json()["cam"]
    heavy = next(one for one in data if one["yarn_class"] == "heavy")
    at = next(one for one in heavy["readings"] if (one["needles"], one["cam"]) == (60, 14))
    loop = at["loop"]
    assert loop["value"] == pytest.approx(13.7, abs=0.2)
    assert lead(text).startswith(
        f"14 clicks: {loop['value']:.1f} ± {loop['sd']:.1f} mm; for a middle"
    )
    assert at["girth"]["value"] == pytest.approx(198, abs=6)
    assert f"{at['girth']['value'] / 10:.1f} ±" in text


def test_it_is_drawn_for_wide_and_narrow_pages(bench: sites.Client) -> None:
    wide, narrow = drawings(section(bench, f"/machines/{BENCH}"))
    assert [size_mm(one)[0] for one in (wide, narrow)] == [160, 88]
    assert "grey, washed twice" in texts(wide)


def test_other_settings_cylinders_and_yarns_are_a_link_or_a_form_away(bench: sites.Client) -> None:
    text = section(bench, f"/machines/{BENCH}")
    (less,) = re.findall(r'id="cam-less" href="([^"]*)"', text)
    assert lead(section(bench, unescape(less))).startswith("13 clicks: ")
    other = section(bench, f"/machines/{BENCH}?needles=84&cam=12")
    assert lead(other).startswith("12 clicks: ")
    assert re.search(r'<option value="84" selected>', other)
    assert f'value="{BERRY}"' in other
    drawn = bench.get(f"/machines/{BENCH}?needles=84&cam=12").text
    assert "84 needles, with the marks" in drawn


def test_one_setting_tells_what_to_knit_next(bench: sites.Client) -> None:
    text = section(bench, f"/machines/{BENCH}?yarn={BERRY}")
    assert lead(text).startswith("9 clicks: ")
    assert "drape" not in lead(text)
    assert "11 clicks" in text
    assert 'id="cam-less"' not in text
    looser_is_less = section(bench, f"/machines/{AUNT}")
    assert "4.5 lines" in looser_is_less


def test_beyond_the_swatches_it_is_called_a_guess(bench: sites.Client) -> None:
    text = section(bench, f"/machines/{BENCH}?cam=19")
    assert "guess" in lead(text)
    assert "10 clicks" in text
    assert "17 clicks" in text
    assert "guess" not in lead(section(bench, f"/machines/{BENCH}?cam=17"))
    data = bench.get(f"/data/machines/{BENCH}").json()["cam"]
    heavy = next(one for one in data if one["yarn_class"] == "heavy")
    outside = {one["cam"]: one["outside"] for one in heavy["readings"] if one["needles"] == 60}
    assert outside[17] == 0
    assert outside[19] == 2


@pytest.mark.parametrize(
    "query",
    [
        "cam=nan",
        "cam=inf",
        "cam=-3",
        "cam=1e9",
        "cam=14;x",
        "needles=%F0%9F%A7%A6",
        "needles=60.5",
        "needles=99999999999999999999",
        "yarn=../..",
        "cam=",
        "needles=&yarn=&cam=",
    ],
)
def test_what_does_not_read_in_an_address_is_as_if_it_were_not_there(
    bench: sites.Client, query: str
) -> None:
    assert bench.get(f"/machines/{BENCH}?{query}").status_code == 200
    assert lead(section(bench, f"/machines/{BENCH}?{query}")).startswith("14 clicks")
    assert bench.get(f"/machines/{BENCH}/cam.svg?{query}").status_code == 200


def test_inches_and_german(bench: sites.Client) -> None:
    bench.cookies.set("sockwright_preferences", "language=de&units=in")
    text = section(bench, f"/machines/{BENCH}")
    assert re.match(r"14 clicks: 0,5\d+ ± 0,0\d+ in", lead(text))
    assert re.search(r"7,\d+ ± 0,0\d+ in", text)
    wide, _ = drawings(text)
    assert "Maschenlänge, in" in texts(wide)


def test_its_drawing_by_itself_is_for_paper(bench: sites.Client) -> None:
    answer = bench.get(f"/machines/{BENCH}/cam.svg?yarn={GREY}&needles=60&cam=12")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert "#FFFFFF" in answer.text
    assert "var(" not in answer.text
    assert "12" in texts(answer.text)


def test_a_machine_without_swatches_says_what_to_knit(shop: Workshop, client: sites.Client) -> None:
    machine = kept(shop.keep(ItemKind.MACHINE, MACHINE))
    text = section(client, f"/machines/{machine.id}")
    assert drawings(text) == []
    assert f"/swatches/new?machine_id={machine.id}" in text
    assert client.get(f"/machines/{machine.id}/cam.svg").status_code == 404
    assert client.get(f"/data/machines/{machine.id}").json()["cam"] == []


def test_a_cylinder_without_a_diameter_says_what_is_assumed(
    shop: Workshop, client: sites.Client
) -> None:
    machine = one_of_each(shop)[ItemKind.MACHINE]
    known = section(client, f"/machines/{machine.id}")
    assumed = section(client, f"/machines/{machine.id}?needles=54")
    assert "10.8 ± 0.3 cm" in assumed
    assert "10.8 ± 0.3 cm" not in known
    data = client.get(f"/data/machines/{machine.id}").json()["cam"]
    assert {one["needles"] for curve in data for one in curve["readings"]} == {54, 60}


def test_other_things_have_no_cam(bench: sites.Client) -> None:
    assert bench.get(f"/data/yarns/{GREY}").json()["cam"] == []
    assert 'id="cam"' not in bench.get(f"/yarns/{GREY}").text


def test_the_data_of_a_curve_agree_with_geometry(bench: sites.Client) -> None:
    """l = 2 sqrt(drop^2 + (p/2)^2): the drops of one setting are alike on all cylinders."""
    rings = {54: 108.0, 60: 108.0, 84: 114.0}
    for curve in bench.get(f"/data/machines/{BENCH}").json()["cam"]:
        drops: dict[float, list[float]] = {}
        for one in curve["readings"]:
            pitch = pi * rings[one["needles"]] / one["needles"]
            square = (one["loop"]["value"] / 2) ** 2 - (pitch / 2) ** 2
            drops.setdefault(one["cam"], []).append(square)
        for squares in drops.values():
            assert squares == pytest.approx([squares[0]] * len(squares))
