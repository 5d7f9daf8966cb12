"""The entrance of a workshop that others can reach, and the way out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends
from fastapi.responses import RedirectResponse, Response

from sockwright.web.access.guard import ENTRANCE
from sockwright.web.access.middleware import safe_next
from sockwright.web.access.network import is_loopback
from sockwright.web.access.sessions import COOKIE, MOST_SIGNS, Door, Entered, Wait, Wrong
from sockwright.web.context import AVisit, Visit
from sockwright.web.errors import NoPage
from sockwright.web.received import AForm, one
from sockwright.words.said import said

router = APIRouter()


@dataclass(frozen=True)
class Tried:
    """A pass-phrase that was tried, the page to go on to, and what the door said to it."""

    phrase: str
    to: str
    answer: Entered | Wrong | Wait


async def tried(visit: AVisit, form: AForm) -> Tried:
    """Try the pass-phrase that was sent. It may have to wait for seconds, and holds no thread
    meanwhile."""
    door = _door(visit)
    phrase, client = one(form, "phrase"), visit.request.client
    answer = await door.enter(phrase, client.host if client else "")
    return Tried(phrase, safe_next(one(form, "next", "/")), answer)


ATry = Annotated[Tried, Depends(tried)]


@router.get(ENTRANCE)
def entrance(visit: AVisit, next: str = "/", left: str = "") -> Response:
    """Ask for the pass-phrase; where there is no door, or one has entered, go on."""
    door, to = visit.parts.door, safe_next(next)
    if door is None or door.knows(visit.cookie(COOKIE)):
        return RedirectResponse(to, 303)
    # A link from elsewhere empties nobody's device.
    site = visit.request.headers.get("sec-fetch-site", "same-origin")
    return _asked(visit, to, left=bool(left) and site == "same-origin")


@router.post(ENTRANCE)
def enter(visit: AVisit, tried: ATry) -> Response:
    """Come in with the pass-phrase."""
    answer, to = tried.answer, tried.to
    if isinstance(answer, Entered):
        going = RedirectResponse(to, 303)
        visit.remember(going, COOKIE, answer.token)
        return going
    typed = tried.phrase[:MOST_SIGNS]
    if isinstance(answer, Wait):
        asked = _asked(visit, to, 429, "wait", answer.seconds, typed)
        asked.headers["retry-after"] = str(answer.seconds)
        return asked
    return _asked(visit, to, 403, "wrong", typed=typed)


@router.post("/leave")
def leave(visit: AVisit) -> Response:
    """End this browser's entry."""
    _door(visit).leave(visit.cookie(COOKIE))
    going = visit.to(f"{ENTRANCE}?left=yes", said("You have left the workshop."))
    visit.forget(going, COOKIE)
    return going


def _door(visit: Visit) -> Door:
    if visit.parts.door is None:
        raise NoPage(said("this workshop asks for no pass-phrase"))
    return visit.parts.door


def _asked(
    visit: Visit,
    to: str,
    status: int = 200,
    problem: str = "",
    seconds: int = 0,
    typed: str = "",
    left: bool = False,
) -> Response:
    """The entrance, with what was wrong last: "wait", "wrong" or nothing."""
    url, client = visit.request.url, visit.request.client
    away = client is None or not is_loopback(client.host)
    return visit.page(
        "enter.html",
        status,
        to=to,
        problem=problem,
        seconds=seconds,
        typed=typed,
        left=left,
        most=MOST_SIGNS,
        readable=away and url.scheme != "https",
    )
