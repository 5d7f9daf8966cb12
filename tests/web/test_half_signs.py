"""What no text, number or moment is: refused with what is wrong, never a fault of the program."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

import workshops
from amounts import amount
from browser.pages import furnish
from sockwright.store.items import ItemKind
from sockwright.web.access.guard import MOST_FORM_BYTES
from sockwright.workshop import Problems, Workshop
from sockwright.workshop.backup import checksum, read_whole
from web.sites import Client, client, workshop
from workshops import kept, note

HALF = "\ud800"
"""Half a character, which no file can hold."""

ENTRY = {
    "id": "0f8fad5b-d9cb-469f-a165-70867728950e",
    "clock": 1,
    "device": "7c9e6679-7425-40de-944b-e07fc1f90ae7",
    "time": "2025-11-03T19:20:00.000Z",
    "deed": "count",
    "by": 1,
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """A workshop with something of every kind."""
    with workshop(tmp_path_factory.mktemp("half"), example=True) as one:
        furnish(one)
        yield one


@pytest.fixture(scope="module")
def visitor(shop: Workshop) -> Client:
    """A browser of it."""
    return client(shop)


@pytest.fixture(scope="module")
def log(shop: Workshop) -> str:
    """The address of a pair's log as data."""
    return f"/data/socks/{shop.things(ItemKind.SOCK)[0].id}/bench/first/log"


# Moments


@pytest.mark.parametrize(
    "time",
    [
        f"2025-11-03{HALF}19:20:00",
        "2025-11-03\x0019:20:00",
        "2025-11-03\n19:20:00",
        "2025-11-03é19:20:00",
        "2025-11-03 19:20:00.000000+00:00:00.000000",
        f"2025-11-03 19:20{' ' * 5000}",
    ],
    ids=ascii,
)
def test_a_moment_is_written_in_plain_signs(shop: Workshop, time: str) -> None:
    pair = next(one for one in shop.things(ItemKind.SOCK) if one.fields["status"] == "being made")
    answer = shop.log_sock(pair.id, pair.version, {"time": time})
    assert isinstance(answer, Problems)
    assert [one.path for one in answer.problems] == ["time"]


@pytest.mark.parametrize(
    "time", ["2025-11-03", "2025-11-03 19:20", "2025-11-03T19:20:00.123456+01:00"]
)
def test_other_moments_stay_as_they_were_typed(shop: Workshop, time: str) -> None:
    pair = next(one for one in shop.things(ItemKind.SOCK) if one.fields["status"] == "being made")
    answer = shop.log_sock(pair.id, pair.version, {"time": time})
    assert not isinstance(answer, Problems)
    assert answer.fields["log"][-1]["time"] == time


# Logs from devices


def posted(visitor: Client, log: str, body: str | bytes | Iterator[bytes]) -> Any:
    return visitor.post(log, content=body, headers={"content-type": "application/json"})


@pytest.mark.parametrize(
    "value",
    [
        f'"{ascii(HALF)[1:-1]}"',
        '"\\u0000"',
        "1e999",
        "NaN",
        "9" * 400,
        "9" * 5000,
        "[]",
        "{}",
        "null",
    ],
)
def test_an_entry_that_cannot_be_is_refused(visitor: Client, log: str, value: str) -> None:
    for name in (*ENTRY, "of", "at", "text", "else", HALF):
        given = {key: json.dumps(one) for key, one in ENTRY.items()}
        given[name] = value
        fields = ",".join(f"{json.dumps(key)}:{one}" for key, one in given.items())
        answer = posted(visitor, log, f'{{"entries":[{{{fields}}}]}}')
        assert answer.status_code in (400, 422), (name, answer.text)
        assert set(answer.json()) >= {"error", "detail", "problems"}, name


@pytest.mark.parametrize(
    "body",
    [
        '{"entries": "\\ud800"}',
        '{"\\ud800": 1}',
        '"\\ud800"',
        "[" * 50_000,
        '{"entries":' * 9000,
        "\ufeff{}",
        "",
    ],
    ids=range(7),
)
def test_a_body_that_is_no_list_of_entries_is_refused(visitor: Client, log: str, body: str) -> None:
    answer = posted(visitor, log, body.encode())
    assert answer.status_code in (400, 422)
    assert "detail" in answer.json()


