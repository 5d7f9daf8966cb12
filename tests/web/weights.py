"""What a page weighs: all that a browser which has nothing yet must fetch to show it."""

from __future__ import annotations

import gzip
import re
from collections.abc import Callable, Iterator
from urllib.error import HTTPError
from urllib.parse import urljoin
from urllib.request import Request, urlopen

GZIP = b"\x1f\x8b"

TYPE = (".woff2",)
"""Not counted: the letters are kept by the browser from the first page on."""

HEAVIEST = 300_000
HEAVIEST_BENCH = 200_000
"""Most bytes of a page, and of the page beside the machine."""

_IN_PAGE = re.compile(r'(?:src|href)="(/static/[^"]+)"')
_IN_SCRIPT = re.compile(
    r"""^[ \t]*(?:import|export)\b[\w\s{},*$]*["'](\.[^"']+)["']""", re.MULTILINE
)
_IN_STYLE = re.compile(r'(?:\burl\(\s*|@import\s+)["\']?([^"\')\s;]+)')

Fetch = Callable[[str], bytes]


def weight(origin: str, path: str, fetch: Fetch | None = None) -> int:
    """Bytes of a page and of its style, scripts and pictures, without its type, as they are sent.

    What these name themselves is counted too: the modules a script imports, what a style draws.
    """
    fetch = fetch or fetched
    page = fetch(origin + path)
    total, seen = len(page), set[str]()
    waiting = [urljoin(origin, part) for part in _IN_PAGE.findall(_unpacked(page).decode())]
    while waiting:
        address = waiting.pop()
        if address in seen or address.endswith(TYPE):
            continue
        seen.add(address)
        body = fetch(address)
        total += len(body)
        waiting += _named_in(address, _unpacked(body))
    return total


def _named_in(address: str, body: bytes) -> Iterator[str]:
    """The addresses that a script imports or a style draws."""
    for ending, names in ((".js", _IN_SCRIPT), (".css", _IN_STYLE)):
        if address.endswith(ending):
            for name in names.findall(body.decode()):
                if not name.startswith("data:"):
                    yield urljoin(address, name)


def _unpacked(body: bytes) -> bytes:
    return gzip.decompress(body) if body.startswith(GZIP) else body


def fetched(address: str, cookie: str = "") -> bytes:
    """An answer as it is sent to a browser, whatever its status."""
    headers = {"accept-encoding": "gzip", "cookie": cookie}
    try:
        with urlopen(Request(address, headers=headers)) as answer:
            body: bytes = answer.read()
    except HTTPError as refusal:
        with refusal:
            body = refusal.read()
    return body
