"""Chromium for the tests, and sites for it to visit."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from browser import pages
from browser.benches import boot_socks
from browser.pages import FullSite
from browser.stage import DESKTOP, Watch, launch, watched
from browsers import NONE_FOUND, find_browser
from sockwright.workshop.workshop import Workshop
from web import sites
from web.sites import Served


@dataclass(frozen=True)
class Visitor:
    """A browser window at a site, watched."""

    page: Page
    context: BrowserContext
    watch: Watch


Visit = Callable[..., Visitor]
"""Makes visitors: visit(view=DESKTOP, at=the site's own address)."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, started once: its event loop is this thread's until the end of the tests."""
    path = find_browser()
    if path is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(NONE_FOUND)
    with sync_playwright() as playwright:
        started = launch(playwright, path)
        yield started
        started.close()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop that holds the example station, as it is on the first visit."""
    with sites.workshop(tmp_path, example=True) as shop:
        yield shop


@pytest.fixture
def pair(shop: Workshop) -> str:
    """The boot socks of `shop`."""
    return boot_socks(shop)


@pytest.fixture
def served(shop: Workshop) -> Iterator[Served]:
    """`shop`, served."""
    with sites.serving(shop) as served:
        yield served


@pytest.fixture
def site(served: Served) -> str:
    """The address of `shop`."""
    return served.address


@pytest.fixture(scope="session")
def full_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FullSite]:
    """A site for tests that only look."""
    with pages.full_site(tmp_path_factory.mktemp("full")) as site:
        yield site


@pytest.fixture
def visit(browser: Browser, site: str) -> Iterator[Visit]:
    """Makes visitors, who leave before the site does; nothing may go wrong for any of them."""
    with ExitStack() as stack:

        def new(view: Mapping[str, Any] = DESKTOP, at: str = site) -> Visitor:
            context, watch = stack.enter_context(watched(browser, at, view))
            return Visitor(context.new_page(), context, watch)

        yield new


@pytest.fixture
def newcomer(visit: Visit) -> Visitor:
    """Somebody at a desk who sees the workshop for the first time."""
    return visit()
