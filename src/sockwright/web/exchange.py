"""Out and in: orders as TOML, and the whole workshop as one file.

What comes in is read within bounds, its text is kept where it is refused, and what became of it is
told.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response
from pydantic import BaseModel, Field
from starlette.datastructures import FormData

from sockwright.errors import Problem
from sockwright.i18n.messages import _, joined, ngettext
from sockwright.store.items import Thing
from sockwright.web.context import ID, Context, RequestContext, address
from sockwright.web.pairs_kept import Everything, by_id, not_deleted, pairs_of
from sockwright.web.printing import file_answer
from sockwright.web.received import MOST_FIELD_BYTES, AForm, one, uploaded
from sockwright.workshop.answers import Problems
from sockwright.workshop.backup import JoinResult
from sockwright.workshop.order_exchange import Taken
from sockwright.workshop.whole_stream import MOST_BYTES

page_router = APIRouter(prefix="/exchange")
data_router = APIRouter(prefix="/exchange", tags=["workshop"])

MOST_LISTED = 60
"""Things that are named one by one after a workshop was taken in."""

THE_ORDER = _("the order")

GROUPS = {
    "differed": _("Changed in both: the later change is used; the other is under “History” there"),
    "newer": _("Updated"),
    "new": _("New here"),
}
"""What became of the things of a workshop that was taken in, the doubtful ones first."""


@dataclass(frozen=True)
class ComeIn:
    """What came in and why it was not taken: `what` is "order" or "workshop", "" for nothing."""

    what: str = ""
    text: str = ""
    problems: tuple[Problem, ...] = ()


def order_text(form: FormData) -> str | Problem:
    """The text of an order from the chosen file, else what was pasted."""
    data = uploaded(form, MOST_FIELD_BYTES)
    if data is None:
        text = form.get("text", "")
        pasted = text if isinstance(text, str) else ""
        if len(pasted) > MOST_FIELD_BYTES:
            return _too_large()
        return pasted if pasted.strip() else _nothing()
    if len(data) > MOST_FIELD_BYTES:
        return _too_large()
    if b"\0" in data:
        return Problem(THE_ORDER, _("is not a text file"), _("give an order file"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        right = _("save it as plain text in UTF-8")
        return Problem(THE_ORDER, _("is not text in UTF-8"), right)


def workshop_bytes(form: FormData) -> bytes | Problem:
    """The file of a whole workshop."""
    data = uploaded(form, MOST_BYTES)
    if data is None:
        return Problem(_("the file"), _("is missing"), _("choose an exported workshop"))
    return data


def order_told(taken: Taken) -> str:
    """What became of an order, in words."""
    if not taken.new:
        return _("This order is already here.")
    new = ngettext("{n} new part", "{n} new parts", len(taken.new))
    if not taken.found:
        return _("Order imported: {new}.", new=new)
    found = ngettext("{n} was here already", "{n} were here already", len(taken.found))
    return _("Order imported: {new}, {found}.", new=new, found=found)


def workshop_told(answer: JoinResult) -> str:
    """What became of a workshop's file, in words."""
    new, newer = len(answer.new), len(answer.newer)
    known, differed = len(answer.known), len(answer.differed)
    counts = {
        ngettext("{n} new entry", "{n} new entries", new): new,
        ngettext("{n} was updated", "{n} were updated", newer): newer,
        ngettext("{n} was known already", "{n} were known already", known): known,
        ngettext("{n} was changed in both", "{n} were changed in both", differed): (differed),
    }
    told = [words for words, count in counts.items() if count]
    if not told:
        return _("Workshop imported: it was empty.")
    return _("Workshop imported: {told}.", told=joined(", ", told))


def listed_query(answer: JoinResult) -> str:
    """The things to look at after a workshop was taken in, as the query of the page."""
    named = [("differed", thing.id) for thing in answer.differed]
    named += [("newer", thing.id) for thing in answer.newer]
    named += [("new", thing.id) for thing in answer.new]
    return "&".join(f"{group}={id}" for group, id in named[:MOST_LISTED])


