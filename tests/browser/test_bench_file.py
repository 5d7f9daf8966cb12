"""A bench carried away as one file: it counts from a folder, alone, and its log comes back."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, expect

from browser import benches
from browser.benches import begins_with, boot_socks, is_kept, state, walked
from browser.conftest import Lasting, Visit
from browser.stage import ARGUMENTS, DESKTOP, PHONE, SHORT_OF_TIME_MS, Devices
from browsers import find_browser
from sockwright.bench.log import FIRST
from sockwright.store.items import ItemKind
from sockwright.workshop import Problems, Refused
from sockwright.workshop.workshop import Workshop
from workshop.test_bench import entry, rounds_of_leg


@pytest.fixture(scope="module")
def file(devices: Devices, lasting: Lasting, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bench of the first sock, saved by the link on the page of the pair."""
    with devices.lent(lasting.address, DESKTOP) as (_, _, page):
        page.goto(f"/socks/{boot_socks(lasting.shop)}")
        part = page.locator("section.at-machine").first
        part.locator("summary").click()
        with page.expect_download() as download:
            part.locator("a[href$='/bench/first.html']").click()
        assert download.value.suggested_filename.endswith("-first-bench.html")
        kept = tmp_path_factory.mktemp("carried") / download.value.suggested_filename
        download.value.save_as(kept)
    return kept


@pytest.fixture
def alone(browser: Browser, file: Path) -> Iterator[Page]:
    """A telephone without a network that has the file; whatever it asks for beside it is noted."""
    yield from watched_alone(browser.new_context(offline=True, **PHONE), file)


@pytest.fixture
def lasting_alone(browser: Browser, file: Path, tmp_path: Path) -> Iterator[Page]:
    """The same with a profile on its disk, as people have: without one the browser keeps a page's
    texts only as long as a page of it is open, and between two openings none is."""
    started = browser.browser_type.launch_persistent_context(
        tmp_path / "profile",
        executable_path=find_browser(),
        args=list(ARGUMENTS),
        offline=True,
        **PHONE,
    )
    yield from watched_alone(started, file)


def watched_alone(context: BrowserContext, file: Path) -> Iterator[Page]:
    context.set_default_timeout(SHORT_OF_TIME_MS)
    wrong: list[str] = []

    def asked(request: Request) -> None:
        own = request.url.partition("#")[0] == file.as_uri()
        if not own and not request.url.startswith(("data:font/", "blob:")):
            wrong.append(f"asked for {request.url}")

    context.on("request", asked)
    context.on("weberror", lambda error: wrong.append(str(error.error)))
    context.on("console", lambda line: wrong.append(line.text) if line.type == "error" else None)
    page = context.new_page()
    begins_with(page)
    opened(page, file)
    yield page
    context.close()
    assert wrong == []


def opened(page: Page, file: Path) -> None:
    page.goto(file.as_uri())
    expect(page.locator("html")).to_have_class("ready")


def counted(page: Page) -> None:
    """Count to some place, with a step back, a note and two rounds more."""
    for _ in range(4):
        page.keyboard.press("Space")
    benches.counted(page, 10, " ")
    page.keyboard.press("Backspace")
    page.get_by_role("button", name="Menu").click()
    page.get_by_role("button", name="Note", exact=True).click()
    page.get_by_label("What happened").fill("Weight hung lower: “two notches”.")
    page.locator("#note-form button").click()
    page.locator("#one").tap()


def test_the_log_of_a_carried_bench_comes_back_by_its_file(
    alone: Page, visit: Visit, shop: Workshop, pair: str, tmp_path: Path
) -> None:
    counted(alone)
    alone.get_by_role("button", name="save log").click()
    with alone.expect_download() as download:
        alone.get_by_role("button", name="Save the log").click()
    assert download.value.suggested_filename.endswith("-first-log.json")
    log = tmp_path / "log.json"
    download.value.save_as(log)
    saved = json.loads(log.read_text("utf-8"))
    assert (saved["sock"], saved["which"]) == (pair, FIRST)

    page = visit().page
    page.goto(f"/socks/{pair}")
    page.locator("section.at-machine summary").first.click()
    page.get_by_label("A saved log").first.set_input_files(log)
    page.get_by_role("button", name="Import log").first.click()
    expect(page.get_by_role("status")).to_contain_text("new entries")
    back = state(shop, pair)
    assert back.done == 14
    assert [one.text for one in back.said] == ["Weight hung lower: “two notches”."]
    assert len(back.undoable) == len(saved["entries"]) - 3


