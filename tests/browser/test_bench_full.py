"""A device without room, and a note that cannot be kept: no count is lost unsaid or held back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser.benches import arrived, is_kept, kept_offline, opened, shown, state
from browser.conftest import Visit
from sockwright.bench.log import FIRST
from sockwright.workshop.workshop import Workshop

FILL = """() => {
  // Every sign that the storage of texts has room for.
  for (let size = 1 << 22; size >= 1; size >>= 1) {
    for (let n = 0; ; n += 1) {
      try {
        localStorage.setItem(`filled:${size}:${n}`, "x".repeat(size));
      } catch {
        break;
      }
    }
  }
}"""
STORE_IS_FULL = """() => {
  IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
}"""
COUNTS = 10


@pytest.fixture
def page(visit: Visit, pair: str) -> Page:
    """A bench that opens without the workshop, its network gone and its first store full."""
    page = visit(worker=True).page
    opened(page, pair)
    kept_offline(page)
    page.evaluate(FILL)
    page.context.set_offline(True)
    expect(page.locator("#kept")).to_have_text("no network")
    return page


def counted(page: Page, times: int = COUNTS) -> None:
    for _ in range(times):
        page.keyboard.press("PageDown")


def test_a_full_store_of_texts_loses_no_count_on_reload(
    page: Page, shop: Workshop, pair: str
) -> None:
    counted(page)
    expect(page.locator("#kept")).to_have_text("no network")
    expect(page.locator("#unkept")).to_be_hidden()
    stands = shown(page)
    page.reload()
    page.wait_for_function(
        "text => document.getElementById('where').textContent === text", arg=stands["where"]
    )
    assert shown(page) == stands
    page.context.set_offline(False)
    arrived(lambda: state(shop, pair).done == COUNTS, page)


def test_a_device_without_any_room_says_so_at_once_and_gives_the_log(
    page: Page, shop: Workshop, pair: str, tmp_path: Path
) -> None:
    page.evaluate(STORE_IS_FULL)
    counted(page)
    banner = page.locator("#unkept")
    expect(banner).to_be_visible()
    expect(banner).to_contain_text(str(COUNTS))
    expect(page.locator("#kept")).to_have_text("not saved")
    size = float(banner.locator("p").evaluate("one => parseFloat(getComputedStyle(one).fontSize)"))
    assert size >= 20
    with page.expect_download() as download:
        banner.get_by_role("button").click()
    file = tmp_path / "log.json"
    download.value.save_as(file)
    entries = json.loads(file.read_text(encoding="utf-8"))["entries"]
    assert [one["deed"] for one in entries] == ["count"] * COUNTS
    # The workshop is reached again: nothing stands in this window alone any more.
    page.context.set_offline(False)
    arrived(lambda: state(shop, pair).done == COUNTS, page)
    expect(banner).to_be_hidden()
    expect(page.locator("#kept")).to_have_text("saved")


def test_pages_that_can_be_had_again_make_room_for_counts(page: Page) -> None:
    """The first write finds no room, until what the worker keeps of other socks is gone."""
    page.evaluate("""async () => {
      const store = await caches.open("sockwright-bench");
      await store.put("/socks/another/bench/first", new Response("x".repeat(100000)));
      const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...given) {
        if (!window.room) throw new DOMException("full", "QuotaExceededError");
        return put.apply(this, given);
      };
      const gone = Cache.prototype.delete;
      Cache.prototype.delete = function (one) {
        window.room = true;
        return gone.call(this, one);
      };
    }""")
    counted(page, 1)
    expect(page.locator("#kept")).to_have_text("no network")
    expect(page.locator("#unkept")).to_be_hidden()
    paths = page.evaluate("""async () => {
      const store = await caches.open("sockwright-bench");
      return (await store.keys()).map((one) => new URL(one.url).pathname);
    }""")
    assert "/socks/another/bench/first" not in paths
    assert any(one.endswith("/bench/first") for one in paths)


# What the workshop does not take


def noted(page: Page, text: str) -> None:
    """Write a note with signs that no keyboard has: some programs paste them."""
    page.locator("header [data-open=menu]").click()
    page.locator("#menu [data-open=note]").click()
    page.locator("#note-text").evaluate("(one, text) => { one.value = text; }", text)
    page.locator("#note-form .main").click()


def test_a_bad_note_holds_no_count_back_and_is_mended_or_dropped(
    visit: Visit, shop: Workshop, pair: str
) -> None:
    visitor = visit()
    visitor.watch.allow(422)
    page = visitor.page
    opened(page, pair)
    noted(page, "bell\a rings")
    noted(page, "turned \u202e round")
    noted(page, "not \u0001 worth it")
    counted(page)
    arrived(lambda: state(shop, pair).done == COUNTS, page)
    expect(page.locator("#kept")).to_have_text("not taken")
    page.locator("#kept").click()
    lines = page.locator("#refused-list li")
    expect(lines).to_have_count(3)
    expect(lines.first.locator(".problem")).to_contain_text("U+0007")
    lines.first.locator("textarea").fill("The bell rings.")
    lines.first.locator("[data-again]").click()
    expect(lines).to_have_count(2)
    # A sign that nobody sees, nobody could delete: it is left out already.
    expect(lines.first.locator(".problem")).to_contain_text("U+202E")
    expect(lines.first.locator("textarea")).to_have_value("turned  round")
    expect(lines.first.locator(".hint")).to_be_visible()
    lines.first.locator("[data-again]").click()
    expect(lines).to_have_count(1)
    lines.first.locator("[data-drop]").click()
    expect(page.locator("#refused")).to_be_hidden()
    expect(page.locator("#kept")).to_have_text("saved")
    arrived(lambda: len(shop.bench_log(pair, FIRST)) == COUNTS + 2, page)
    texts = {one.text for one in state(shop, pair).said}
    assert texts == {"The bell rings.", "turned  round"}


def test_what_people_type_into_a_note_is_taken(visit: Visit, shop: Workshop, pair: str) -> None:
    page = visit().page
    opened(page, pair)
    typed = [
        "12\u00a0g",
        "👩\u200d🔧",
        "co\u00adop",
        "a\u202fb",
        "靴\u3000下",
        "می\u200cخ",
        "\u200fא",
    ]
    for text in typed:
        noted(page, text)
    arrived(lambda: len(state(shop, pair).said) == len(typed), page)
    assert [one.text for one in state(shop, pair).said] == typed
    expect(page.locator("#kept")).to_have_text("saved")


def test_the_browser_is_asked_once_to_keep_what_is_counted(visit: Visit, pair: str) -> None:
    """It may throw away what a page keeps, when it needs room itself, unless it is asked not to."""
    page = visit().page
    page.add_init_script(
        "window.asked = 0; StorageManager.prototype.persist ="
        " async () => { window.asked += 1; return true; };"
    )
    opened(page, pair)
    assert page.evaluate("window.asked") == 0
    counted(page, 3)
    is_kept(page)
    assert page.evaluate("window.asked") == 1
