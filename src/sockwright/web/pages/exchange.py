"""Out and in: orders as TOML, and the whole workshop as one file."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from sockwright.errors import Problem
from sockwright.web.context import AVisit, Visit
from sockwright.web.exchange import (
    ComeIn,
    listed_query,
    order_text,
    order_told,
    things_listed,
    workshop_bytes,
    workshop_told,
)
from sockwright.web.pairs_kept import address, not_deleted, pairs_of
from sockwright.web.printing import file_answer
from sockwright.web.received import MOST_FIELD_BYTES, AForm, one
from sockwright.words.said import said
from sockwright.workshop.answers import Problems

router = APIRouter(prefix="/exchange")

GROUPS = {
    "differed": said(
        "Changed here and there: the last change holds; the other stands there under “What it was”"
    ),
    "newer": said("Brought up to date"),
    "new": said("New here"),
}
"""What became of the things of a workshop that was taken in, the doubtful ones first."""


@router.get("")
def show(visit: AVisit) -> Response:
    """What may go out, and where to give in what comes in."""
    return _page(visit)


@router.post("/order")
def take_order(visit: AVisit, form: AForm) -> Response:
    """Take in an order file: its parts and its pair."""
    text = order_text(form)
    if isinstance(text, Problem):
        return _page(visit, ComeIn("order", one(form, "text"), (text,)), 422)
    answer = visit.shop.import_order(text)
    if isinstance(answer, Problems):
        return _page(visit, ComeIn("order", text, answer.problems), 422)
    sock = answer.sock
    undo = (f"/socks/{sock.id}/delete", sock.version) if sock.version == 1 and answer.new else None
    return visit.to(f"/socks/{sock.id}", order_told(answer), undo=undo)


@router.get("/workshop.json")
def give_workshop(visit: AVisit) -> Response:
    """The whole workshop as one file."""
    day = datetime.now().astimezone().strftime("%Y-%m-%d")
    return file_answer(visit.shop.export_all(), day, "workshop.json")


@router.post("/workshop")
def take_workshop(visit: AVisit, form: AForm) -> Response:
    """Take in a whole workshop: all of it, or nothing."""
    data = workshop_bytes(form)
    answer = Problems((data,)) if isinstance(data, Problem) else visit.shop.import_all(data)
    if isinstance(answer, Problems):
        return _page(visit, ComeIn("workshop", problems=answer.problems), 422)
    query = listed_query(answer)
    return visit.to(f"/exchange?{query}" if query else "/exchange", workshop_told(answer))


@router.get("/order")
@router.get("/workshop")
def sent_here_again() -> Response:
    """The addresses of the forms, typed or come back to, are those of the page."""
    return RedirectResponse("/exchange", 303)


def _page(visit: Visit, come: ComeIn | None = None, status: int = 200) -> Response:
    asked, every = visit.request.query_params, visit.shop.everything(None)
    listed: list[tuple[str, Any]] = [
        (words, things_listed(every, asked.getlist(group))) for group, words in GROUPS.items()
    ]
    return visit.page(
        "exchange.html",
        status,
        come=come or ComeIn(),
        longest_order=MOST_FIELD_BYTES,
        pairs=pairs_of(every),
        listed=[(words, things) for words, things in listed if things],
        address=address,
        holds=sum(map(len, not_deleted(every).values())),
    )
