"""The way back of a thing that does not read any more: made again what it was before."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from sockwright.store.damage import Damaged
from sockwright.store.items import ItemKind
from sockwright.web.context import AVisit
from sockwright.web.damage import damaged_page
from sockwright.web.pairs_kept import ID, address
from sockwright.web.received import AVersion
from sockwright.words.said import said
from sockwright.workshop.answers import Problems

router = APIRouter(prefix="/damaged")


@router.post("/{kind}/{id}/back/{version}")
def back(
    visit: AVisit,
    kind: ItemKind,
    id: Annotated[str, Path(pattern=ID)],
    version: AVersion,
) -> Response:
    """Make it again what it was, and show it; one that reads by now is shown as it is."""
    try:
        thing = visit.shop.thing(kind, id)
    except Damaged as damaged:
        mended = visit.shop.mend(kind, id, version)
        if isinstance(mended, Problems):
            refused = visit.tongue.tell(mended.problems[0].message)
            return damaged_page(visit, damaged.damage, refused)
        words = said("“{name}” is restored.", name=mended.name)
        return visit.to(address(mended), words)
    return visit.to(address(thing))
