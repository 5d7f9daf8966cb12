"""A sock's bench as a single file, its log going out, and what comes back."""

from __future__ import annotations

import csv
import html
import json
import re
from base64 import b64encode
from hashlib import sha256
from io import StringIO
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from sockwright.bench.log import Action, state_of
from sockwright.i18n.printable import uncelled
from sockwright.store.items import ItemKind, Thing
from sockwright.web.bench.files import CannotBundle, bundled
from sockwright.workshop.workshop import Workshop
from web import sites
from workshop.test_bench import entry

MOST_BYTES = 300_000
"""What the whole file may weigh: it goes by mail and by memory card."""


@pytest.fixture
def shop(planned: tuple[Workshop, Thing]) -> Workshop:
    return planned[0]


@pytest.fixture
def pair(planned: tuple[Workshop, Thing]) -> Thing:
    return planned[1]


def address(pair: Thing, which: str = "first") -> str:
    return f"/socks/{pair.id}/bench/{which}"


def saved(entries: list[Any], pair: Thing, which: str = "first", **more: Any) -> str:
    """A log as a bench saves it."""
    head = {"what": "sockwright bench log", "version": 1, "sock": pair.id, "which": which}
    return json.dumps({**head, **more, "entries": entries})


def bring(client: sites.Client, pair: Thing, text: str, which: str = "first") -> Any:
    return client.post_form(f"{address(pair, which)}/log.json", {"text": text})


def whole(client: sites.Client, pair: Thing) -> str:
    answer = client.get(f"{address(pair)}.html")
    assert answer.status_code == 200
    return str(answer.text)


# The bench as a file


def test_the_file_is_to_be_kept_under_a_plain_name(client: sites.Client, pair: Thing) -> None:
    answer = client.get(f"{address(pair)}.html")
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert "attachment" in answer.headers["content-disposition"]
    assert "-first-bench.html" in answer.headers["content-disposition"]
    assert len(answer.content) < MOST_BYTES


def test_nothing_of_it_lies_elsewhere(client: sites.Client, pair: Thing) -> None:
    text = whole(client, pair)
    assert re.findall(r'\b(?:src|href|action|poster|data)="(?!#)[^"]*"', text) == []
    assert {one.partition(":")[0] for one in re.findall(r'url\("?([^")]+)', text)} == {"data"}
    assert "@import" not in text
    script = re.search(r'<script type="module">(.*?)</script>', text, re.DOTALL)
    assert script is not None
    assert re.search(r"^\s*(import|export)\b", script[1], re.MULTILINE) is None


def test_its_policy_lets_in_its_own_script_and_style_alone(
    client: sites.Client, pair: Thing
) -> None:
    text = whole(client, pair)
    meta = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert meta is not None
    policy = dict(one.split(" ", 1) for one in html.unescape(meta[1]).split("; "))
    for kind, tag in (("script-src", "script"), ("style-src", "style")):
        found = re.findall(rf"<{tag}[^>]*>(.*?)</{tag}>", text, re.DOTALL)
        assert len(found) == 1
        digest = b64encode(sha256(found[0].encode()).digest()).decode()
        assert policy[kind] == f"'sha256-{digest}'"
    assert policy["default-src"] == "'none'"
    assert "connect-src" not in policy
    assert text.index("http-equiv") < text.index("<style>")


def test_it_carries_the_log(client: sites.Client, shop: Workshop, pair: Thing) -> None:
    shop.add_to_bench_log(pair.id, "first", [entry(1), entry(2, "note", text="</script>&<b>")])
    text = whole(client, pair)
    embedded = re.search(r'<template id="bench-log">(.*?)</template>', text, re.DOTALL)
    assert embedded is not None
    log = json.loads(html.unescape(embedded[1]))
    assert [one["deed"] for one in log] == ["count", "note"]
    assert log[1]["text"] == "</script>&<b>"


def test_there_is_a_file_for_each_sock_and_no_more(client: sites.Client, pair: Thing) -> None:
    assert client.get(f"{address(pair, 'second')}.html").status_code == 200
    assert client.get(f"{address(pair, 'third')}.html").status_code == 404
    assert client.get(f"{address(pair, 'third')}/log.csv").status_code == 404


# Modules put together