def test_a_body_in_pieces_that_grows_too_large_is_told_so(visitor: Client, log: str) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(MOST_FORM_BYTES // 100_000 + 2):
            yield b" " * 100_000

    answer = posted(visitor, log, pieces())
    assert answer.status_code == 413
    assert answer.json()["error"] == "That is too large"


# Forms


def part(name: str, text: bytes) -> bytes:
    return b'--x\r\nContent-Disposition: form-data; name="%b"\r\n\r\n%b\r\n' % (name.encode(), text)


@pytest.mark.parametrize(
    "charset",
    [
        "unicode_escape",
        "utf-7",
        "raw-unicode-escape",
        "utf-16",
        "punycode",
        "hex",
        "latin-1",
        "no such",
    ],
)
def test_a_form_in_other_signs_than_ours_is_refused(
    visitor: Client, shop: Workshop, charset: str
) -> None:
    before = len(shop.things(ItemKind.YARN))
    body = part("name", b"\\ud800+2AA-") + part("fineness", b"100 g / 360 m")
    headers = {"content-type": f'multipart/form-data; boundary=x; charset="{charset}"'}
    answer = visitor.post("/yarns/new", content=body + b"--x--\r\n", headers=headers)
    assert answer.status_code == 400
    assert "UTF-8" in answer.text
    assert len(shop.things(ItemKind.YARN)) == before


@pytest.mark.parametrize("charset", ["", "; charset=utf-8", "; charset=UTF8"])
def test_a_form_in_ours_is_taken(visitor: Client, charset: str) -> None:
    body = part("name", "gruen, ü 🧦".encode()) + part("fineness", b"100 g / 360 m")
    headers = {"content-type": f"multipart/form-data; boundary=x{charset}"}
    answer = visitor.post("/yarns/new", content=body + b"--x--\r\n", headers=headers)
    assert answer.status_code == 303


# Whole workshops


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """A workshop with one thing of every kind, changed once, and a log."""
    with workshop(tmp_path_factory.mktemp("small")) as one:
        pair = kept(one.plan_sock(workshops.furnish(one)))
        note(one, pair, "On the machine.")
        pair = kept(one.start_sock(pair.id, pair.version))
        happened = {"time": "2025-11-03", "rounds": 12, "note": "Ribber set."}
        pair = kept(one.log_sock(pair.id, pair.version, happened))
        assert not isinstance(one.add_to_bench_log(pair.id, "first", [ENTRY]), Problems)
        measured = {"state": "washed", "foot": "24 cm"}
        kept(one.finish_sock(pair.id, pair.version, {"main": "80 g"}, measured))
        yield one


@pytest.fixture(scope="module")
def whole(small: Workshop) -> dict[str, Any]:
    """Its file, parsed."""
    document = json.loads(small.export_all())
    assert isinstance(document, dict)
    return document


def sealed(document: dict[str, Any]) -> bytes:
    """The file again, its checksums right."""
    lists = document["checksums"]
    document["checksums"] = {name: checksum(document[name]) for name in lists}
    return json.dumps(document).encode()


@pytest.mark.parametrize("number", ["1e999", "-1e999", "NaN", "Infinity"])
def test_a_number_without_end_is_no_json(whole: dict[str, Any], number: str) -> None:
    text = json.dumps(whole)
    for data in (
        text.replace('"version": 1', f'"version": {number}', 1),
        text[:-1] + f', "more": {number}}}',
    ):
        answer = read_whole(data.encode())
        assert isinstance(answer, Problems)
        assert "is not JSON" in str(answer)


def places(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every value of a document."""
    yield way
    inner = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for key, one in inner:
        yield from places(one, (*way, key))


def kinds_of_places(document: dict[str, Any]) -> list[tuple[Any, ...]]:
    """One place of each kind: those that differ by their numbers alone are alike."""
    found: dict[tuple[Any, ...], tuple[Any, ...]] = {}
    for way in places(document):
        if len(way) > 2 and way[0] != "checksums":
            found.setdefault(tuple("n" if isinstance(key, int) else key for key in way), way)
    return list(found.values())


WRONG = [HALF, "\0", "a" * 100_000, 10**30, -1, 1e308, True, None, [], {}, [HALF], {HALF: 1}]


@pytest.mark.parametrize("which", range(len(WRONG)))
def test_whatever_stands_in_a_file_is_taken_or_refused(
    small: Workshop, whole: dict[str, Any], which: int
) -> None:
    """Any one value of a workshop's file replaced: all is taken, or nothing, with what is wrong.

    As a rule every place has a third of what may be wrong, and its neighbours the others.
    """
    refused, apart = 0, amount(3, 1)
    for way in kinds_of_places(whole)[which % apart :: apart]:
        document = deepcopy(whole)
        here: Any = document
        for key in way[:-1]:
            here = here[key]
        here[way[-1]] = WRONG[which]
        refused += isinstance(small.import_all(sealed(document)), Problems)
    assert refused > 20
