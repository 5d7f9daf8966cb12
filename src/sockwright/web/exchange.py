"""Files that come in: read within bounds, their texts kept, and what became of them told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from starlette.datastructures import FormData, UploadFile

from sockwright.errors import Problem
from sockwright.store.items import Thing
from sockwright.web.pairs_kept import ID, Everything, by_id
from sockwright.web.received import MOST_FIELD_BYTES
from sockwright.words.said import joined, said, said_of
from sockwright.workshop.backup import Joined
from sockwright.workshop.order_exchange import Taken
from sockwright.workshop.whole_stream import MOST_BYTES

MOST_LISTED = 60
"""Things that are named one by one after a workshop was taken in."""

THE_ORDER = said("the order")


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
        return Problem(THE_ORDER, said("is not a text file"), said("give an order file"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        right = said("save it as plain text in UTF-8")
        return Problem(THE_ORDER, said("is not text in UTF-8"), right)


def workshop_bytes(form: FormData) -> bytes | Problem:
    """The file of a whole workshop."""
    data = uploaded(form, MOST_BYTES)
    if data is None:
        return Problem(said("the file"), said("is missing"), said("choose an exported workshop"))
    return data


def uploaded(form: FormData, most: int) -> bytes | None:
    """The chosen file, one byte more than `most` if it is larger; None where none was chosen."""
    file = form.get("file")
    if not isinstance(file, UploadFile) or not file.filename:
        return None
    return file.file.read(most + 1)


def order_told(taken: Taken) -> str:
    """What became of an order, in words."""
    if not taken.new:
        return said("This order is kept here already.")
    new = said_of("{n} part of it is new", "{n} parts of it are new", len(taken.new))
    if not taken.found:
        return said("The order is taken in: {new}.", new=new)
    found = said_of("{n} was here already", "{n} were here already", len(taken.found))
    return said("The order is taken in: {new}, {found}.", new=new, found=found)


def workshop_told(answer: Joined) -> str:
    """What became of a workshop's file, in words."""
    new, newer = len(answer.new), len(answer.newer)
    known, differed = len(answer.known), len(answer.differed)
    counts = {
        said_of("{n} thing is new", "{n} things are new", new): new,
        said_of("{n} was brought up to date", "{n} were brought up to date", newer): newer,
        said_of("{n} was known already", "{n} were known already", known): known,
        said_of("{n} was changed here and there", "{n} were changed here and there", differed): (
            differed
        ),
    }
    told = [words for words, count in counts.items() if count]
    if not told:
        return said("The workshop was taken in: there was nothing in it.")
    return said("The workshop is taken in: {told}.", told=joined(", ", told))


def listed_query(answer: Joined) -> str:
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
    return Problem(THE_ORDER, said("is far too large for an order"), said("give an order file"))


def _nothing() -> Problem:
    return Problem(THE_ORDER, said("is missing"), said("choose a file, or paste its text"))
