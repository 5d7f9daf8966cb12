"""The way from this page to the bench on another device: an address, and its QR code."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Final

from sockwright.bench.log import WHICH
from sockwright.web.access.kept_certificates import base_for_others
from sockwright.web.context import Visit
from sockwright.words.said import said

QUIET: Final = 4
"""Light modules round the code (ISO/IEC 18004)."""


def qr_svg(text: str, title: str) -> str:
    """The code of a text as SVG, named by `title`.

    Its colours are those of the classes `qr-paper` and `qr-ink` of the page's style: dark on light
    in every theme, for many cameras read nothing else.
    """
    import segno

    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 2 * QUIET
    dark = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, module in enumerate(row)
        if module
    )
    return (
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" aria-label="{escape(title)}"'
        ' shape-rendering="crispEdges">'
        f'<path class="qr-paper" d="M0 0h{side}v{side}h-{side}z"/>'
        f'<path class="qr-ink" d="{dark}"/></svg>'
    )


COMMAND: Final = "sockwright serve --network"


@dataclass(frozen=True)
class Link:
    """An address for another device, and its QR code (SVG). The pass-phrase is in neither."""

    address: str
    code: str


@dataclass(frozen=True)
class Devices:
    """The ways to both socks by their turn, none where no other device reaches this workshop;
    `command` would open it to them. `secure` tells whether the way is encrypted."""

    links: dict[str, Link]
    secure: bool
    command: str = COMMAND


def devices(visit: Visit, id: str) -> Devices:
    """How other devices come to the bench of a pair."""
    base = base_for_others(visit.request.url, visit.parts.reach)
    title = visit.tongue.tell(said("QR code of the address below"))
    addresses = {which: f"{base}/socks/{id}/bench/{which}" for which in WHICH} if base else {}
    links = {which: Link(one, qr_svg(one, title)) for which, one in addresses.items()}
    return Devices(links, base.startswith("https:"))
