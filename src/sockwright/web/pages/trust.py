"""How a device is told to trust this workshop's own certificate; open to who has not entered."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.web.context import AVisit
from sockwright.web.errors import NoPage
from sockwright.words.said import said

router = APIRouter(prefix="/trust")

GROUP = 4
"""Pairs of signs that are read together."""


@router.get("")
def trust(visit: AVisit) -> Response:
    """What the browser warns of, what to compare, and the way on each kind of device."""
    secured = visit.parts.reach.secured
    return visit.page(
        "trust.html",
        secured=secured is not None,
        encrypted=visit.request.url.scheme == "https",
        fingerprint=[] if secured is None else in_groups(secured.fingerprint),
        ends=None if secured is None else secured.ends,
    )


def in_groups(fingerprint: str) -> list[str]:
    """A fingerprint in the parts that it is read in: "AB:CD:EF:01"."""
    pairs = fingerprint.split(":")
    return [":".join(pairs[at : at + GROUP]) for at in range(0, len(pairs), GROUP)]


@router.get("/authority.crt")
def authority(visit: AVisit) -> Response:
    """The authority's certificate (PEM), as devices take it in."""
    secured = visit.parts.reach.secured
    if secured is None:
        raise NoPage(said("this workshop has not made a certificate"))
    return Response(
        secured.authority,
        media_type="application/x-x509-ca-cert",
        headers={"content-disposition": 'attachment; filename="sockwright-workshop.crt"'},
    )
