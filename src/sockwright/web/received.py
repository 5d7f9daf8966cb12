"""A form as it came in: bounded, its texts by name."""

from __future__ import annotations

from codecs import lookup
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Depends, Path
from python_multipart.multipart import parse_options_header
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request

from sockwright.i18n.messages import _
from sockwright.web.access.guard import MOST_FORM_BYTES

MOST_FIELDS = 2_000
"""Fields of one form: more than the largest machine with all its cylinders has."""

MOST_FIELD_BYTES = 200_000
"""Bytes of one text: more than the longest note or order."""

MOST_LOG_BYTES = 900_000
"""More than a file of any log of a bench has; a request may have a little more."""


async def _sent_form(request: Request) -> AsyncIterator[FormData]:
    """The fields of a POST, the files sent with it closed when the answer is made."""
    _refuse_other_signs(request)
    # A field may be as long as the form: what is too long comes back to be mended.
    form = await request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=MOST_FORM_BYTES)
    try:
        yield form
    finally:
        await form.close()


def _refuse_other_signs(request: Request) -> None:
    """Browsers send forms in UTF-8, whatever they say; other codes bring half characters in."""
    __, options = parse_options_header(request.headers.get("content-type"))
    named = options.get(b"charset", b"utf-8").decode("latin-1")
    try:
        sound = lookup(named).name == "utf-8"
    except (LookupError, ValueError):
        sound = False
    if not sound:
        raise HTTPException(400, _("The form is not in UTF-8, as browsers send it."))


AForm = Annotated[FormData, Depends(_sent_form)]
"""A route's form."""

AVersion = Annotated[int, Path(ge=1, lt=10**9)]
"""A version in an address."""


def texts(form: FormData) -> list[tuple[str, str]]:
    """The names and texts of a form, in its order, without files."""
    return [(n, value) for n, value in form.multi_items() if not isinstance(value, UploadFile)]


def one(form: FormData, name: str, usual: str = "") -> str:
    """The text of a field without outer blanks."""
    value = form.get(name, usual)
    return value.strip() if isinstance(value, str) else usual


def uploaded(form: FormData, most: int) -> bytes | None:
    """The chosen file, one byte more than `most` if it is larger; None where none was chosen."""
    file = form.get("file")
    if not isinstance(file, UploadFile) or not file.filename:
        return None
    return file.file.read(most + 1)


def seen_version(form: FormData) -> int:
    """The version its writer saw, 0 where the form does not say."""
    return version_of(form, "seen")


def version_of(form: FormData, name: str) -> int:
    """A version that a form tells of, 0 where it does not."""
    value = one(form, name)
    return int(value) if value.isascii() and value.isdecimal() and len(value) < 10 else 0
