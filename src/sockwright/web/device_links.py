"""The way from this page to the bench on another device: an address, and its QR code."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sockwright.bench.log import WHICH
from sockwright.web.qr import qr_svg
from sockwright.web.reach import base_for_others
from sockwright.web.visit import Visit
from sockwright.words.said import said

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
