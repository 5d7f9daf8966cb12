"""Cookies by scheme: a workshop that was served over TLS once is still entered without."""

from __future__ import annotations

from collections.abc import Iterator
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any

import pytest
from starlette.types import ASGIApp

from sockwright.web.access.sessions import LoginSessions
from sockwright.web.app import make_site
from web.sites import HOST, Client, workshop

PHRASE = "baru-tike-fosu-lado"


class Browser:
    """Keeps cookies as browsers do (RFC 6265bis, 5.7): what was set with Secure goes to encrypted
    addresses only, and no plain answer writes over it; __Host- needs Secure and the path /."""

    def __init__(self, site: ASGIApp) -> None:
        self.site = site
        self.kept: dict[str, tuple[str, bool]] = {}

    def ask(self, address: str, form: dict[str, str] | None = None) -> Any:
        """What the site answers, after its cookies were taken in."""
        secure = address.startswith("https:")
        sent = "; ".join(
            f"{name}={value}" for name, (value, only) in self.kept.items() if secure or not only
        )
        origin = "/".join(address.split("/", 3)[:3])
        client = Client(self.site, origin, follow_redirects=False)
        client.headers.update({"cookie": sent} if sent else {})
        answer = client.post(address, data=form) if form is not None else client.get(address)
        for one in answer.headers.get_list("set-cookie"):
            self._take(one, secure)
        return answer

    def enter(self, origin: str) -> Any:
        """What the entrance answers to the pass-phrase."""
        return self.ask(f"{origin}/enter", {"phrase": PHRASE, "next": "/settings"})

    def _take(self, header: str, secure: bool) -> None:
        ((name, morsel),) = SimpleCookie(header).items()
        only = bool(morsel["secure"])
        if only and not secure:
            return
        if name.startswith("__Host-") and not (
            only and morsel["path"] == "/" and not morsel["domain"]
        ):
            return
        if not secure and self.kept.get(name, ("", False))[1]:
            return
        if morsel["max-age"] == "0":
            self.kept.pop(name, None)
        else:
            self.kept[name] = (morsel.value, only)


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Browser]:
    """A device at a workshop with a pass-phrase."""
    with workshop(tmp_path) as shop:
        yield Browser(make_site(shop, (HOST,), LoginSessions(PHRASE)))


@pytest.mark.parametrize("order", [("https", "http"), ("http", "https")])
def test_one_enters_by_both_schemes_one_after_the_other(
    browser: Browser, order: tuple[str, str]
) -> None:
    for scheme in order:
        origin = f"{scheme}://{HOST}"
        entered = browser.enter(origin)
        assert (entered.status_code, entered.headers["location"]) == (303, "/settings"), scheme
        assert browser.ask(f"{origin}/settings").status_code == 200
        assert browser.ask(f"{origin}/data/enter").json()["entered"]


@pytest.mark.parametrize("scheme", ["https", "http"])
def test_what_was_done_is_told_once_and_settings_are_kept(browser: Browser, scheme: str) -> None:
    origin = f"{scheme}://{HOST}"
    for one in dict.fromkeys((f"https://{HOST}", origin)):
        browser.enter(one)
    browser.ask(f"{origin}/settings", {"units": "in", "language": "de"})
    told = browser.ask(f"{origin}/settings").text
    assert 'role="status"' in told
    assert '<html lang="de"' in told
    assert 'role="status"' not in browser.ask(f"{origin}/settings").text


def test_leaving_takes_the_entry_away_by_either_scheme(browser: Browser) -> None:
    for scheme in ("https", "http"):
        origin = f"{scheme}://{HOST}"
        browser.enter(origin)
        before = len(browser.kept)
        assert browser.ask(f"{origin}/leave", {}).status_code == 303
        # The entry goes, and that one has left is to be told.
        assert len(browser.kept) == before
        assert not any(
            "entry" in name
            for name, (_, only) in browser.kept.items()
            if only == (scheme == "https")
        )


def test_an_encrypted_cookie_is_named_for_that(browser: Browser) -> None:
    browser.enter(f"https://{HOST}")
    assert all(name.startswith("__Host-") and only for name, (_, only) in browser.kept.items())
    browser.kept.clear()
    browser.enter(f"http://{HOST}")
    assert browser.kept
    assert not any(name.startswith("__") or only for name, (_, only) in browser.kept.items())
