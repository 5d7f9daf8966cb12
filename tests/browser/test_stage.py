"""Devices of the tests: one that cannot be emptied is lent to nobody more."""

from __future__ import annotations

from asyncio import Event

import pytest
from playwright.sync_api import Browser

from browser.pages import FullSite
from browser.stage import DESKTOP, Devices

HELD = """() => new Promise((resolve) => {
  const asked = indexedDB.open("held", 1);
  asked.onsuccess = () => { window.held = asked.result; resolve(); };
})"""


def test_a_device_whose_database_is_never_let_go_of_is_replaced(
    browser: Browser, full_site: FullSite
) -> None:
    devices = Devices(browser, emptied_within_ms=500)
    with devices.lent(full_site.open, DESKTOP) as (first, _, _):
        first.pages[0].evaluate(HELD)
    with devices.lent(full_site.open, DESKTOP) as (other, _, page):
        assert other is not first
        page.goto("/settings")


def test_a_device_whose_page_never_closes_is_replaced(
    browser: Browser, full_site: FullSite, monkeypatch: pytest.MonkeyPatch
) -> None:
    devices = Devices(browser, emptied_within_ms=500)
    with devices.lent(full_site.open, DESKTOP) as (first, _, page):
        monkeypatch.setattr(page._impl_obj, "close", lambda *_: Event().wait())
    with devices.lent(full_site.open, DESKTOP) as (other, _, page):
        assert other is not first
        page.goto("/settings")
