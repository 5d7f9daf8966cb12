"""What a pair's page shows: its plan in short, what was measured beside it, its sheets."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from starlette.datastructures import FormData

from sockwright.errors import Problem
from sockwright.estimates import Estimate
from sockwright.i18n.messages import _
from sockwright.measure.fabrics import leg_fabric
from sockwright.plan.make import SockPlan
from sockwright.plan.notes import look_again, plan_notes
from sockwright.plan.short_yarn import shortages
from sockwright.plan.trust import SizeVerdict, size_verdict
from sockwright.store.items import Stale
from sockwright.web.context import RequestContext
from sockwright.web.pairs.finishing import LABELS as OF_FINISHED
from sockwright.web.pairs.finishing import QUESTIONS
from sockwright.web.plan.rows import Column, Row, columns, pair_rows, profile_drawing, sock_rows
from sockwright.web.preferences import Formats
from sockwright.web.received import texts
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.fields import STATUS_WORDS
from sockwright.workshop.measured import LENGTHS

LOG, FINISH, MEASURE = "log", "finish", "measure"
"""The forms with something to type; others are a button alone."""

BENCH = {"first": "bench-first", "second": "bench-second"}
"""The forms that bring back the log of a sock, by its turn."""

ENTRY = ("time", "sock", "rounds", "deviation", "note")

LABELS = {
    "time": _("When"),
    "sock": _("Which sock"),
    "rounds": _("Rounds so far"),
    "deviation": _("Different from the plan"),
    "note": _("Note"),
    **OF_FINISHED,
    **{f"measured.answers.{key}": words for key, words in QUESTIONS.items()},
    "text": _("The log"),
}
"""What each field is called, by its place."""

PICKED_TIME = re.compile(r"(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})(?::\d{2})?")
"""A moment as the field for one sends it."""


PICKED_DAY = re.compile(r"(?:\d{4}-\d{2}-\d{2})?")
"""A day as the field for one shows it, or none."""


@dataclass(frozen=True)
class RejectedForm:
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
    "log": _("A note was added; see below."),
    "measured": _("Measures were added."),
    "left": _("The yarns were weighed."),
}
"""What may have been done to a pair, by the first word of the place that changed."""

ANEW = _("Planned again.")


def meanwhile(stale: Stale) -> list[str]:
    """What was done to a pair since its page was opened, each once."""
    told: dict[str, None] = {}
    for change in stale.changes:
        first = re.split(r"[.\[]", change.path)[0]
        if first == "status":
            told[_("Status: {status}.", status=STATUS_WORDS[str(change.now)])] = None
        elif first == "deleted":
            gone = change.now is not None
            told[_("Deleted.") if gone else _("Restored.")] = None
        else:
            told[MEANWHILE.get(first, ANEW)] = None
    return list(told)


def sent(name: str, form: FormData, **more: Any) -> RejectedForm:
    """A form that came in, to be shown again."""
    return RejectedForm(name, dict(texts(form)), **more)


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


def _table(form: FormData, prefix: str) -> dict[str, Any]:
    names = [name for name, _ in texts(form) if name.startswith(prefix)]
    return {name.removeprefix(prefix): text for name, text in _given(form, names).items()}


def _given(form: FormData, names: Any) -> dict[str, Any]:
    """The texts of the fields that say something, with our own ends of lines."""
    given = dict(texts(form))
    every = {name: given.get(name, "").replace("\r\n", "\n").strip() for name in names}
    return {name: text for name, text in every.items() if text}


IN_SHORT = (
    "sizing.needles",
    "fit.girth_ease",
    "fit.heel_opening",
    "fit.fabric_opening",
    "sizing.hem_rounds",
    "sizing.leg_rounds",
    "sizing.heel_rows",
    "sizing.foot_rounds",
    "sizing.toe_rows",
    "fabric.leg_length",
    "fabric.foot_length",
    "minutes",
)
"""The numbers of a plan that a pair's page repeats."""

SOCKS = {
    "left": _("left sock"),
    "right": _("right sock"),
    "first": _("first sock"),
    "second": _("second sock"),
}
"""The socks that a log may tell of."""

KEYS = {
    "foot": "fabric.foot_length",
    "leg": "sizing.leg_rounds",
    "height": "fabric.leg_length",
    "cuff": "sizing.cuff_depth",
    "flat_width": "fabric.girth",
    "leg_flat_width": "fabric.girth",
}
"""What each length that is measured comes from in a plan."""


