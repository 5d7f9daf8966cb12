"""What the planning page shows, for its templates and for its data alike."""

from __future__ import annotations

from typing import Any

from sockwright.errors import SockwrightError
from sockwright.order.model import YARN_ROLES
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import finding_words, look_again, plan_notes
from sockwright.web.plan_view import (
    ROLES,
    columns,
    cylinder_drawing,
    foot_rows,
    gauge_rows,
    profile_drawing,
    sock_rows,
    yarn_lines,
)
from sockwright.web.planning import Planning, cylinders, mend_address, named_place, sliders
from sockwright.web.visit import Visit
from sockwright.words.said import said
from sockwright.words.tongue import Tongue
from sockwright.workshop.answers import Planned, Problems, Refused

PARTS = tuple(role for role in YARN_ROLES if role != "main")
"""The parts that may have a yarn of their own."""


def plan_context(visit: Visit, planning: Planning, drawn: bool = True) -> dict[str, Any]:
    """All that the page shows: its templates and its data are made of this.

    `drawn` is whether the figures are.
    """
    own = sorted(cylinders(planning.machine))
    return {
        "planning": planning,
        "wish": planning.wish,
        "shelf": planning.shelf,
        "parts": [(role, ROLES[role]) for role in PARTS],
        "cylinders": own,
        "sliders": sliders(planning),
        "picked": planning.choice.swatches if planning.choice else planning.wish.swatches,
        "result": _result(visit, planning, drawn),
    }


def _result(visit: Visit, planning: Planning, drawn: bool) -> dict[str, Any]:
    """The outcome in words, rows and drawings; "state" says which of them there are."""
    outcome = planning.outcome
    if outcome is None:
        return {"state": "missing"}
    assert planning.choice is not None
    if isinstance(outcome, Problems):
        found = [
            (one, named_place(one), mend_address(one, planning.choice)) for one in outcome.problems
        ]
        return {"state": "problems", "problems": found}
    if isinstance(outcome, Refused):
        return {"state": "refused", "refusal": outcome.refusal}
    return {"state": "planned", **_planned(visit, planning, outcome, drawn)}


def _planned(visit: Visit, planning: Planning, outcome: Planned, drawn: bool) -> dict[str, Any]:
    plan, beside, formats = outcome.plan, planning.beside, visit.formats
    other = beside.plan if isinstance(beside, Planned) else None
    shown = list(columns(plan))
    if other is not None:
        shown = [
            *columns(plan, said("{n} needles", n=plan.sizing.needles)),
            *columns(other, said("{n} needles", n=other.sizing.needles)),
        ]
    words = [(one.heading, _words(one.plan, visit.tongue)) for one in columns(plan)]
    return {
        "plan": plan,
        "notes_of": words,
        "shared_notes": [
            note
            for note in words[0][1]["notes"]
            if all(note in others["notes"] for _, others in words)
        ],
        "shown": shown,
        "sock_rows": sock_rows(shown, formats),
        "gauge_rows": gauge_rows(shown, formats),
        "foot_rows": foot_rows(list(columns(plan)), formats),
        "yarns": yarn_lines(plan, formats),
        "figures": [
            (
                one.heading,
                profile_drawing(one.plan, visit.tongue),
                cylinder_drawing(one.plan, visit.tongue),
            )
            for one in (shown if drawn else ())
        ],
        "ranking": [(fit, planning.query_on(fit.cylinder.needles)) for fit in plan.ranking],
        "beside_refused": _refused(beside),
        "next": plan.next_reading.best,
        "sheets": visit.shop.sheet_files(plan),
    }


def _words(plan: Plan, tongue: Tongue) -> dict[str, Any]:
    """Verdict, findings, notes and steps of one sock, the steps in a language."""
    steps = instructions(plan, tongue.code)
    run = plan.dry_run
    return {
        "plan": plan,
        "loops": int((run.loops.stays & run.loops.is_loop).sum()),
        "doubts": look_again(plan),
        "findings": [(one, finding_words(plan, one, steps)) for one in run.findings],
        "notes": plan_notes(plan),
        "steps": steps,
    }


def _refused(beside: object) -> SockwrightError | str | None:
    """Why there is no second cylinder to see."""
    if isinstance(beside, Refused):
        return beside.refusal.reason
    return str(beside) if isinstance(beside, Problems) else None
