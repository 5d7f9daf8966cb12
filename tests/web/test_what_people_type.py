"""Every sign that people type goes through every way in, and comes out of every way out."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sockwright.bench.log import FIRST
from sockwright.errors import OrderError
from sockwright.order.file import parse_order, to_toml
from sockwright.store.database import sqlite_url
from sockwright.store.items import ItemKind
from sockwright.workshop.backup import JoinResult
from sockwright.workshop.bench import Added
from sockwright.workshop.workshop import Workshop
from web import sites
from workshop.test_bench import entry
from workshops import database_of, furnish, kept, note, workshop

TYPED = {
    "no-break space": "12\u00a0needles",
    "narrow no-break space": "12\u202fneedles",
    "ideographic space": "靴下\u3000青",
    "soft hyphen": "mountain\u00adrescue",
    "joined emoji": "knitter 👩\u200d🔧",
    "skin tone": "thumb 👍🏽",
    "flag of tags": "🏴\U000e0067\U000e0062\U000e0073\U000e0063\U000e0074\U000e007f socks",
    "non-joiner": "می\u200cخواهم",  # noqa: RUF001
    "right-to-left mark": "\u200fגרביים!",  # noqa: RUF001
    "left-to-right mark": "socks\u200e!",
    "zero-width space": "long\u200bword",
    "marks apart": "So\u0308ckli",
    "private use": "sign \uf8ff",
}
REFUSED = {
    "line break": "two\nlines",
    "bell": "a\ab",
    "nothing": "a\0b",
    "override": "a\u202eb",
    "isolate": "a\u2066b",
    "unassigned": "a\u0378b",
    "no ink": "\u200b\u00a0",
}
ORDER = 'title = {0}\n[wearer]\nname = {0}\n[foot]\nlength = "25 cm"\n[yarn.main]\nname = {0}\n'
ORDER += 'fineness = "100 g / 400 m"\n[machine]\nname = {0}\nturns = "carrier"\ncylinders = [60]\n'


def nfc(text: str) -> str:
    return unicodedata.normalize("NFC", text)


def quoted(text: str) -> str:
    """A text as TOML has it, by its escapes alone."""
    return '"' + "".join(f"\\U{ord(sign):08X}" for sign in text) + '"'


def test_an_order_file_takes_and_gives_them() -> None:
    for name, text in TYPED.items():
        order = parse_order(ORDER.format(quoted(text)))
        names = (order.title, order.wearer.name, order.yarns[0].name, order.machine.name)
        assert set(names) == {nfc(text)}, name
        assert parse_order(to_toml(order)) == order, name
    for name, text in REFUSED.items():
        try:
            parse_order(ORDER.format(quoted(text)))
        except OrderError as error:
            found = {one.path for one in error.problems}
            assert found == {"title", "wearer.name", "yarn.main.name", "machine.name"}, name
        else:
            raise AssertionError(name)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=30))
def test_whatever_an_order_takes_it_gives_again(text: str) -> None:
    try:
        order = parse_order(ORDER.format(quoted(text)))
    except OrderError:
        return
    assert parse_order(to_toml(order)) == order


def test_forms_take_them_and_the_next_page_shows_them(client: sites.Client, shop: Workshop) -> None:
    for name, text in TYPED.items():
        answer = client.post_form("/yarns/new", {"name": text, "fineness": "100 g / 400 m"})
        assert answer.status_code == 303, name
        assert text in client.get(answer.headers["location"]).text, name
    # Kept as they were typed, and found by the same letters.
    yarns = shop.things(ItemKind.YARN)
    assert sorted(one.document["name"] for one in yarns) == sorted(TYPED.values())
    assert sorted(one.name for one in yarns) == sorted(map(nfc, TYPED.values()))
    for name, text in REFUSED.items():
        answer = client.post_form("/yarns/new", {"name": text, "fineness": "100 g / 400 m"})
        assert answer.status_code == 422, name


def test_workshops_and_logs_take_them_from_each_other(
    client: sites.Client, shop: Workshop, tmp_path: Path
) -> None:
    choice = furnish(shop)
    pairs = [kept(shop.plan_sock(replace(choice, title=text))) for text in TYPED.values()]
    pair = pairs[0]
    for text in TYPED.values():
        note(shop, pair, f"{text}\r\n\tand on")
    log: list[dict[str, Any]] = [
        entry(number, "note", text=f"{text}\r\nand on")
        for number, text in enumerate(TYPED.values(), 1)
    ]
    answer = client.post(
        f"/data/socks/{pair.id}/bench/first/log",
        json={"entries": log},
    ).json()
    assert answer["refused"] == []
    assert [one["text"] for one in answer["entries"]] == [
        f"{nfc(text)}\nand on" for text in TYPED.values()
    ]
    data = shop.export_all()
    other = workshop(sqlite_url(tmp_path / "other.db"))
    assert isinstance(other.import_all(data), JoinResult)
    assert other.export_all() == data
    assert other.bench_log(pair.id, FIRST) == shop.bench_log(pair.id, FIRST)
    again = other.add_to_bench_log(pair.id, FIRST, answer["entries"])
    assert isinstance(again, Added)
    assert len(again.log) == len(TYPED)
    for one in pairs:
        taken = other.import_order(shop.thing(ItemKind.SOCK, one.id).fields["order_toml"])
        assert taken.sock.id == one.id  # type: ignore[union-attr]
    database_of(other).close()


def test_sheets_and_drawings_are_made_with_them(client: sites.Client, shop: Workshop) -> None:
    every = nfc(" ".join(TYPED.values()))[:190]
    pair = kept(shop.plan_sock(replace(furnish(shop), title=every)))
    assert client.get(f"/socks/{pair.id}/sheets/crank.pdf").content.startswith(b"%PDF")
    page = client.get(f"/socks/{pair.id}").text
    assert every in page
    for drawing in page.split("<svg")[1:]:
        ElementTree.fromstring("<svg" + drawing.split("</svg>")[0] + "</svg>")
