"""How other devices reach this workshop, and what makes the way there private."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.datastructures import URL

from sockwright.web.kept_certificate import Secured
from sockwright.web.network import is_loopback

OWN_NAME = "localhost"


@dataclass(frozen=True)
class Reach:
    """`base` is the address others reach the workshop by ("https://10.0.0.7:8765"), "" where they
    do not; `secured` its certificates, None where it makes none itself."""

    base: str = ""
    secured: Secured | None = None


NO_REACH = Reach()
"""That of a workshop on its own computer alone."""


def base_for_others(asked: URL, reach: Reach) -> str:
    """The address to give to another device: the one a page was `asked` for by, if that leads here
    from elsewhere, else the likeliest; "" where there is none."""
    host = asked.hostname or ""
    own = host == OWN_NAME or host.endswith(f".{OWN_NAME}") or is_loopback(host)
    return reach.base if own or not host else f"{asked.scheme}://{asked.netloc}"
