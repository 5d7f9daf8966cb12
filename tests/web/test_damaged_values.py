"""Any stored value spoiled: no page fails, what is sound is shown, and writes elsewhere are kept."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from browser.pages import KEEPS, PAGES, furnish
from sockwright.bench.log import WHICH
from sockwright.store.things import Kind
from sockwright.workshop.workshop import Workshop
from web import sites
from web.damaging import Spoiled, places, spoil
from workshops import kept, note

FEW, MANY = 12, 250
LISTS = ("/", "/socks", "/deleted", *(f"/{folder}" for folder in KEEPS))
"""Pages that show things of which one may be damaged."""

PLACES_OF_THINGS = {
    "person": "people",
    "yarn": "yarns",
    "machine": "machines",
    "swatch": "swatches",
    "design": "designs",
    "sock": "socks",
    "note": "notes",
}
MAY_ANSWER = (200, 303, 404, 409, 422)
NEW = {"name": "kept all the same", "fineness": "100 g / 360 m"}


@dataclass
class Full:
    """The file of a workshop that has something of everything, and the addresses of its pages."""

    file: Path
    pages: tuple[str, ...]


def counted(shop: Workshop, pair: str) -> None:
    """Entries of both logs of a pair."""
    for n, which in enumerate(WHICH):
        entries = [
            {
                "id": f"0b7e6a52-3a0c-4a57-8f55-0c1c1d7f{n}a{k:02}",
                "clock": k,
                "device": "0b7e6a52-3a0c-4a57-8f55-0c1c1d7f1d01",
                "time": "2025-11-03T19:20:00.000Z",
                "deed": "note" if k == 3 else "count",
                "by": 0 if k == 3 else 2,
                "text": "a splice" if k == 3 else "",
            }
            for k in range(1, 4)
        ]
        assert isinstance(shop.add_to_bench_log(pair, which, entries), tuple)


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Full:
    """The example, furnished, with things that were changed, and logs."""
    folder = tmp_path_factory.mktemp("full")
    file = folder / "full.db"
    with sites.opened(file) as shop:
        shop.add_example()
        ids = furnish(shop)
        for kind in (Kind.YARN, Kind.PERSON, Kind.MACHINE, Kind.DESIGN, Kind.SWATCH):
            thing = shop.thing(kind, ids[str(kind)])
            kept(shop.change(kind, thing.id, thing.version, thing.document))
        note(shop, shop.thing(Kind.YARN, ids["yarn"]), "Dyed twice.")
        counted(shop, ids["begun"])
    every = [one.address.format(**ids) for one in PAGES if one.status == 200 and not one.outside]
    files = ("order.toml", "bench/first/log.csv", "bench/first/log.json")
    own = [f"/socks/{ids['begun']}/{name}" for name in files]
    return Full(file, (*every, *own, "/exchange/workshop.json"))


def spoiled(
    full: Full, folder: Path, chance: random.Random, place: tuple[str, str, int]
) -> Spoiled:
    """A copy of the full workshop with one value spoiled."""
    shutil.copy(full.file, folder / "workshop.db")
    return spoil(folder / "workshop.db", chance, place)


def rows(file: Path) -> dict[str, set[str]]:
    """Every row as it is stored, by table."""
    connection = sqlite3.connect(file)
    connection.text_factory = bytes
    tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master")]
    found = {
        table.decode(): {repr(row) for row in connection.execute(f"SELECT * FROM {table.decode()}")}
        for table in tables
        if connection.execute(
            "SELECT type FROM sqlite_master WHERE name = ?", (table.decode(),)
        ).fetchone()
        == (b"table",)
    }
    connection.close()
    return found


def own_pages(file: Path, what: Spoiled) -> list[str]:
    """The page of the thing that was spoiled, under the id that is stored now."""
    if what.table not in PLACES_OF_THINGS:
        return []
    connection = sqlite3.connect(file)
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    query = f"SELECT id FROM {what.table} WHERE rowid = {what.rowid}"
    (id,) = connection.execute(query).fetchone()
    connection.close()
    return [f"/{PLACES_OF_THINGS[what.table]}/{id}"] if isinstance(id, str) and id else []


def assert_all_answer(file: Path, what: Spoiled, pages: tuple[str, ...]) -> None:
    """No page fails, and none loses a row; what is written elsewhere is there."""
    before = rows(file)
    with sites.opened(file) as shop:
        client = sites.client(shop)
        for page in (*pages, *own_pages(file, what)):
            if not page.isprintable():
                continue
            for address in (page, f"/data{page}"):
                try:
                    answer = client.get(address)
                except Exception as fault:
                    raise AssertionError(f"{what}: {address} failed") from fault
                assert answer.status_code in MAY_ANSWER, f"{what}: {address}: {answer.text[:500]}"
        for page in LISTS:
            assert client.get(page).status_code == 200, f"{what}: {page}"
        answer = client.post_form("/yarns/new", NEW)
        assert answer.status_code == 303, f"{what}: {answer.text[:500]}"
        assert client.get(answer.headers["location"]).status_code == 200
    after = rows(file)
    assert all(before[table] <= after[table] for table in before), str(what)
    assert len(after["yarn"]) == len(before["yarn"]) + 1


def every_column(file: Path, chance: random.Random) -> Iterator[tuple[str, str, int]]:
    """A row of every column of every table, in any order."""
    by_column: dict[tuple[str, str], list[int]] = {}
    for table, column, row in places(file):
        by_column.setdefault((table, column), []).append(row)
    columns = list(by_column)
    chance.shuffle(columns)
    for table, column in columns:
        yield table, column, chance.choice(by_column[table, column])


@pytest.mark.parametrize("seed", range(FEW))
def test_a_spoiled_value_fails_no_page(full: Full, tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    for _, place in zip(range(2), every_column(full.file, chance), strict=False):
        what = spoiled(full, tmp_path, chance, place)
        assert_all_answer(tmp_path / "workshop.db", what, LISTS)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(1000, 1000 + MANY))
def test_many_spoiled_values_fail_no_page(full: Full, tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    for _, place in zip(range(6), every_column(full.file, chance), strict=False):
        what = spoiled(full, tmp_path, chance, place)
        pages = (*LISTS, *chance.sample(full.pages, 6))
        assert_all_answer(tmp_path / "workshop.db", what, pages)
