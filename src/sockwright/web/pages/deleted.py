"""Everything that was deleted, each with the way to put it back."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.store.items import ItemKind
from sockwright.web.context import AVisit
from sockwright.web.kept.kinds import WORDS
from sockwright.web.pairs_kept import address
from sockwright.words.said import said

router = APIRouter()

HEADINGS = {
    kind: said("Pairs") if kind is ItemKind.SOCK else WORDS[kind].heading for kind in ItemKind
}


@router.get("/deleted")
def deleted(visit: AVisit) -> Response:
    """What was deleted, by kind."""
    gone = visit.shop.everything(deleted=True)
    every = {HEADINGS[kind]: things for kind, things in gone.items()}
    return visit.page("deleted.html", every=every, address=address, damages=visit.shop.damages())
