"""The log of one sock as a file: what a saved bench writes, and what comes back from it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, Final

from sockwright.bench.log import Entry
from sockwright.errors import Problem
from sockwright.words.said import said, said_of
from sockwright.workshop.answers import Problems
from sockwright.workshop.bench_log import MOST_ENTRIES, read_entries
from sockwright.workshop.workshop import Workshop

WHERE: Final = said("the log")
"""What a problem with the whole of a saved log is told of."""

WHAT: Final = "sockwright bench log"
VERSION: Final = 1

MOST_FILE_BYTES: Final = 900_000
"""More than a file of any log has; a request may have a little more."""

USUAL: Final = {"by": 0, "of": "", "at": 0, "text": ""}
"""What an entry of a saved log may leave out."""


def log_file(entries: Iterable[Entry], id: str, which: str) -> bytes:
    """The log of one sock of a pair, an entry a line."""
    lines = ",\n".join(json.dumps(_short(one), ensure_ascii=False) for one in entries)
    head = json.dumps({"what": WHAT, "version": VERSION, "sock": id, "which": which})
    return f'{head[:-1]}, "entries": [\n{lines}\n]}}\n'.encode()


def _short(entry: Entry) -> dict[str, Any]:
    return {name: value for name, value in asdict(entry).items() if USUAL.get(name) != value}


def take_log(shop: Workshop, id: str, which: str, text: str) -> str | Problems:
    """Add what a saved log holds to that of the sock; what became of it in words, or all that is
    wrong with it, with nothing taken."""
    entries = _entries(text, id, which)
    if isinstance(entries, Problem):
        return Problems((entries,))
    parts = [entries[at : at + MOST_ENTRIES] for at in range(0, len(entries), MOST_ENTRIES)]
    read = map(read_entries, parts)
    wrong = [one for part in read if isinstance(part, Problems) for one in part.problems]
    if wrong:
        return Problems(tuple(wrong))
    known = len(shop.bench_log(id, which))
    for part in parts:
        shop.add_to_bench_log(id, which, part)
    return _told(len(shop.bench_log(id, which)) - known)


def _told(new: int) -> str:
    if not new:
        return said("All of this log was here already.")
    return said_of(
        "The log is here: {n} entry is new.", "The log is here: {n} entries are new.", new
    )


def _entries(text: str, id: str, which: str) -> list[Any] | Problem:
    try:
        given = json.loads(text)
    except (ValueError, RecursionError):
        return _problem(said("is no saved log"), said("give all of it, as the bench wrote it"))
    log = given if isinstance(given, dict) else {"entries": given}
    if log.get("what", WHAT) != WHAT or not isinstance(log.get("entries"), list):
        return _problem(said("is something else than a log"), said("give the log of a sock"))
    if log.get("version", VERSION) != VERSION:
        return _problem(
            said("was written by a newer program"), said("bring this program up to date first")
        )
    if log.get("sock", id) != id:
        return _problem(said("is of another pair"), said("bring it back on the page of that pair"))
    if log.get("which", which) != which:
        return _problem(
            said("is of the other sock of this pair"), said("bring it back at that sock")
        )
    entries: list[Any] = log["entries"]
    return entries


def _problem(wrong: str, right: str) -> Problem:
    return Problem(WHERE, wrong, right)
