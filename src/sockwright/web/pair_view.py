"""What a pair's page shows: its plan in short, what was measured beside it, its sheets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sockwright.estimates import Estimate
from sockwright.order.model import State
from sockwright.plan import Plan
from sockwright.web.formats import Formats
from sockwright.web.pair_forms import LABELS, LENGTHS, PICKED_TIME
from sockwright.web.plan_view import Row, columns, profile_drawing, sock_rows
from sockwright.web.visit import Visit
from sockwright.web.yarn_rows import pair_rows
from sockwright.words.said import said
from sockwright.workshop.answers import Planned, Problems, Refused

IN_SHORT = (
    "sizing.needles",
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
    "left": said("left sock"),
    "right": said("right sock"),
    "first": said("first sock"),
    "second": said("second sock"),
}
"""The socks that a log may tell of."""

KEYS = {
    "foot": "fabric.foot_length",
    "height": "fabric.leg_length",
    "flat_width": "fabric.girth",
    "cuff": "sizing.hem_rounds",
}
"""What each length that is measured comes from in a plan."""

STATES = {
    State.WASHED: said("washed and dry"),
    State.RESTED: said("rested, not washed"),
    State.ON_MACHINE: said("on the machine"),
}
"""What state a sock is measured in, the best first."""


@dataclass(frozen=True)
class Compared:
    """A length of the finished sock: by the plan, a text for each sock, and as measured.

    `key` is that of the explanation of the planned one, "" where there is no plan.
    """

    label: str
    key: str
    planned: tuple[str, ...]
    measured: str


def plan_in_short(visit: Visit, outcome: Planned | Problems | Refused) -> dict[str, Any]:
    """The plan of a pair as its page shows it; "state" says what there is."""
    if isinstance(outcome, Problems):
        return {"state": "problems", "problems": outcome.problems, "two": False}
    if isinstance(outcome, Refused):
        return {"state": "refused", "refusal": outcome.refusal, "two": False}
    plan, formats = outcome.plan, visit.formats
    shown = columns(plan)
    return {
        "state": "planned",
        "ok": plan.ok,
        "two": plan.second is not None,
        "shown": shown,
        "rows": _short_rows(sock_rows(shown, formats)),
        "yarns": pair_rows(plan, formats),
        "profile": profile_drawing(plan, visit.tongue),
        "sheets": visit.shop.sheet_files(plan),
    }


def compared(
    outcome: Planned | Problems | Refused, measured: Mapping[str, Any] | None, formats: Formats
) -> list[Compared]:
    """The lengths that were measured, beside those of the plan where there is one."""
    given = measured or {}
    shown = columns(outcome.plan) if isinstance(outcome, Planned) else ()
    planned = [_planned(column.plan, formats) for column in shown]
    return [
        Compared(
            LABELS[f"measured.{name}"],
            KEYS[name] if planned else "",
            tuple(one[name] for one in planned),
            given[name],
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


def _short_rows(rows: list[Row]) -> list[Row]:
    return [row for row in rows if row.keys[0] in IN_SHORT]


def _planned(plan: Plan, formats: Formats) -> dict[str, str]:
    """What each length should be, washed and dry."""
    girth = plan.fabric.girth
    return {
        "foot": formats.length(plan.fabric.foot_length),
        "height": formats.length(plan.fabric.leg_length),
        "flat_width": formats.length(Estimate(girth.value / 2, girth.sd / 2, "mm")),
        "cuff": formats.length(plan.sizing.cuff.visible * plan.gauge.course.value),
    }
