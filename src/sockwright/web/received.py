"""A form as it came in: bounded, proven to be ours, its texts by name."""

from __future__ import annotations

from codecs import lookup
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Depends, Path
from python_multipart.multipart import parse_options_header
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request

from sockwright.web.access.guard import FIELD, HEADER, MOST_FORM_BYTES
from sockwright.web.context import AVisit
from sockwright.web.errors import Unproven
from sockwright.words.said import said

MOST_FIELDS = 2_000
"""Fields of one form: more than the largest machine with all its cylinders has."""

MOST_FIELD_BYTES = 200_000
"""Bytes of one text: more than the longest note or order."""


async def sent_form(visit: AVisit) -> FormData:
    """The fields of a POST; Unproven if none of our pages in this browser made the form."""
    request = visit.request
    _refuse_other_signs(request)
    # A field may be as long as the form: what is too long comes back to be mended.
    form = await request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=MOST_FORM_BYTES)
    given = request.headers.get(HEADER) or form.get(FIELD)
    if not visit.parts.proofs.holds(visit.browser, given if isinstance(given, str) else None):
        await form.close()
        raise Unproven(texts(form))
    return form


def _refuse_other_signs(request: Request) -> None:
    """Browsers send forms in UTF-8, whatever they say; other codes bring half characters in."""
    _, options = parse_options_header(request.headers.get("content-type"))
    named = options.get(b"charset", b"utf-8").decode("latin-1")
    try:
        sound = lookup(named).name == "utf-8"
    except (LookupError, ValueError):
        sound = False
    if not sound:
        raise HTTPException(400, said("The form is not in UTF-8, as browsers send it."))


async def _closed_after(visit: AVisit) -> AsyncIterator[FormData]:
    """The form of `sent_form`, the files sent with it closed when the answer is made."""
    form = await sent_form(visit)
    try:
        yield form
    finally:
        await form.close()


def proven(visit: AVisit) -> None:
    """A POST of a script on one of our pages; Unproven if its header does not prove that."""
    if not visit.parts.proofs.holds(visit.browser, visit.request.headers.get(HEADER)):
        raise Unproven([])


AForm = Annotated[FormData, Depends(_closed_after)]
"""A route's form."""

AVersion = Annotated[int, Path(ge=1, lt=10**9)]
"""A version in an address."""


def texts(form: FormData) -> list[tuple[str, str]]:
    """The names and texts of a form, in its order, without files and our proof."""
    return [
        (name, value)
        for name, value in form.multi_items()
        if not isinstance(value, UploadFile) and name != FIELD
    ]


def one(form: FormData, name: str, usual: str = "") -> str:
    """The text of a field without outer blanks."""
    value = form.get(name, usual)
    return value.strip() if isinstance(value, str) else usual


def seen_version(form: FormData) -> int:
    """The version its writer saw, 0 where the form does not say."""
    return version_of(form, "seen")


def version_of(form: FormData, name: str) -> int:
    """A version that a form tells of, 0 where it does not."""
    value = one(form, name)
    return int(value) if value.isascii() and value.isdecimal() and len(value) < 10 else 0
