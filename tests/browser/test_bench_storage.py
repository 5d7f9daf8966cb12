"""What a device keeps of the logs: a full storage makes room, leaving takes away what is sent."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from browser.pages import FullSite
from browser.stage import DESKTOP, watched

LOG = "sockwright:bench:log"

STUB = """(most) => {
  // A storage with room for so many entries, and otherwise as the browser's.
  const kept = new Map();
  Object.defineProperty(window, "localStorage", { configurable: true, value: {
    get length() { return kept.size; },
    key: (place) => [...kept.keys()][place] ?? null,
    getItem: (key) => kept.get(key) ?? null,
    removeItem: (key) => kept.delete(key),
    setItem(key, text) {
      if (!kept.has(key) && kept.size >= most) throw new DOMException("full", "QuotaExceededError");
      kept.set(key, text);
    },
  } });
  return kept.size;
}"""
KEYS = """() => Array.from({ length: localStorage.length }, (_, place) => localStorage.key(place))
  .sort()"""
FILL = """(several) => { for (const [key, text] of several) localStorage.setItem(key, text); }"""
ADD = """async ([folder, sock, ids]) => {
  const { Keep } = await import(`${folder}/keep.js`);
  const keep = new Keep(sock, "first");
  const before = keep.lasts;
  for (const id of ids) keep.add({ id, clock: 1 });
  await keep.settled();
  const all = keep.all().map((one) => one.id).sort();
  return { before, lasts: keep.lasts, unkept: [...keep.unkept], all };
}"""
READ = """async ([folder, sock]) => {
  const { Keep } = await import(`${folder}/keep.js`);
  const keep = new Keep(sock, "first");
  await keep.settled();
  return keep.waiting().map((one) => one.id).sort();
}"""
NO_ROOM = """() => {
  // A disk so full that not even a database can be opened.
  IDBFactory.prototype.open = () => { throw new DOMException("full", "QuotaExceededError"); };
}"""
RECEIVE = """async ([folder, sock, ids]) => {
  const { Keep } = await import(`${folder}/keep.js`);
  const keep = new Keep(sock, "first");
  keep.receive(ids.map((id) => ({ id, clock: 1 })));
  await keep.settled();
  return { lasts: keep.lasts, waiting: keep.waiting().map((one) => one.id) };
}"""


@pytest.fixture
def stage(browser: Browser, full_site: FullSite) -> Iterator[tuple[Page, str]]:
    """A page of the site, and where the scripts of the bench lie."""
    with watched(browser, full_site.open, DESKTOP) as (context, _):
        page = context.new_page()
        page.goto("/settings")
        style = page.locator('link[rel="stylesheet"]').first.get_attribute("href")
        found = re.match(r"/static/\w+", style or "")
        assert found is not None
        yield page, f"{found[0]}/bench"


def entry(sock: str, id: str, sent: int) -> list[str]:
    """An entry as a device keeps it."""
    return [f"{LOG}:{sock}:first:{id}", f'[{sent},{{"id":"{id}","clock":1}}]']


def filled(page: Page, most: int) -> None:
    """A storage that is full: of one's own sock and another's, sent and not."""
    page.evaluate(STUB, most)
    several: list[Any] = [
        *(entry("other", f"s{n}", 1) for n in range(3)),
        entry("other", "waits", 0),
        entry("own", "here", 1),
        [f"{LOG}:other:first:torn", '[1,{"id'],
        ["sockwright:bench:settings", "{}"],
        ["of another program", "1"],
    ]
    assert len(several) == most
    page.evaluate(FILL, several)


def test_a_full_storage_lets_go_of_what_the_workshop_has(stage: tuple[Page, str]) -> None:
    page, folder = stage
    filled(page, 8)
    told = page.evaluate(ADD, [folder, "own", ["n1", "n2", "n3"]])
    assert told == {"before": True, "lasts": True, "unkept": [], "all": ["here", "n1", "n2", "n3"]}
    keys = page.evaluate(KEYS)
    assert keys == sorted(
        [
            *(f"{LOG}:own:first:{id}" for id in ("here", "n1", "n2", "n3")),
            f"{LOG}:other:first:waits",
            f"{LOG}:other:first:torn",
            "sockwright:bench:settings",
            "of another program",
        ]
    )


def test_what_finds_no_room_goes_to_the_deeper_place(stage: tuple[Page, str]) -> None:
    page, folder = stage
    filled(page, 8)
    told = page.evaluate(ADD, [folder, "own", ["n1", "n2", "n3", "n4", "n5"]])
    assert (told["lasts"], told["unkept"]) == (True, [])
    assert f"{LOG}:other:first:waits" in page.evaluate(KEYS)
    assert f"{LOG}:own:first:n4" not in page.evaluate(KEYS)
    assert page.evaluate(READ, [folder, "own"]) == ["n1", "n2", "n3", "n4", "n5"]


def test_what_is_not_sent_never_goes_and_a_loss_is_told(stage: tuple[Page, str]) -> None:
    page, folder = stage
    filled(page, 8)
    page.evaluate(NO_ROOM)
    told = page.evaluate(ADD, [folder, "own", ["n1", "n2", "n3", "n4"]])
    assert told["unkept"] == ["n4"]
    assert told["all"] == ["here", "n1", "n2", "n3", "n4"]
    assert f"{LOG}:other:first:waits" in page.evaluate(KEYS)


def test_a_full_storage_is_still_read(stage: tuple[Page, str]) -> None:
    page, folder = stage
    page.evaluate(STUB, 2)
    page.evaluate(FILL, [entry("own", "waits", 0), entry("own", "too", 0)])
    page.evaluate(NO_ROOM)
    told = page.evaluate(ADD, [folder, "own", []])
    assert told == {"before": False, "lasts": False, "unkept": [], "all": ["too", "waits"]}


def test_what_the_workshop_has_needs_no_room(stage: tuple[Page, str]) -> None:
    page, folder = stage
    page.evaluate(STUB, 2)
    page.evaluate(FILL, [entry("own", "waits", 0)])
    told = page.evaluate(RECEIVE, [folder, "own", ["a", "b", "c"]])
    assert told == {"lasts": True, "waiting": ["waits"]}
