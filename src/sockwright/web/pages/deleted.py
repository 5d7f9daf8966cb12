"""Everything that was deleted, each with the way to put it back."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.web.context import AVisit
from sockwright.web.pairs_kept import address
from sockwright.workshop.kinds import TYPES

router = APIRouter()


@router.get("/deleted")
def deleted(visit: AVisit) -> Response:
    """What was deleted, by kind."""
    gone = visit.shop.everything(deleted=True)
    every = {TYPES[kind].heading: things for kind, things in gone.items()}
    return visit.page("deleted.html", every=every, address=address, damages=visit.shop.damages())
