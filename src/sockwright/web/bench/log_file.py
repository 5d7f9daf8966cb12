"""The log of one sock as a file: what a saved bench writes, and what comes back from it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any, Final

from sockwright.bench.log import Entry
from sockwright.errors import Problem
from sockwright.words.said import said, said_of
from sockwright.workshop.answers import Problems
from sockwright.workshop.bench import MOST_IN_FILE, RefusedEntry
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


@dataclass(frozen=True)
class TakenLog:
    """What became of a saved log, in words, and the entries that were left out of it."""

    told: str
    refused: tuple[RefusedEntry, ...] = ()
    any: bool = True


def take_log(shop: Workshop, id: str, which: str, text: str) -> TakenLog | Problems:
    """Add what a saved log holds to that of the sock, all but the entries that cannot be kept.

    Problems, with nothing taken, for what is no log of this sock.
    """
    entries = _entries(text, id, which)
    if isinstance(entries, Problem):
        return Problems((entries,))
    known = len(shop.bench_log(id, which))
    added = shop.add_to_bench_log(id, which, entries, MOST_IN_FILE)
    if isinstance(added, Problems):
        return added
    return TakenLog(_told(len(added.log) - known), added.refused, added.taken > 0)


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
