"""The forms of a pair's page: what was typed, read into what the workshop takes, and kept."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from starlette.datastructures import FormData

from sockwright.errors import Problem
from sockwright.store.items import Stale
from sockwright.web.forms import texts
from sockwright.words.said import said

LOG, FINISH, MEASURE = "log", "finish", "measure"
"""The forms with something to type; others are a button alone."""

BENCH = {"first": "bench-first", "second": "bench-second"}
"""The forms that bring back the log of a sock, by its turn."""

ENTRY = ("time", "sock", "rounds", "deviation", "note")
LENGTHS = ("foot", "height", "flat_width", "cuff")

LABELS = {
    "time": said("When"),
    "sock": said("Which sock"),
    "rounds": said("Rounds so far"),
    "deviation": said("Done otherwise than planned"),
    "note": said("Note"),
    "measured.state": said("State of the sock"),
    "measured.foot": said("Foot, heel to toe"),
    "measured.height": said("Height from the floor"),
    "measured.flat_width": said("Width, laid flat"),
    "measured.cuff": said("Cuff, as it is seen"),
    "measured.worn": said("How it fits and wears"),
    "text": said("The log"),
}
"""What each field is called, by its place."""

PICKED_TIME = re.compile(r"(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})(?::\d{2})?")
"""A moment as the field for one sends it."""


@dataclass(frozen=True)
class Sent:
    """A form that could not be written: what it said, its problems, or that it came too late.

    `form` is "" before anything was sent. `taken` says what became of the rest, where only a part
    could not be written.
    """

    form: str = ""
    values: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    stale: Stale | None = None
    taken: str = ""

    def value(self, form: str, name: str, usual: str = "") -> str:
        """What stands in a field: what was typed there, else the usual."""
        return self.values.get(name, usual) if form == self.form else usual

    def problem(self, form: str, name: str) -> Problem | None:
        """What is wrong with a field."""
        if form != self.form:
            return None
        return next((one for one in self.problems if one.path == name), None)


MEANWHILE = {
    "log": said("Something was written down; it stands below."),
    "measured": said("What the pair measures was written down."),
    "left": said("The yarns were weighed."),
}
"""What may have been done to a pair, by the first word of the place that changed."""

ANEW = said("It was planned anew.")


def meanwhile(stale: Stale) -> list[str]:
    """What was done to a pair since its page was opened, each once."""
    told: dict[str, None] = {}
    for change in stale.changes:
        first = re.split(r"[.\[]", change.path)[0]
        if first == "status":
            told[said("It is {status} now.", status=said(str(change.now)))] = None
        elif first == "deleted":
            gone = change.now is not None
            told[said("It was deleted.") if gone else said("It was put back.")] = None
        else:
            told[MEANWHILE.get(first, ANEW)] = None
    return list(told)


def sent(name: str, form: FormData, **more: Any) -> Sent:
    """A form that came in, to be shown again."""
    return Sent(name, dict(texts(form)), **more)


def field_id(form: str, name: str) -> str:
    """The id of a field's element."""
    return f"{form}-{name.replace('.', '-')}"


def log_entry(form: FormData) -> dict[str, Any]:
    """What happened, as the log takes it."""
    entry: dict[str, Any] = _given(form, ENTRY)
    if picked := PICKED_TIME.fullmatch(entry.get("time", "")):
        entry["time"] = f"{picked[1]} {picked[2]}"
    rounds = entry.get("rounds", "")
    if rounds.isdecimal() and rounds.isascii() and len(rounds) < 10:
        entry["rounds"] = int(rounds)
    return entry


def masses_left(form: FormData) -> dict[str, Any]:
    """What the yarns weigh now, by role; what is not weighed is left out."""
    return _table(form, "left.")


def measures(form: FormData) -> dict[str, Any]:
    """What the finished pair measures; nothing where only its state is told."""
    found = _table(form, "measured.")
    return found if found.keys() - {"state"} else {}


def _table(form: FormData, prefix: str) -> dict[str, Any]:
    names = [name for name, _ in texts(form) if name.startswith(prefix)]
    return {name.removeprefix(prefix): text for name, text in _given(form, names).items()}


def _given(form: FormData, names: Any) -> dict[str, Any]:
    """The texts of the fields that say something, with our own ends of lines."""
    given = dict(texts(form))
    every = {name: given.get(name, "").replace("\r\n", "\n").strip() for name in names}
    return {name: text for name, text in every.items() if text}