@dataclass(frozen=True)
class Compared:
    """A length of the finished sock: by the plan, a text for each sock, and as measured.

    `key` is that of the explanation of the planned one, "" where there is no plan.
    """

    label: str
    key: str
    planned: tuple[str, ...]
    measured: str


def shown_outcome(
    context: RequestContext, outcome: Planned | Problems | Refused
) -> Planned | Problems | Refused:
    """What came of a pair's order, a plan in the visitor's units."""
    if not isinstance(outcome, Planned):
        return outcome
    return replace(outcome, pair=context.shown(outcome.pair))


def plan_in_short(context: RequestContext, outcome: Planned | Problems | Refused) -> dict[str, Any]:
    """The plan of a pair as its page shows it; "state" says what there is."""
    if isinstance(outcome, Problems):
        return {"state": "problems", "problems": outcome.problems, "two": False}
    if isinstance(outcome, Refused):
        return {"state": "refused", "refusal": outcome.refusal, "two": False}
    pair, formats = outcome.pair, context.formats
    shown = columns(pair)
    return {
        "state": "planned",
        "ok": pair.ok,
        "short": shortages(pair.first),
        "two": pair.second is not None,
        "shown": shown,
        "told": _told(shown),
        "rows": _short_rows(sock_rows(shown, formats)),
        "yarns": pair_rows(pair, formats),
        "profile": profile_drawing(pair.first, context.locale),
        "sheets": context.shop.sheet_files(pair, context.preferences.paper),
    }


def compared(
    outcome: Planned | Problems | Refused, measured: Mapping[str, Any] | None, formats: Formats
) -> list[Compared]:
    """The lengths that were measured, beside those of the plan where there is one."""
    given = measured or {}
    shown = columns(outcome.pair) if isinstance(outcome, Planned) else ()
    planned = [_planned(column.plan, formats) for column in shown]
    return [
        Compared(
            LABELS[f"measured.{name}"],
            KEYS[name] if planned else "",
            tuple(one[name] for one in planned),
            formats.typed_length(given[name]),
        )
        for name in LENGTHS
        if name in given
    ]


def socks_of(two: bool, planned: bool = True) -> dict[str, str]:
    """The socks that a log of this pair tells of: left and right where the feet differ."""
    names = SOCKS if not planned else ("left", "right") if two else ("first", "second")
    return {name: SOCKS[name] for name in names}


def time_field(value: str) -> tuple[str, str]:
    """The kind of the field for a moment and its value: a plain one where it is no moment."""
    picked = value.replace(" ", "T", 1)
    return ("datetime-local", picked) if PICKED_TIME.fullmatch(picked) else ("text", value)


def date_kind(value: str) -> str:
    """The kind of the field for a day: a plain one where what stands in it is none."""
    return "date" if PICKED_DAY.fullmatch(value) else "text"


@dataclass(frozen=True)
class SockNotes:
    """What is said of one sock: its heading, the verdict on its size, its doubts and notes."""

    heading: str
    size: SizeVerdict
    doubts: tuple[str, ...]
    notes: tuple[str, ...]


def _told(shown: Sequence[Column]) -> list[SockNotes]:
    """What is said of each sock; what an earlier one was told of is not said again."""
    found: list[SockNotes] = []
    for one in shown:
        earlier = {words for told in found for words in (*told.doubts, *told.notes)}
        doubts, notes = (
            tuple(words for words in every if words not in earlier)
            for every in (look_again(one.plan), plan_notes(one.plan))
        )
        found.append(SockNotes(one.heading, size_verdict(one.plan), doubts, notes))
    return found


def _short_rows(rows: list[Row]) -> list[Row]:
    return [row for row in rows if row.keys[0] in IN_SHORT]


def _planned(plan: SockPlan, formats: Formats) -> dict[str, str]:
    """What each length should be, washed and dry."""
    girth, course = plan.fabric.girth, plan.gauge.of(leg_fabric(plan.order.sock.cuff)).course
    flat = formats.length(Estimate(girth.value / 2, girth.sd / 2, "mm"))
    return {
        "foot": formats.length(plan.fabric.foot_length),
        "leg": formats.length(plan.sizing.leg_rounds * course.value),
        "height": formats.length(plan.fabric.leg_length),
        "cuff": formats.length(plan.sizing.cuff_depth),
        "flat_width": flat,
        "leg_flat_width": flat,
    }