def things_listed(every: Everything, ids: Iterable[str]) -> tuple[Thing, ...]:
    """The things of an address that are among these, each once, in its order."""
    wanted = [id for id in dict.fromkeys(ids) if re.fullmatch(ID, id)][:MOST_LISTED]
    here = by_id(every)
    return tuple(here[id] for id in wanted if id in here)


def _too_large() -> Problem:
    return Problem(THE_ORDER, _("is far too large for an order"), _("give an order file"))


def _nothing() -> Problem:
    return Problem(THE_ORDER, _("is missing"), _("choose a file, or paste its text"))


@page_router.get("")
def exchange_page(context: Context) -> Response:
    """What may go out, and where to give in what comes in."""
    return _page(context)


@page_router.post("/order")
def take_order(context: Context, form: AForm) -> Response:
    """Take in an order file: its parts and its pair."""
    text = order_text(form)
    if isinstance(text, Problem):
        return _page(context, ComeIn("order", one(form, "text"), (text,)), 422)
    answer = context.shop.import_order(text)
    if isinstance(answer, Problems):
        return _page(context, ComeIn("order", text, answer.problems), 422)
    sock = answer.sock
    undo = (f"/socks/{sock.id}/delete", sock.version) if sock.version == 1 and answer.new else None
    return context.to(f"/socks/{sock.id}", order_told(answer), undo=undo)


@page_router.get("/workshop.json")
def give_workshop(context: Context) -> Response:
    """The whole workshop as one file."""
    day = datetime.now().astimezone().strftime("%Y-%m-%d")
    return file_answer(context.shop.export_all(), day, "workshop.json")


@page_router.post("/workshop")
def take_workshop(context: Context, form: AForm) -> Response:
    """Take in a whole workshop: all of it, or nothing."""
    data = workshop_bytes(form)
    answer = Problems((data,)) if isinstance(data, Problem) else context.shop.import_all(data)
    if isinstance(answer, Problems):
        return _page(context, ComeIn("workshop", problems=answer.problems), 422)
    query = listed_query(answer)
    return context.to(f"/exchange?{query}" if query else "/exchange", workshop_told(answer))


@page_router.get("/order")
@page_router.get("/workshop")
def sent_here_again() -> Response:
    """The addresses of the forms, typed or come back to, are those of the page."""
    return RedirectResponse("/exchange", 303)


def _page(context: RequestContext, come: ComeIn | None = None, status: int = 200) -> Response:
    asked, every = context.request.query_params, context.shop.everything(None)
    listed: list[tuple[str, Any]] = [
        (words, things_listed(every, asked.getlist(group))) for group, words in GROUPS.items()
    ]
    return context.page(
        "exchange.html",
        status,
        come=come or ComeIn(),
        longest_order=MOST_FIELD_BYTES,
        pairs=pairs_of(every),
        listed=[(words, things) for words, things in listed if things],
        address=address,
        holds=sum(map(len, not_deleted(every).values())),
    )


class OrderOut(BaseModel):
    """A pair's order that may go out."""

    id: str
    title: str
    address: str = Field(description="Where its TOML file is.")


class ExchangeData(BaseModel):
    """All that may go out."""

    orders: list[OrderOut]
    workshop: str = Field(description="Where the file of the whole workshop is.")
    holds: int = Field(description="Things in it that are not deleted.")


@data_router.get("")
def exchange(context: Context) -> ExchangeData:
    """Where the orders and the whole workshop are to be had as files."""
    every = context.shop.everything(None)
    return ExchangeData(
        orders=[
            OrderOut(id=one.id, title=one.sock.name, address=f"/socks/{one.id}/order.toml")
            for one in pairs_of(every)
        ],
        workshop="/exchange/workshop.json",
        holds=sum(map(len, not_deleted(every).values())),
    )
