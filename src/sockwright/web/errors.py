"""Refusals as pages for people and as data for programs, each with its status."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable
from http import HTTPStatus
from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.routing import Match, Mount
from starlette.types import Scope

from sockwright.errors import NotProven, SockwrightError
from sockwright.i18n.messages import Message, _
from sockwright.store.items import Busy, FileDamaged, NotKept, Stale, StoreError
from sockwright.web.access.guard import TooLarge, too_large
from sockwright.web.context import request_context
from sockwright.workshop.answers import Problems

_REFERENCE: Final = "sockwright.fault"

_log = logging.getLogger("sockwright.web")

WORDS: dict[int, tuple[str, str]] = {
    400: (_("That cannot be done"), _("The request could not be read.")),
    401: (_("Passphrase needed"), _("Enter it first.")),
    403: (
        _("Nothing changed"),
        _("This request did not come from this workshop, so nothing was changed."),
    ),
    404: (
        _("There is nothing here"),
        _("There is no such page. The entry may have been deleted."),
    ),
    405: (_("That cannot be done here"), _("This address does not accept that.")),
    409: (_("Changed by someone else"), _("Check it again, then save.")),
    413: (_("That is too large"), _("Nothing changed.")),
    422: (
        _("That cannot be read"),
        _("Part of the address or the form is wrong."),
    ),
    500: (
        _("There is a mistake in Sockwright"),
        _("Everything that was saved is safe. Go back and try again."),
    ),
    503: (_("The workshop is busy"), _("Not saved. Try again in a moment.")),
}
"""Heading and explanation of every status we answer with."""

MOST_TOLD = 20
"""Parts of an address or a body that are told of one by one."""

TORN = (
    _("The workshop's file is damaged"),
    _(
        "Sockwright no longer reads or writes the file. Restore the whole workshop from a daily "
        "copy: stop it, then run"
    ),
)
"""Heading and explanation where the file itself is torn."""

RESTORE = "sockwright restore-workshop"
"""The command that helps then."""

METHODS = ("DELETE", "GET", "HEAD", "OPTIONS", "PATCH", "POST", "PUT")


class FaultData(BaseModel):
    """One part of an address that cannot be read."""

    path: str = Field(description="Its name.")
    wrong: str


class RefusalData(BaseModel):
    """Why there is no answer."""

    error: str = Field(description="What kind of refusal it is, in a few words.")
    detail: str
    problems: list[FaultData]


REFUSALS: dict[int | str, dict[str, Any]] = {
    404: {"model": RefusalData, "description": "There is nothing here."},
    409: {"model": RefusalData, "description": "What is asked for is damaged."},
    422: {"model": RefusalData, "description": "A part of the address cannot be read."},
}
"""What any address of the data may answer instead."""

WRITES: dict[int | str, dict[str, Any]] = {
    400: {"model": RefusalData, "description": "What was sent cannot be read at all."},
    403: {"model": RefusalData, "description": "No page of this workshop asked for it."},
}
"""What an address that writes may answer, too."""


class ProblemData(BaseModel):
    """One thing wrong with what was given."""

    path: str = Field(description="The key's place, such as foot.length.")
    wrong: str
    right: str


def problems_data(problems: Problems) -> list[ProblemData]:
    """Every problem, as data."""
    return [
        ProblemData(path=one.path, wrong=one.wrong, right=one.right) for one in problems.problems
    ]


def told(scope: Scope, error: BaseException) -> str:
    """Log the fault of a request, if that was not done before: its reference."""
    if _REFERENCE not in scope:
        scope[_REFERENCE] = new_reference()
        more = {"reference": scope[_REFERENCE]}
        _log.error("%s %s failed", scope["method"], scope["path"], exc_info=error, extra=more)
    return str(scope[_REFERENCE])


def new_reference() -> str:
    """Six signs to speak of a fault by."""
    return secrets.token_hex(3)


def told_gone(scope: Scope) -> None:
    """Log that whoever asked hung up before the end."""
    _log.info("%s %s: the client hung up", scope["method"], scope["path"])


class NoPage(SockwrightError):
    """There is nothing at that address."""


STATUS: dict[type[Exception], int] = {
    NotKept: 404,
    NoPage: 404,
    Stale: 409,
    NotProven: 409,
    Busy: 503,
    FileDamaged: 503,
    StoreError: 503,
    SockwrightError: 400,
}
"""The status of each refusal; that of the nearest base counts."""


def handle(app: FastAPI) -> None:
    """Have the app answer every error with a page or with data."""
    for kind in STATUS:
        app.add_exception_handler(kind, _refused)
    app.add_exception_handler(FileDamaged, _torn)
    app.add_exception_handler(TooLarge, _too_large)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(ClientDisconnect, _gone)
    app.add_exception_handler(Exception, _failed)


async def _torn(request: Request, error: Exception) -> Response:
    assert isinstance(error, FileDamaged)
    told = error.message if is_data(request.url.path) else error.reason
    return answer(request, STATUS[FileDamaged], told, words=TORN, command=RESTORE)


async def _refused(request: Request, error: Exception) -> Response:
    status = next(STATUS[kind] for kind in type(error).__mro__ if kind in STATUS)
    return answer(request, status, _told(error))


async def _too_large(request: Request, error: Exception) -> Response:
    return answer(request, 413, too_large(request.url.path))


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    usual = HTTPStatus(error.status_code).phrase
    # What a library says to a page's reader would be in English, whatever they read.
    own = isinstance(error.detail, Message) or is_data(request.url.path)
    detail = error.detail if own and error.detail != usual else ""
    refusal = answer(request, error.status_code, detail)
    refusal.headers.update(error.headers or {})
    if error.status_code == 405:
        refusal.headers["allow"] = ", ".join(_methods(request))
    return refusal


def _methods(request: Request) -> list[str]:
    """What an address takes, which a 405 must tell (RFC 9110, 15.5.6)."""
    routes = [one for one in request.app.routes if not isinstance(one, Mount)]
    taken = [
        method
        for method in METHODS
        if any(one.matches({**request.scope, "method": method})[0] is Match.FULL for one in routes)
    ]
    # What is mounted are files, to be had and no more.
    return taken or ["GET", "HEAD"]


async def _invalid(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    found = [
        {"path": ".".join(map(str, one["loc"][1:])), "wrong": one["msg"]}
        for one in error.errors()[:MOST_TOLD]
    ]
    detail = "; ".join(f"{one['path']}: {one['wrong']}" for one in found)
    return answer(request, 422, detail, problems=found)


async def _gone(request: Request, error: Exception) -> Response:
    told_gone(request.scope)
    return Response(status_code=400)  # nobody reads it


async def _failed(request: Request, error: Exception) -> Response:
    reference = told(request.scope, error)
    detail = _(
        "If it happens again, give this reference to the person who runs the workshop: "
        "{reference}. The workshop's log says more.",
        reference=reference,
    )
    return answer(request, 500, detail)


def answer(
    request: Request,
    status: int,
    detail: str,
    words: tuple[str, str] | None = None,
    **more: Any,
) -> Response:
    """An error as data under /data, else as a page; `words` are those of WORDS unless given, `data`
    is what the data tell besides."""
    heading, explanation = words or WORDS.get(status, WORDS[400 if status < 500 else 500])
    if is_data(request.url.path):
        body = {"error": str(heading), "detail": detail or str(explanation)}
        told = {**body, "problems": more.get("problems", []), **more.get("data", {})}
        return JSONResponse(told, status)
    values = {"heading": heading, "explanation": explanation, "detail": detail}
    page: Callable[..., Response] = request_context(request).page
    return page("error.html", status, **{**values, "command": "", **more})


def is_data(path: str) -> bool:
    """Whether an address is one of the data."""
    return path == "/data" or path.startswith("/data/")


def _told(error: Exception) -> str:
    """What an error says, for people; a fresh page says enough of the others."""
    return error.message if isinstance(error, SockwrightError) else ""
