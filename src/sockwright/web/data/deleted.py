"""What was deleted, as data."""

from __future__ import annotations

from fastapi import APIRouter

from sockwright.store.things import Kind
from sockwright.web.data.kept import ThingsData, thing_data
from sockwright.web.visit import AVisit

router = APIRouter(tags=["kept"])


@router.get("/deleted")
def deleted(visit: AVisit) -> ThingsData:
    """All that was deleted and can be put back, by kind and name."""
    every = (thing for kind in Kind for thing in visit.shop.things(kind, deleted=True))
    return ThingsData(things=[thing_data(one) for one in every])
