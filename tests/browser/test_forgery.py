"""What Chromium tells of itself as it writes: on this computer, and over plain HTTP elsewhere.

The table of all cases is in `tests/web/test_forgery.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.datastructures import Headers
from starlette.responses import HTMLResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from browser.benches import is_kept, opened
from browser.stage import DESKTOP, ELSEWHERE, SHORT_OF_TIME_MS, watched
from sockwright.store.items import ItemKind
from sockwright.web.app import LOOPBACK, make_site
from sockwright.workshop.workshop import Workshop
from web.sites import Served

FORM = '<form method="post" action="{}"><input name="wearer.name" value="cook"><button></form>'
FETCH = """(address) => fetch(address, {
  method: "POST", mode: "no-cors", credentials: "include", referrerPolicy: "no-referrer",
}).catch(() => null)"""


@dataclass
class Noting:
    """A site that notes the headers and the status of every POST to it."""

    app: ASGIApp
    noted: list[tuple[Headers, int]] = field(default_factory=list)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start" and scope["method"] == "POST":
                self.noted.append((Headers(scope=scope), message["status"]))
            await send(message)

        await self.app(scope, receive, sending)


@dataclass
class Site:
    """A site, its address, and the port of another."""

    noting: Noting
    address: str
    host: str
    other: int


@pytest.fixture(params=["127.0.0.1", ELSEWHERE])
def noting(request: pytest.FixtureRequest, shop: Workshop) -> Iterator[Site]:
    """`shop` at an address that browsers trust, or at one that they do not, beside another site
    on the same computer that has a form for it."""
    app = Noting(make_site(shop, (*LOOPBACK, ELSEWHERE)))
    ours = Served(app)
    ours.begin()
    address = f"http://{request.param}:{ours.port}"
    other = Served(HTMLResponse(FORM.format(f"{address}/people/new")))
    other.begin()
    yield Site(app, address, request.param, other.port)
    other.end()
    ours.end()


def test_our_own_pages_write(noting: Site, browser: Browser, shop: Workshop, pair: str) -> None:
    with watched(browser, noting.address, DESKTOP) as (context, watch):
        page = context.new_page()
        page.goto("/settings")
        page.get_by_role("button", name="Save settings").click()
        expect(page.get_by_role("status")).to_be_visible()
        page.goto("/yarns/new")
        with page.expect_response("**/yarns/new"):
            page.locator("[name=more]").click()
        watch.allow(422)
        page.locator("#form button.main").click()
        expect(page.get_by_role("alert")).to_be_visible()
        page.reload()  # and so sends it again
        expect(page.get_by_role("alert")).to_be_visible()
        opened(page, pair)
        page.keyboard.press("PageDown")
        is_kept(page)
    statuses = [status for _, status in noting.noting.noted]
    assert statuses[:4] == [303, 200, 422, 422]
    assert set(statuses[4:]) == {200}
    assert len(shop.bench_log(pair, "first")) == 1
    for headers, _ in noting.noting.noted:
        assert headers["origin"] == noting.address
        trusted = noting.host != ELSEWHERE
        assert headers.get("sec-fetch-site") == ("same-origin" if trusted else None)


def test_no_other_page_does(noting: Site, browser: Browser, shop: Workshop, tmp_path: Path) -> None:
    before = len(shop.things(ItemKind.PERSON))
    file = tmp_path / "page.html"
    file.write_text(FORM.format(f"{noting.address}/people/new"), encoding="utf-8")
    beside = f"http://{noting.host}:{noting.other}"
    context = browser.new_context()
    context.set_default_timeout(SHORT_OF_TIME_MS)
    page = context.new_page()
    for address in (beside, f"http://localhost:{noting.other}", file.as_uri()):
        page.goto(address)
        _press(page)
    page.goto(beside)
    page.evaluate(FETCH, f"{noting.address}/people/new")
    context.close()
    assert [status for _, status in noting.noting.noted] == [403] * 4
    assert noting.noting.noted[2][0]["origin"] == "null"
    assert len(shop.things(ItemKind.PERSON)) == before


def _press(page: Page) -> None:
    with page.expect_navigation():
        page.locator("button").click()
