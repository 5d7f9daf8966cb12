"""A file torn while the workshop is open: every page says so and what helps, and none fails."""

from __future__ import annotations

import logging
import random
import threading
from datetime import date
from pathlib import Path

import pytest

from browser.pages import PAGES, furnish
from served import PATIENCE_S
from sockwright.store.copies import copies_folder, copies_of
from sockwright.web.serving import copied_daily, copy_today
from tearing import tear, tear_page
from web import sites
from workshops import database_of

FEW, MANY = 2, 20
LISTS = ("/", "/yarns", "/socks", "/notes", "/gauge", "/deleted", "/plan")


def test_a_torn_file_is_told_with_the_command_that_helps(tmp_path: Path) -> None:
    with sites.workshop(tmp_path, example=True) as shop:
        client = sites.client(shop)
        database_of(shop).engine.dispose()
        for number in range(2, (tmp_path / "workshop.db").stat().st_size // 4096):
            tear_page(tmp_path / "workshop.db", number)
        for page in ("/", "/yarns", "/plan", "/socks"):
            answer = client.get(page)
            assert answer.status_code == 503
            assert "<pre>sockwright restore-workshop</pre>" in answer.text
            assert answer.text.count("sockwright restore-workshop") == 1
            data = client.get(f"/data{page}")
            assert data.status_code == 503
            assert "sockwright restore-workshop" in data.json()["detail"]
        answer = client.post("/yarns/new", data={"name": "grey"})
        assert answer.status_code in (422, 503)
        assert client.get("/settings").status_code == 200


def torn_while_open(folder: Path, seed: int, pages: tuple[str, ...]) -> None:
    """Tear a file under an open site and ask for pages: none fails, whatever was torn."""
    with sites.workshop(folder, example=True) as shop:
        ids, client, chance = furnish(shop), sites.client(shop), random.Random(seed)
        asked = [page.format(**ids) for page in pages]
        database_of(shop).engine.dispose()
        tear(folder / "workshop.db", chance, chance.choice((40, 400, 4_000)))
        for page in asked:
            for address in (page, f"/data{page}"):
                try:
                    status = client.get(address).status_code
                except Exception as fault:
                    raise AssertionError(f"seed {seed}: {address} failed") from fault
                assert status in (200, 303, 404, 409, 422, 503), f"seed {seed}: {address}"
        answer = client.post_form("/yarns/new", {"name": "grey", "fineness": "100 g / 360 m"})
        assert answer.status_code in (303, 409, 503)


@pytest.mark.parametrize("seed", range(FEW))
def test_no_page_fails_on_a_torn_file(tmp_path: Path, seed: int) -> None:
    torn_while_open(tmp_path, seed, LISTS)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(100, 100 + MANY))
def test_no_page_at_all_fails_on_a_torn_file(tmp_path: Path, seed: int) -> None:
    every = tuple(one.address for one in PAGES if one.status == 200 and not one.outside)
    chosen = random.Random(seed).sample(every, 12)
    torn_while_open(tmp_path, seed, (*LISTS, *chosen))


class Days:
    """Days that go on by one each time they are asked for, up to a last one; `asked` counts."""

    def __init__(self, last: int) -> None:
        self._day, self._last = 0, last
        self.reached = threading.Event()

    def __call__(self) -> date:
        if self._day == self._last:
            self.reached.set()
        self._day = min(self._day + 1, self._last)
        return date(2026, 11, self._day)


def test_a_copy_is_kept_at_opening_and_when_a_day_begins(tmp_path: Path) -> None:
    file, days = tmp_path / "workshop.db", Days(3)
    with sites.workshop(tmp_path, example=True):
        with copied_daily(file, days, looks_after_s=0.01):
            assert copies_of(file)[-1].stem == "2026-11-01"
            assert days.reached.wait(PATIENCE_S)
        assert [copy.stem[-2:] for copy in copies_of(file)] == ["03", "02", "01"]


def test_a_copy_that_fails_is_told_once_a_day(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    file, told = tmp_path / "workshop.db", set[date]()
    with sites.workshop(tmp_path, example=True):
        copies_folder(file).write_text("a file where the folder should be")
        with caplog.at_level(logging.WARNING, "sockwright.web"):
            for day in (1, 1, 2):
                copy_today(file, date(2026, 11, day), told)
        copies_folder(file).unlink()
    assert [record.exc_info for record in caplog.records] == [None, None]
    assert all(str(copies_folder(file)) in record.message for record in caplog.records)