def test_its_text_does_where_nothing_can_be_saved(
    alone: Page, visit: Visit, shop: Workshop, pair: str
) -> None:
    counted(alone)
    alone.get_by_role("button", name="save log").click()
    alone.locator("#state summary").click()
    alone.get_by_role("button", name="Copy the text").click()
    text = alone.locator("#log-text").input_value()
    assert alone.evaluate("getSelection().toString()") == text

    page = visit().page
    page.goto(f"/socks/{pair}")
    page.locator("section.at-machine summary").first.click()
    page.get_by_label("or its text").first.fill(text)
    page.get_by_role("button", name="Import log").first.click()
    expect(page.get_by_role("status")).to_contain_text("new entries")
    assert state(shop, pair).done == 14


def test_it_opens_where_it_was(lasting_alone: Page, file: Path) -> None:
    counted(lasting_alone)
    where = lasting_alone.locator("#where").inner_text()
    opened(lasting_alone, file)
    expect(lasting_alone.locator("#where")).to_have_text(where)
    expect(lasting_alone.locator("#kept")).to_have_text("save log")
    assert lasting_alone.locator(".b-back, #state-send").count() == 0


def test_counted_here_and_there_nothing_is_lost(
    alone: Page, visit: Visit, shop: Workshop, pair: str
) -> None:
    """Two rounds in the workshop while the file is away: both count."""
    counted(alone)
    alone.get_by_role("button", name="save log").click()
    text = alone.locator("#log-text").input_value()
    page = visit().page
    benches.opened(page, pair)
    page.keyboard.press("Space")
    page.keyboard.press("Space")
    is_kept(page)
    page.goto(f"/socks/{pair}")
    page.locator("section.at-machine summary").first.click()
    page.get_by_label("or its text").first.fill(text)
    page.get_by_role("button", name="Import log").first.click()
    expect(page.get_by_role("status")).to_contain_text("new entries")
    assert state(shop, pair).done == 16


def test_a_second_sock_carried_away_before_the_first_was_changed_is_done(
    browser: Browser, visit: Visit, shop: Workshop, pair: str, tmp_path: Path
) -> None:
    page = visit().page
    file = tmp_path / "second.html"
    file.write_bytes(page.request.get(f"/socks/{pair}/bench/second.html").body())
    leg = rounds_of_leg(shop, shop.thing(ItemKind.SOCK, pair))
    shop.add_to_bench_log(pair, FIRST, [entry(1, by=30), entry(2, "extra", by=2, at=leg)])
    context = browser.new_context(offline=True, **PHONE)
    alone = context.new_page()
    begins_with(alone)
    opened(alone, file)
    walked(alone)
    alone.get_by_role("button", name="save log").click()
    text = alone.locator("#log-text").input_value()
    context.close()

    page.goto(f"/socks/{pair}")
    second = page.locator("section.at-machine").nth(1)
    second.locator("summary").click()
    second.get_by_label("or its text").fill(text)
    second.get_by_role("button", name="Import log").click()
    expect(page.get_by_role("status")).to_contain_text("new entries")
    expect(second).to_contain_text("Off the machine")
    expect(second).to_contain_text("Knitted as planned, not following the first sock")
    expect(second).to_contain_text("Leg: 2 rounds fewer")
    expect(second).not_to_contain_text("round by round")
    found = shop.socks_at_bench(pair)
    assert not isinstance(found, Problems | Refused)
    assert found[1].record.done
    assert found[1].more == {}
