"""Names that would be markup or code elsewhere: in drawings and on sheets they are names."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree
from zipfile import ZipFile

import pypdfium2
import pytest

from browser.pages import station_choice
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import kept

NAMES = (
    "</script><svg onload=alert(1)>",
    """" 'quotes' & <b>ampersands</b> &amp;""",
    '#"typst" #eval("1+1") $x$ *b* _i_ @r <l>',
    "]]> <!-- --> \\ #{}[] `code` //",
    "=1+1 {{7*7}} {% x %} %s {0}",
)

DRAWN = re.compile(r"<svg\b.*?</svg>", re.DOTALL)


@pytest.fixture(scope="module", params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory, name: str) -> Iterator[Workshop]:
    """The example station, its own pair's parts of that name."""
    with sites.workshop(tmp_path_factory.mktemp("named"), example=True) as one:
        choice = station_choice()
        for kind, id in (
            (ItemKind.PERSON, choice.person),
            (ItemKind.MACHINE, choice.machine),
            (ItemKind.YARN, choice.yarns["main"]),
            (ItemKind.SWATCH, choice.swatches[0]),
            (ItemKind.DESIGN, choice.design or ""),
        ):
            thing = one.thing(kind, id)
            document: dict[str, Any] = dict(thing.document)
            if kind is ItemKind.PERSON:
                document["wearer"] = {**document["wearer"], "name": name}
            elif kind is not ItemKind.DESIGN:
                document["name"] = name
            own = name if kind is ItemKind.DESIGN else None
            kept(one.change(kind, id, thing.version, document, own))
        yield one


@pytest.fixture(scope="module")
def pair(shop: Workshop, name: str) -> Thing:
    return kept(shop.plan_sock(replace(station_choice(), title=name)))


def squeezed(text: str) -> str:
    """A text as it is drawn, wherever its lines break."""
    return re.sub(r"[\s\u00ad\ufffe]+", "", text)


def printed(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        return "".join(page.get_textpage().get_text_range() for page in document)


def test_sheets_and_drawings_show_the_name_as_it_is(shop: Workshop, pair: Thing, name: str) -> None:
    answer = sites.client(shop).get(f"/socks/{pair.id}/sheets/all.zip")
    assert answer.status_code == 200
    with ZipFile(BytesIO(answer.content)) as archive:
        files = {file: archive.read(file) for file in archive.namelist()}
    showing = set()
    for file, content in files.items():
        if file.endswith(".svg"):
            drawing = ElementTree.fromstring(content)
            assert not [one for one in drawing.iter() if "script" in str(one.tag)]
            assert not [key for one in drawing.iter() for key in one.attrib if key.startswith("on")]
            text = "".join(drawing.itertext()) + " ".join(
                value for one in drawing.iter() for value in one.attrib.values()
            )
        else:
            text = printed(content)
        if squeezed(name) in squeezed(text):
            showing.add(file)
    assert showing >= {"crank.pdf", "chart.pdf", "record.pdf"}, list(files)


def test_pages_and_their_drawings_show_it_too(shop: Workshop, pair: Thing, name: str) -> None:
    client = sites.client(shop)
    choice = station_choice()
    for path in (
        f"/socks/{pair.id}",
        f"/socks/{pair.id}/bench/first",
        f"/socks/{pair.id}/bench/first.html",
        f"/machines/{choice.machine}",
        f"/people/{choice.person}",
        f"/plan?{pair_query(choice)}",
        "/socks",
        "/gauge",
        "/exchange",
    ):
        text = client.get(path).text
        assert name in unescape(text), path
        assert "<svg onload" not in text, path
        assert "<b>ampersands" not in text, path
        for drawing in DRAWN.findall(text):
            ElementTree.fromstring(drawing)


def pair_query(choice: Any) -> str:
    from sockwright.web.plan.choices import query_of

    return query_of(choice)


def test_files_of_such_a_pair_are_called_something_plain(shop: Workshop, pair: Thing) -> None:
    client = sites.client(shop)
    for file in ("order.toml", "sheets/crank.pdf", "bench/first.html", "bench/first/log.csv"):
        told = client.get(f"/socks/{pair.id}/{file}").headers["content-disposition"]
        assert re.fullmatch(
            r"""(inline|attachment); filename="[\w. -]+"(; filename\*=UTF-8''[\w.%~-]+)?""", told
        ), told


def test_its_order_reads_back(shop: Workshop, pair: Thing, name: str, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    with sites.workshop(other) as elsewhere:
        taken = elsewhere.import_order(shop.export_order(pair.id))
        assert {thing.name for thing in elsewhere.things(ItemKind.PERSON)} == {name}
        assert {thing.name for thing in elsewhere.things(ItemKind.YARN)} == {name}
        assert taken
    assert BytesIO(shop.export_all()).getvalue()
