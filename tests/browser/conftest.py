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
from browser.pages import FullSite
from browser.stage import DESKTOP, Watch, launch, watched
from browsers import NONE_FOUND, find_browser
from sockwright.workshop.workshop import Workshop
from web import sites


@dataclass(frozen=True)
class Visitor:
    """A browser window at a site, watched."""

    page: Page
    context: BrowserContext
    watch: Watch


Visit = Callable[..., Visitor]
"""Makes visitors: visit(view=DESKTOP, at=the site's own address)."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, once for each module: while it runs, no other test can have an event loop."""
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
def site(shop: Workshop) -> Iterator[str]:
    """The address of `shop`, served."""
    with sites.serving(shop) as address:
        yield address


@pytest.fixture(scope="module")
def full_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FullSite]:
    """A site for tests that only look."""
    with pages.full_site(tmp_path_factory.mktemp("full")) as site:
        yield site


@pytest.fixture
def visit(browser: Browser) -> Iterator[Visit]:
    """Makes visitors; when the test is over nothing may have gone wrong for any of them."""
    with ExitStack() as stack:

        def new(at: str, view: Mapping[str, Any] = DESKTOP) -> Visitor:
            context, watch = stack.enter_context(watched(browser, at, view))
            return Visitor(context.new_page(), context, watch)

        yield new


@pytest.fixture
def newcomer(visit: Visit, site: str) -> Visitor:
    """Somebody at a desk who sees the workshop for the first time."""
    return visit(site)
