"""What the planning page shows, for its templates and for its data alike."""

from __future__ import annotations

from typing import Any

from sockwright.errors import SockwrightError
from sockwright.order.model import YARN_ROLES
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import finding_words, look_again, plan_notes
from sockwright.plan_size import size_verdict
from sockwright.program.instructions import group_steps
from sockwright.web.beside_rows import beside_rows
from sockwright.web.plan_view import (
    ROLES,
    columns,
    cylinder_drawing,
    foot_rows,
    gauge_rows,
    profile_drawing,
    sock_rows,
)
from sockwright.web.planning import (
    Planning,
    cylinders,
    mend_address,
    named_place,
    plain,
    sliders,
)
from sockwright.web.ranking import ranking
from sockwright.web.visit import Visit
from sockwright.web.why_view import Asking, beside_each_other
from sockwright.web.yarn_rows import yarn_rows
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
        "asking": Asking("/plan/why", planning.query),
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
            (plain(one), named_place(one), mend_address(one, planning.choice))
            for one in outcome.problems
        ]
        return {"state": "problems", "problems": found}
    if isinstance(outcome, Refused):
        return {"state": "refused", "refusal": outcome.refusal}
    return {"state": "planned", **_planned(visit, planning, outcome, drawn)}


def _planned(visit: Visit, planning: Planning, outcome: Planned, drawn: bool) -> dict[str, Any]:
    plan, formats = outcome.plan, visit.formats
    plans = beside_each_other(plan, other_plan(planning))
    shown = [sock for one in plans for sock in columns(one.plan, one.heading)]
    words = [(one.heading, _words(one.plan, visit.tongue)) for one in shown]
    return {
        "plan": plan,
        "two_cylinders": len(plans) > 1,
        "notes_of": words,
        "shared_notes": [
            note
            for note in words[0][1]["notes"]
            if all(note in others["notes"] for _, others in words)
        ],
        "shown": shown,
        "beside_rows": beside_rows(shown, [each for _, each in words]) if plans[1:] else [],
        "sock_rows": sock_rows(shown, formats),
        "gauge_rows": gauge_rows(shown, formats),
        "feet": columns(plan),
        "foot_rows": foot_rows(columns(plan), formats),
        "yarns": yarn_rows(plans, formats, _pages_of_yarns(planning)),
        "profiles": [
            (one.heading, profile_drawing(one.plan, visit.tongue)) for one in shown if drawn
        ],
        "cylinders": [
            (one.heading, cylinder_drawing(one.plan, visit.tongue)) for one in plans if drawn
        ],
        "programs": [
            (one.heading, instructions(one.plan, visit.tongue.code)) for one in columns(plan)
        ],
        "ranking": ranking(plan, planning, formats),
        "beside_refused": _refused(planning.beside),
        "next": plan.next_reading.best,
        "sheets": visit.shop.sheet_files(plan, visit.preferences.paper),
    }


def other_plan(planning: Planning) -> Plan | None:
    """The plan on the second cylinder, where there is one."""
    return planning.beside.plan if isinstance(planning.beside, Planned) else None


def _pages_of_yarns(planning: Planning) -> dict[str, str]:
    """The page of each yarn that was chosen, by its role."""
    assert planning.choice is not None
    return {role: f"/yarns/{id}" for role, id in planning.choice.yarns.items()}


def _words(plan: Plan, tongue: Tongue) -> dict[str, Any]:
    """Verdict, findings and notes of one sock; a finding names its step in a language."""
    run = plan.dry_run
    steps = instructions(plan, tongue.code) if run.findings else ()
    return {
        "plan": plan,
        "loops": int((run.loops.stays & run.loops.is_loop).sum()),
        "count": len(group_steps(plan.program.steps)),
        "doubts": look_again(plan),
        "size": size_verdict(plan),
        "findings": [(one, finding_words(plan, one, steps)) for one in run.findings],
        "notes": plan_notes(plan),
    }


def _refused(beside: object) -> SockwrightError | str | None:
    """Why there is no second cylinder to see."""
    if isinstance(beside, Refused):
        return beside.refusal.reason
    return str(beside) if isinstance(beside, Problems) else None
