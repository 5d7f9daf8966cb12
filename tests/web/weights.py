"""What a page weighs: all that a browser which has nothing yet must fetch to show it."""

from __future__ import annotations

import re
from urllib.error import HTTPError
from urllib.request import Request, urlopen

TYPE = (".woff2",)
"""Not counted: the letters are kept by the browser from the first page on."""

_PARTS = re.compile(r'(?:src|href)="(/static/[^"]+)"')


def weight(origin: str, path: str) -> int:
    """Bytes of a page and of the style, scripts and pictures it names, without its type."""
    page = _fetch(origin + path)
    parts = {part for part in _PARTS.findall(page.decode()) if not part.endswith(TYPE)}
    return len(page) + sum(len(_fetch(origin + part)) for part in sorted(parts))


def _fetch(address: str) -> bytes:
    """An answer, whatever its status."""
    try:
        with urlopen(Request(address)) as answer:
            body: bytes = answer.read()
    except HTTPError as refusal:
        with refusal:
            body = refusal.read()
    return body
