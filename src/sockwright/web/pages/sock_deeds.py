"""What is done to a pair: begun, told of, finished, measured, deleted, and taken back."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.web.context import AVisit, Visit
from sockwright.web.kept.history import went_back
from sockwright.web.pages.socks import sock_page
from sockwright.web.pairs.view import (
    FINISH,
    LOG,
    MEASURE,
    log_entry,
    masses_left,
    measures,
    sent,
)
from sockwright.web.pairs_kept import pair
from sockwright.web.received import AForm, AVersion, seen_version
from sockwright.words.said import joined, said
from sockwright.workshop.answers import Problems
from sockwright.workshop.fields import MADE

router = APIRouter(prefix="/socks/{id}")

Deed = Callable[[int], Thing | Problems]
"""Does it to the version that was seen."""


@router.post("/start")
def start(visit: AVisit, form: AForm, id: str) -> Response:
    """Begin a planned pair."""

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.start_sock(id, seen)

    return _done(visit, form, id, "start", deed, said("The pair is begun."))


@router.post("/log")
def log(visit: AVisit, form: AForm, id: str) -> Response:
    """Write down what happened."""
    entry = log_entry(form)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.log_sock(id, seen, entry)

    return _done(visit, form, id, LOG, deed, said("It is written down."))


@router.post("/finish")
def finish(visit: AVisit, form: AForm, id: str) -> Response:
    """The pair is made; its yarns keep what they weigh now."""
    left, measured = masses_left(form), measures(form)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.finish_sock(id, seen, left, measured or None)

    return _done(visit, form, id, FINISH, deed, said("The pair is made."))


@router.post("/measure")
def measure(visit: AVisit, form: AForm, id: str) -> Response:
    """Write down what the finished pair measures, or how it wears."""
    measured = measures(form)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.measure_sock(id, seen, measured)

    return _done(visit, form, id, MEASURE, deed, said("What the pair measures is kept."))


@router.post("/delete")
def delete(visit: AVisit, form: AForm, id: str) -> Response:
    """Delete a pair, which can be undone."""
    name = pair(visit.shop, id).sock.name
    try:
        thing = visit.shop.delete(ItemKind.SOCK, id, seen_version(form))
    except Stale as stale:
        return sock_page(visit, id, sent("delete", form, stale=stale), 409)
    words = said("“{name}” is deleted.", name=name)
    return visit.to("/socks", words, undo=(f"/socks/{id}/restore", thing.version))


@router.post("/restore")
def restore(visit: AVisit, form: AForm, id: str) -> Response:
    """Put back a pair that was deleted."""

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.restore(ItemKind.SOCK, id, seen)

    return _done(visit, form, id, "restore", deed, said("The pair is here again."), undo=False)


@router.post("/back/{version}")
def back(visit: AVisit, form: AForm, id: str, version: AVersion) -> Response:
    """Make the pair again what it was at an earlier version."""
    now = pair(visit.shop, id)
    was = visit.shop.earlier(id).get(version, now.sock.state)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.back_to(ItemKind.SOCK, id, seen, version)

    words = went_back(visit, now.sock, version)
    if now.status == MADE and was.fields["status"] != MADE:
        words = joined(" ", (words, said("What a yarn weighs stays as it was weighed.")))
    return _done(visit, form, id, "back", deed, words)


def _done(
    visit: Visit, form: FormData, id: str, name: str, deed: Deed, words: str, undo: bool = True
) -> Response:
    """Do it and go back to the pair; or show its page again, with what was typed and why not."""
    pair(visit.shop, id)
    seen = seen_version(form)
    try:
        answer = deed(seen)
    except Stale as stale:
        return sock_page(visit, id, sent(name, form, stale=stale), 409)
    if isinstance(answer, Problems):
        return sock_page(visit, id, sent(name, form, problems=answer.problems), 422)
    back_to = (f"/socks/{id}/back/{seen}", answer.version) if undo else None
    return visit.to(f"/socks/{id}", words, back_to)
