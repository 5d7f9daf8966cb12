"""What was deleted, as data."""

from __future__ import annotations

from fastapi import APIRouter

from sockwright.web.context import AVisit
from sockwright.web.data.kept import ThingsData, thing_data

router = APIRouter(tags=["kept"])


@router.get("/deleted")
def deleted(visit: AVisit) -> ThingsData:
    """All that was deleted and can be put back, by kind and name."""
    every = visit.shop.everything(deleted=True).values()
    return ThingsData(things=[thing_data(one) for things in every for one in things])