def test_modules_come_after_those_they_import_each_with_its_own_names() -> None:
    modules = {
        "a.js": 'import { two as deux, Three } from "./b.js";\nconst own = 1;\nrun(own, deux);\n',
        "b.js": 'import { own } from "./c.js";\nexport const two = own;\nexport class Three {}\n',
        "c.js": "/** Two.\n * @type {number} */\nexport const own = 2;\n"
        "export async function later() {}\n",
    }
    script = bundled(modules, "a.js")
    assert script.index("own = 2") < script.index("two = own") < script.index("run(own")
    assert "const { two: deux, Three } = m1;" in script
    assert "return { two, Three };" in script
    assert "return { own, later };" in script
    assert "@type" not in script


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        ('import b from "./b.js";', "import b from"),
        ('import * as b from "./b.js";', "import \\* as"),
        ("export default 3;", "export default"),
        ("export { one };", "export { one }"),
        ("export let moving = 1;", "export let"),
        ('import { b } from "./gone.js";', "gone.js, which is missing"),
        ('import { b } from "./a.js";', "imports itself"),
        ('const text = "</script>";', "would end a script"),
    ],
)
def test_what_is_not_understood_is_refused(source: str, reason: str) -> None:
    with pytest.raises(CannotBundle, match=reason):
        bundled({"a.js": source + "\n", "b.js": ""}, "a.js")


# The log, out and back


