"""The first page: what lies on the bench, what may be done, and the example."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.web.context import AVisit
from sockwright.web.first_steps import first_steps
from sockwright.web.pairs_kept import by_status, not_deleted, pairs_of
from sockwright.words.said import said, said_of
from sockwright.workshop.fields import BEING_MADE, MADE, PLANNED

router = APIRouter()


@router.get("/")
def home(visit: AVisit) -> Response:
    """What is being made, what is planned, and how much of everything is kept."""
    kept = visit.shop.everything(None)
    every, groups = not_deleted(kept), by_status(pairs_of(kept))
    example = any(thing.example for things in every.values() for thing in things)
    return visit.page(
        "home.html",
        being_made=groups[BEING_MADE],
        planned=groups[PLANNED],
        made=len(groups[MADE]),
        steps=first_steps(every),
        counts={str(kind): len(things) for kind, things in every.items()},
        example=example,
        damages=visit.shop.damages(),
    )


@router.post("/example/remove")
def remove_example(visit: AVisit) -> Response:
    """Take the example station out."""
    needed = len(visit.shop.remove_example().needed)
    words = said("The example is removed.")
    if needed:
        words = said_of(
            "The example is removed, but for {n} thing that your own need.",
            "The example is removed, but for {n} things that your own need.",
            needed,
        )
    return visit.to("/", words)


@router.post("/example/add")
def add_example(visit: AVisit) -> Response:
    """Put the example station in again."""
    visit.shop.add_example()
    return visit.to("/", said("The example is here."))
