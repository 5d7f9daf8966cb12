"""The sheets over the web: every file there is, on the paper asked for, and none of a bad plan."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from urllib.parse import unquote

import pytest
from pypdf import PdfReader

from browser.pages import station_choice
from sockwright.order import parse_order
from sockwright.plan.make import PairPlan, make_plan, with_program
from sockwright.sheets import SIZES, Paper
from sockwright.sheets.press import print_sheets
from sockwright.store.items import Busy, ItemKind, Thing
from sockwright.web.plan.choices import query_of
from sockwright.web.printing import file_name
from sockwright.workshop.answers import Choice, Planned, Problems, Refused, Written
from sockwright.workshop.example import example_id
from sockwright.workshop.planning import Plans
from sockwright.workshop.workshop import Workshop
from web import sites
from workshops import kept

PT_MM = 25.4 / 72
MAGIC = {"pdf": b"%PDF-", "svg": b"<svg"}
TYPES = {"pdf": "application/pdf", "svg": "image/svg+xml"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    with sites.workshop(tmp_path_factory.mktemp("sheets"), example=True) as opened:
        yield opened


@pytest.fixture(scope="module")
def pair(shop: Workshop) -> Thing:
    return kept(shop.plan_sock(station_choice()))


@pytest.fixture
def not_proven(shop: Workshop, monkeypatch: pytest.MonkeyPatch) -> Thing:
    """A pair whose program ends before its last step, as no order's does."""
    choice = replace(station_choice(), title="Socks that are never finished")
    pair = kept(shop.plan_sock(choice))
    of = Plans.of

    def unfinished(plans: Plans, written: Written) -> Planned | Problems | Refused:
        answer = of(plans, written)
        if not isinstance(answer, Planned) or answer.composed.order.title != choice.title:
            return answer
        first = answer.pair.first
        program = replace(first.program, steps=first.program.steps[:-1])
        return replace(answer, pair=PairPlan(with_program(first, program)))

    monkeypatch.setattr(Plans, "of", unfinished)
    return pair


SHORT = Choice(
    person=example_id(ItemKind.PERSON, "avalanche-forecaster"),
    machine=example_id(ItemKind.MACHINE, "aunt"),
    yarns={"main": example_id(ItemKind.YARN, "berry")},
)


def test_a_plan_that_lacks_yarn_is_printed_and_says_so_first(
    client: sites.Client, shop: Workshop
) -> None:
    short = kept(shop.plan_sock(SHORT))
    (address,) = (one for one in listed(client, short) if "crank" in one)
    text = PdfReader(io.BytesIO(client.get(address).content)).pages[0].extract_text()
    text = " ".join(text.split())
    assert "short for the pair" in text
    assert text.index("short for the pair") < text.index("At a glance")
    assert "on hand for both" in text


def listed(client: sites.Client, pair: Thing) -> list[str]:
    """The sheets' addresses on the page of a pair."""
    text = client.get(f"/socks/{pair.id}").text
    return re.findall(rf'href="(/socks/{pair.id}/sheets/[^"]+)"', text)


def page_size(data: bytes) -> tuple[float, float]:
    box = PdfReader(io.BytesIO(data)).pages[0].mediabox
    return float(box.width) * PT_MM, float(box.height) * PT_MM