def test_the_log_goes_out_as_a_table_and_as_data(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    shop.add_to_bench_log(pair.id, "first", [entry(1, by=12), entry(2, "note", text="Öl, bitte")])
    table = client.get(f"{address(pair)}/log.csv")
    assert table.headers["content-type"] == "text/csv; charset=utf-8"
    rows = list(csv.DictReader(StringIO(table.text)))
    assert [(row["deed"], row["by"], row["text"]) for row in rows] == [
        ("count", "12", ""),
        ("note", "0", "Öl, bitte"),
    ]
    data = client.get(f"{address(pair)}/log.json").json()
    assert data["sock"] == pair.id
    assert [one["deed"] for one in data["entries"]] == ["count", "note"]
    served = client.get(f"/data{address(pair)}/log").json()["entries"]
    assert [one["id"] for one in served] == [one["id"] for one in data["entries"]]


@pytest.mark.parametrize(
    "text", ["=2+3", "+41 12", "-1 loop", "@winch", "  =A1", "\t=A1", "a=b", "'s"]
)
def test_no_note_is_a_formula_in_a_spreadsheet(
    client: sites.Client, shop: Workshop, pair: Thing, text: str
) -> None:
    shop.add_to_bench_log(pair.id, "first", [entry(1, by=-12), entry(2, "note", text=text)])
    count, note = csv.DictReader(StringIO(client.get(f"{address(pair)}/log.csv").text))
    formula = text.strip()[0] in "=+-@"
    assert (note["text"][0] == "'") == (formula or text[0] == "'")
    assert uncelled(note["text"]) == text
    # A number less than nothing is none.
    assert count["by"] == "-12"
    out = client.get(f"{address(pair)}/log.json").text
    assert json.loads(out)["entries"][1]["text"] == text
    assert bring(client, pair, out, "first").status_code == 303
    assert shop.bench_log(pair.id, "first")[1].text == text


def test_what_went_out_comes_back_the_same(
    client: sites.Client, shop: Workshop, pair: Thing, tmp_path: Path
) -> None:
    log = [entry(1, by=12), entry(2, "undo", of=str(UUID(int=1001))), entry(3, "place", at=40)]
    shop.add_to_bench_log(pair.id, "first", log)
    out = client.get(f"{address(pair)}/log.json").text
    before = shop.bench_log(pair.id, "first")
    answer = bring(client, pair, out)
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/socks/{pair.id}#machine"
    assert shop.bench_log(pair.id, "first") == before
    assert 'class="told"' in client.get(f"/socks/{pair.id}").text


def test_a_log_joins_what_was_counted_meanwhile(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    shop.add_to_bench_log(pair.id, "first", [entry(1), entry(2)])
    assert bring(client, pair, saved([entry(2), entry(3, by=4)], pair)).status_code == 303
    log = shop.bench_log(pair.id, "first")
    assert state_of(log, 500).done == 6
    assert "1 new entry" in client.get(f"/socks/{pair.id}").text


def test_a_file_does_as_well_as_its_text(client: sites.Client, shop: Workshop, pair: Thing) -> None:
    text = saved([entry(1, "note", text="naïve")], pair)
    for data in (text.encode(), text.encode("utf-8-sig")):
        answer = client.post(
            f"{address(pair)}/log.json",
            data={"text": ""},
            files={"file": ("first-log.json", data, "application/json")},
        )
        assert answer.status_code == 303, answer.text
    assert [one.deed for one in shop.bench_log(pair.id, "first")] == [Action.NOTE]


def test_a_bare_list_of_entries_is_a_log_too(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    assert bring(client, pair, json.dumps([entry(1)])).status_code == 303
    assert len(shop.bench_log(pair.id, "first")) == 1


def test_more_than_one_sending_holds_comes_in_whole(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    data = saved([entry(n) for n in range(1, 2502)], pair).encode()
    answer = client.post(
        f"{address(pair)}/log.json",
        files={"file": ("log.json", data, "application/json")},
    )
    assert answer.status_code == 303
    assert len(shop.bench_log(pair.id, "first")) == 2501


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "choose a file"),
        ("12 rounds of the leg", "is not a saved log"),
        ("[" * 50_000, "is not a saved log"),
        ('{"entries": 7}', "is not a log"),
        ('{"what": "sockwright workshop", "entries": []}', "is not a log"),
        ("7", "is not a log"),
    ],
)
def test_what_is_no_log_is_refused_and_kept(
    client: sites.Client, shop: Workshop, pair: Thing, text: str, told: str
) -> None:
    answer = bring(client, pair, text)
    assert answer.status_code == 422
    page = html.unescape(answer.text)
    assert told in page
    assert f">\n{text}</textarea>" in page
    assert 'href="#bench-first-text"' in page
    assert shop.bench_log(pair.id, "first") == ()


def test_a_log_goes_only_to_its_own_sock(client: sites.Client, shop: Workshop, pair: Thing) -> None:
    log = [entry(1)]
    other = saved(log, pair, sock=str(UUID(int=9)))
    newer = saved(log, pair, version=2)
    for text, told in (
        (saved(log, pair, "second"), "of the other sock"),
        (other, "of another pair"),
        (newer, "written by a newer Sockwright"),
    ):
        answer = bring(client, pair, text)
        assert answer.status_code == 422
        assert told in answer.text
        # The field says that it is the log; what is wrong does not say so again.
        assert "the log: " not in answer.text
    assert shop.bench_log(pair.id, "first") == ()


def test_wrong_entries_are_named_and_the_others_taken(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    wrong = [{**entry(n), "clock": 0} for n in range(2, 60)]
    answer = bring(client, pair, saved([entry(1), *wrong, entry(60, by=5)], pair))
    assert answer.status_code == 200
    text = html.unescape(answer.text)
    assert "2 new entries" in text
    assert "entries[2].clock" in text
    assert "and 38 more are wrong" in text
    assert 'aria-invalid="true"' in text
    assert [one.clock for one in shop.bench_log(pair.id, "first")] == [1, 60]


def test_a_log_of_nothing_but_wrong_entries_is_refused(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    assert bring(client, pair, saved([{**entry(1), "clock": 0}], pair)).status_code == 422
    assert shop.bench_log(pair.id, "first") == ()
    assert shop.thing(ItemKind.SOCK, pair.id).fields["status"] == "planned"


def test_a_forged_clock_in_a_log_is_left_out(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    log = [entry(1), entry(10**9), entry(2)]
    answer = bring(client, pair, saved(log, pair))
    assert "entries[2].clock" in html.unescape(answer.text)
    assert [one.clock for one in shop.bench_log(pair.id, "first")] == [1, 2]


def test_the_answer_to_a_device_tells_the_log_and_what_is_refused(
    client: sites.Client, shop: Workshop, pair: Thing
) -> None:
    log = f"/data{address(pair)}/log"
    bad = entry(2, "note", text="bell\a")
    mixed = client.post(log, json={"entries": [entry(1), bad, entry(3)]})
    assert mixed.status_code == 200
    assert [one["clock"] for one in mixed.json()["entries"]] == [1, 3]
    (refused,) = mixed.json()["refused"]
    assert (refused["number"], refused["id"]) == (2, bad["id"])
    assert refused["problems"][0]["path"] == "entries[2].text"
    assert "U+0007" in refused["problems"][0]["wrong"]
    # A page that knows nothing of single entries sends it again, and must not ask without pause.
    alone = client.post(log, json={"entries": [bad]})
    assert alone.status_code == 422
    assert [one["id"] for one in alone.json()["refused"]] == [bad["id"]]
    assert len(alone.json()["entries"]) == 2
    client.post("/settings", data={"language": "de"})
    german = client.post(log, json={"entries": [bad]}).json()
    assert german["refused"][0]["problems"][0]["wrong"] != refused["problems"][0]["wrong"]


def test_far_too_large_a_file_is_refused(client: sites.Client, pair: Thing) -> None:
    answer = client.post(
        f"{address(pair)}/log.json",
        files={"file": ("log.json", b" " * 950_000, "application/json")},
    )
    assert answer.status_code == 422
    assert "far too large" in answer.text
