"""Whether a pass-phrase is needed, as data."""

from __future__ import annotations

from fastapi import APIRouter
from pydantic import BaseModel

from sockwright.web.access.sessions import COOKIE
from sockwright.web.context import AVisit

router = APIRouter(tags=["workshop"])


class EnterData(BaseModel):
    """Whether this workshop asks for a pass-phrase, and whether the asking browser is in."""

    needed: bool
    entered: bool


@router.get("/enter")
def enter(visit: AVisit) -> EnterData:
    """Whether the asking browser may see the workshop."""
    door = visit.parts.door
    entered = door is None or door.knows(visit.cookie(COOKIE))
    return EnterData(needed=door is not None, entered=entered)