def test_every_sheet_listed_is_to_be_had_and_is_the_command_lines(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    plan = make_plan(parse_order(shop.export_order(pair.id)))
    printed = print_sheets(plan, Paper.A4)
    *sheets, archive = listed(client, pair)
    assert archive.endswith("/all.zip")
    assert {address.rpartition("/")[2] for address in sheets} == printed.keys()
    for address in sheets:
        answer = client.get(address)
        file = address.rpartition("/")[2]
        kind = file.rpartition(".")[2]
        assert answer.status_code == 200
        assert answer.content == printed[file]
        assert answer.content.startswith(MAGIC[kind])
        assert answer.headers["content-type"].startswith(TYPES[kind])
        assert answer.headers["content-disposition"].startswith("inline; filename=")
    with zipfile.ZipFile(io.BytesIO(client.get(archive).content)) as files:
        assert {name: files.read(name) for name in files.namelist()} == printed
    data = client.get(f"/data/socks/{pair.id}").json()["sheets"]
    assert [one["address"] for one in data] == sheets


@pytest.mark.parametrize("paper", list(Paper))
def test_the_paper_is_the_one_asked_for(client: sites.Client, pair: Thing, paper: Paper) -> None:
    size = SIZES[paper].width_mm, SIZES[paper].height_mm
    address = f"/socks/{pair.id}/sheets/scale-card.pdf"
    asked = client.get(address, params={"paper": paper})
    assert page_size(asked.content) == pytest.approx(size, abs=0.1)
    client.post_form("/settings", {"paper": paper})
    assert page_size(client.get(address).content) == pytest.approx(size, abs=0.1)
    strange = client.get(address, params={"paper": "papyrus"})
    assert page_size(strange.content) == pytest.approx(size, abs=0.1)


def test_a_sheet_speaks_the_language_of_its_reader(client: sites.Client, pair: Thing) -> None:
    address = f"/socks/{pair.id}/sheets/crank.pdf"
    english = client.get(address).content
    client.post_form("/settings", {"language": "de"})
    german = client.get(address).content
    words = [PdfReader(io.BytesIO(data)).pages[0].extract_text() for data in (english, german)]
    assert "needles" in words[0]
    assert "Nadeln" in words[1]


def test_a_plan_that_is_not_kept_is_printed_alike(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    query = query_of(station_choice())
    for file in ("crank.pdf", "chart.svg"):
        answer = client.get(f"/plan/sheets/{file}?{query}")
        assert answer.content == client.get(f"/socks/{pair.id}/sheets/{file}").content


@pytest.mark.parametrize("file", ["map.pdf", "crank", "crank-left.pdf", "%2e%2e", "a" * 2000])
def test_there_is_no_other_sheet(client: sites.Client, pair: Thing, file: str) -> None:
    assert client.get(f"/socks/{pair.id}/sheets/{file}").status_code == 404


def test_a_plan_that_is_not_proven_has_no_sheets_and_says_why(
    client: sites.Client, not_proven: Thing
) -> None:
    assert listed(client, not_proven) == []
    assert "Dry run failed" in client.get(f"/socks/{not_proven.id}").text
    assert client.get(f"/data/socks/{not_proven.id}").json()["sheets"] == []
    plan = client.get(f"/data/socks/{not_proven.id}/plan").json()
    assert plan["dry_run"]["ok"] is False
    for file in ("crank.pdf", "all.zip", "scale-card.pdf"):
        answer = client.get(f"/socks/{not_proven.id}/sheets/{file}")
        assert answer.status_code == 409
        assert answer.headers["content-type"].startswith("text/html")
        assert "dry run found errors" in answer.text
        assert f'href="/socks/{not_proven.id}"' in answer.text
    choice = replace(station_choice(), title="Socks that are never finished")
    answer = client.get(f"/plan/sheets/crank.pdf?{query_of(choice)}")
    assert answer.status_code == 409
    assert 'href="/plan?person=' in answer.text


def test_who_waits_too_long_for_a_sheet_is_told_so(
    client: sites.Client, shop: Workshop, pair: Thing, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_: object, **__: object) -> dict[str, bytes]:
        raise Busy("many sheets are being printed")

    monkeypatch.setattr(shop.press, "print_plan", busy)
    answer = client.get(f"/socks/{pair.id}/sheets/crank.pdf")
    assert answer.status_code == 503
    assert "sheets are being printed" in answer.text


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Boot socks, for the winch operator!", "boot-socks-for-the-winch-operator-crank.pdf"),
        ("../../etc/passwd", "etc-passwd-crank.pdf"),
        ("Söckli für den Koch", "söckli-für-den-koch-crank.pdf"),
        ('"; x="', "x-crank.pdf"),
        ("…\u202e", "crank.pdf"),
        ("w" * 300, "w" * 80 + "-crank.pdf"),
    ],
)
def test_a_file_is_named_after_its_pair(title: str, name: str) -> None:
    assert file_name(title, "crank.pdf") == name


def test_a_name_in_other_letters_goes_out_whole(client: sites.Client, shop: Workshop) -> None:
    titled = kept(shop.plan_sock(replace(station_choice(), title='Söckli "靴下"\u2028')))
    header = client.get(f"/socks/{titled.id}/order.toml").headers["content-disposition"]
    found = re.fullmatch(r"""attachment; filename="([\w.-]+)"; filename\*=UTF-8''(\S+)""", header)
    assert found is not None, header
    plain, whole = found.groups()
    assert plain == "sockli-order.toml"
    assert unquote(whole) == "söckli-靴下-order.toml"
