"""Any stored value spoiled: no page fails, what is sound is shown, writes elsewhere are kept."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

import pytest

from browser.pages import KEEPS, PAGES, furnish
from sockwright.bench.log import WHICH
from sockwright.store.database import open_database, sqlite_url
from sockwright.store.items import ItemKind
from sockwright.workshop.bench import Added
from sockwright.workshop.workshop import Workshop
from web import sites
from web.damaging import JUNK, Spoiled, places, spoil
from workshops import database_of, kept, note

FEW, MANY, AT_ONCE = 5, 12, 25
"""Values spoiled in the usual run; and in the long one so many times AT_ONCE."""

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
    """A workshop that has something of everything, open at `file`, and its pages' addresses.

    `whole` is the file as it was before anything was spoiled.
    """

    whole: Path
    file: Path
    shop: Workshop
    client: sites.Client
    pages: tuple[str, ...]

    def spoiled(self, chance: random.Random, place: tuple[str, str, int], *junk: object) -> Spoiled:
        """Make it whole again, then spoil one value of it, by `junk` if that is given."""
        database_of(self.shop).engine.dispose()
        for beside in ("-wal", "-shm"):
            Path(f"{self.file}{beside}").unlink(missing_ok=True)
        shutil.copy(self.whole, self.file)
        return spoil(self.file, chance, place, junk or JUNK)


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
        added = shop.add_to_bench_log(pair, which, entries)
        assert isinstance(added, Added)
        assert added.taken == len(entries)


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Full]:
    """The example, furnished, with things that were changed, and logs."""
    folder = tmp_path_factory.mktemp("full")
    whole, file = folder / "whole.db", folder / "open.db"
    with sites.opened(whole) as shop:
        shop.add_example()
        ids = furnish(shop)
        for kind in (
            ItemKind.YARN,
            ItemKind.PERSON,
            ItemKind.MACHINE,
            ItemKind.DESIGN,
            ItemKind.SWATCH,
        ):
            thing = shop.thing(kind, ids[str(kind)])
            kept(shop.change(kind, thing.id, thing.version, thing.document))
        note(shop, shop.thing(ItemKind.YARN, ids["yarn"]), "Dyed twice.")
        counted(shop, ids["begun"])
    every = [one.address.format(**ids) for one in PAGES if one.status == 200 and not one.outside]
    files = ("order.toml", "bench/first/log.csv", "bench/first/log.json")
    own = [f"/socks/{ids['begun']}/{name}" for name in files]
    shutil.copy(whole, file)
    with sites.opened(file) as shop:
        yield Full(whole, file, shop, sites.client(shop), (*every, *own, "/exchange/workshop.json"))


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


def assert_all_answer(full: Full, what: Spoiled, pages: tuple[str, ...]) -> None:
    """It opens, no page fails, and none loses a row; what is written elsewhere is there."""
    before, client = rows(full.file), full.client
    open_database(sqlite_url(full.file)).close()
    for page in (*pages, *filter(str.isprintable, own_pages(full.file, what))):
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
    after = rows(full.file)
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


def test_a_spoiled_value_fails_no_page(full: Full) -> None:
    chance = random.Random(9)
    for place in islice(every_column(full.whole, chance), FEW):
        assert_all_answer(full, full.spoiled(chance, place), LISTS)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(1000, 1000 + MANY))
def test_many_spoiled_values_fail_no_page(full: Full, seed: int) -> None:
    chance = random.Random(seed)
    for place in islice(every_column(full.whole, chance), AT_ONCE):
        what = full.spoiled(chance, place)
        assert_all_answer(full, what, (*LISTS, *chance.sample(full.pages, 4)))


def test_no_column_may_be_empty_without_its_thing_being_named(full: Full) -> None:
    chance = random.Random(3)
    for column in ("document", "version", "created", "example", "used_up"):
        what = full.spoiled(chance, ("yarn", column, 1), None)
        (id,) = (one.rpartition("/")[2] for one in own_pages(full.file, what))
        listed = full.client.get("/data/yarns")
        assert listed.status_code == 200, str(what)
        assert [one["id"] for one in listed.json()["damaged"]] == [id], str(what)


def damaged_grey(full: Full, document: str) -> str:
    """Spoil the document of the station's grey wool, changed once before; its id."""
    full.spoiled(random.Random(1), ("note", "name", 1))
    connection = sqlite3.connect(full.file)
    (id,) = connection.execute("SELECT id FROM yarn WHERE version = 2 AND example = 0").fetchone()
    connection.execute("UPDATE yarn SET document = ? WHERE id = ?", (document, id))
    connection.commit()
    connection.close()
    return str(id)


@pytest.mark.parametrize("document", ["{", '{"name": ["grey"]}', "[]"])
def test_a_damaged_thing_is_named_and_comes_back_as_it_was(full: Full, document: str) -> None:
    client, id = full.client, damaged_grey(full, document)
    told = client.get(f"/data/yarns/{id}")
    assert told.status_code == 409
    assert told.json()["problems"]
    assert id in told.json()["detail"]
    listed = client.get("/data/yarns").json()
    assert [one["id"] for one in listed["damaged"]] == [id]
    assert len(listed["things"]) > 1
    page = client.get(f"/yarns/{id}")
    assert page.status_code == 409
    assert "sockwright restore-workshop" in page.text
    back = f"/damaged/yarn/{id}/back/1"
    assert back in page.text

    seen = {"seen": "2", "name": "grey", "fineness": "100 g / 360 m"}
    assert client.post_form(f"/yarns/{id}", seen).status_code == 409
    assert client.post_form(f"/yarns/{id}/delete", {"seen": "2"}).status_code == 409
    assert client.get("/exchange/workshop.json").status_code == 409

    assert client.post_form("/damaged/yarn/" + id + "/back/7").status_code == 409
    assert client.post_form(back).status_code == 303
    whole = client.get(f"/data/yarns/{id}").json()
    assert whole["version"] == 3
    assert whole["document"] == whole["earlier"][0]["document"]
    assert client.get("/data/yarns").json()["damaged"] == []
    assert client.post_form(back).headers["location"] == f"/yarns/{id}"


def test_a_pair_of_damaged_parts_keeps_its_plan_and_its_counts(full: Full) -> None:
    damaged_grey(full, "{")
    shop, client = full.shop, full.client
    for pair in shop.things(ItemKind.SOCK)[:1]:
        assert client.get(f"/socks/{pair.id}").status_code == 200
        assert client.get(f"/data/socks/{pair.id}/bench/first/log").status_code == 200
        assert client.get(f"/socks/{pair.id}/order.toml").status_code == 200


def test_a_damaged_entry_of_a_log_is_told_and_left_out(full: Full) -> None:
    full.spoiled(random.Random(1), ("note", "name", 1))
    connection = sqlite3.connect(full.file)
    connection.execute("PRAGMA ignore_check_constraints = ON")
    query = "SELECT id, sock_id FROM bench_entry WHERE which = 'first' AND clock = 2"
    id, pair = connection.execute(query).fetchone()
    connection.execute("UPDATE bench_entry SET deed = 'knot' WHERE id = ?", (id,))
    connection.commit()
    connection.close()
    log = full.client.get(f"/data/socks/{pair}/bench/first/log").json()["entries"]
    assert [one["clock"] for one in log] == [1, 3]
    assert full.client.get(f"/data/socks/{pair}").json()["damaged_entries"] == [id]
    assert id in full.client.get(f"/socks/{pair}").text
