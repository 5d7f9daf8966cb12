"""Chromium for the tests, and sites for it to visit."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from browser import pages
from browser.benches import boot_socks
from browser.pages import FullSite
from browser.stage import DESKTOP, SHORT_OF_TIME_MS, Devices, Watch, launch, watched
from browsers import NONE_FOUND, find_browser
from sockwright.web.app import make_site
from sockwright.workshop.workshop import Workshop
from web import sites
from web.sites import Served
from workshops import kept


@dataclass(frozen=True)
class Visitor:
    """A browser window at a site, watched."""

    page: Page
    context: BrowserContext
    watch: Watch


Visit = Callable[..., Visitor]
"""Makes visitors: visit(view=DESKTOP, at=the site's own address, worker=False). One with a
`worker` has a fresh device that keeps the pages beside the machine for the time without a network.
"""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, started once: its event loop is this thread's until the end of the tests."""
    path = find_browser()
    if path is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(NONE_FOUND)
    expect.set_options(timeout=SHORT_OF_TIME_MS)
    with sync_playwright() as playwright:
        started = launch(playwright, path)
        yield started
        started.close()


@pytest.fixture(scope="session")
def devices(browser: Browser) -> Devices:
    """What visitors come with."""
    return Devices(browser)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Workshop]:
    """A workshop that holds the example station, as it is on the first visit."""
    with sites.workshop(tmp_path, example=True) as shop:
        shop.plans = pages.PLANS
        yield shop


@pytest.fixture
def pair(shop: Workshop) -> str:
    """The boot socks of `shop`."""
    return boot_socks(shop)


@pytest.fixture(scope="session")
def stand() -> Iterator[Served]:
    """One address for the workshops of all tests: what a device has of their files is of use."""
    stand = Served()
    yield stand
    if stand.server:
        stand.end()


@pytest.fixture
def served(shop: Workshop, stand: Served) -> Served:
    """`shop`, served."""
    stand.app = make_site(shop)
    if not stand.server:
        stand.begin()
    return stand


@pytest.fixture
def site(served: Served) -> str:
    """The address of `shop`."""
    return served.address


@pytest.fixture(scope="session")
def full_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FullSite]:
    """A site for tests that only look."""
    with pages.full_site(tmp_path_factory.mktemp("full")) as site:
        yield site


@dataclass(frozen=True)
class Lasting:
    """A workshop that stays, where each test has pairs of its own."""

    shop: Workshop
    address: str

    def pair(self) -> str:
        """A new pair of boot socks."""
        return kept(self.shop.plan_sock(pages.station_choice())).id


@pytest.fixture(scope="session")
def lasting(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lasting]:
    """The example station, served till the end of the tests."""
    with sites.workshop(tmp_path_factory.mktemp("lasting"), example=True) as shop:
        shop.plans = pages.PLANS
        with sites.serving(shop) as served:
            yield Lasting(shop, served.address)


@pytest.fixture
def visit(browser: Browser, devices: Devices, site: str) -> Iterator[Visit]:
    """Makes visitors, who leave before the site does; nothing may go wrong for any of them."""
    with ExitStack() as stack:

        def new(
            view: Mapping[str, Any] = DESKTOP, at: str = site, *, worker: bool = False
        ) -> Visitor:
            if worker:
                context, watch = stack.enter_context(watched(browser, at, view))
                return Visitor(context.new_page(), context, watch)
            context, watch, page = stack.enter_context(devices.lent(at, view))
            return Visitor(page, context, watch)

        yield new


@pytest.fixture
def newcomer(visit: Visit) -> Visitor:
    """Somebody at a desk who sees the workshop for the first time."""
    return visit()
