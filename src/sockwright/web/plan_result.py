"""What the planning page shows, for its templates and for its data alike."""

from __future__ import annotations

from typing import Any

from sockwright.errors import SockwrightError
from sockwright.order.model import YARN_ROLES
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import finding_words, look_again, plan_notes
from sockwright.plan_size import size_verdict
from sockwright.web.beside_rows import beside_rows
from sockwright.web.plan_view import (
    ROLES,
    columns,
    cylinder_drawing,
    cylinder_words,
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
from sockwright.web.preferences import Preferences
from sockwright.web.ranking import ranking
from sockwright.web.why_view import Asking, beside_each_other
from sockwright.web.yarn_rows import yarn_rows
from sockwright.wording.instructions import Instruction, group_steps
from sockwright.words.tongue import Tongue
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.printing import sheet_files

PARTS = tuple(role for role in YARN_ROLES if role != "main")
"""The parts that may have a yarn of their own."""


def choice_context(planning: Planning) -> dict[str, Any]:
    """What can be chosen, and what is."""
    return {
        "planning": planning,
        "wish": planning.wish,
        "shelf": planning.shelf,
        "parts": [(role, ROLES[role]) for role in PARTS],
        "cylinders": sorted(cylinders(planning.machine)),
        "picked": planning.choice.swatches if planning.choice else planning.wish.swatches,
    }


def result_context(reader: Preferences, planning: Planning) -> dict[str, Any]:
    """What came of a choice, for templates and data alike."""
    return {
        "planning": planning,
        "wish": planning.wish,
        "sliders": sliders(planning),
        "asking": Asking("/plan/why", planning.query),
        "result": _result(reader, planning),
    }


def drawings(planning: Planning, tongue: Tongue) -> dict[str, list[tuple[str, str]]]:
    """The figures of a plan under their headings: each sock, and each cylinder."""
    if not isinstance(planning.outcome, Planned):
        return {"profiles": [], "cylinders": []}
    plans = beside_each_other(planning.outcome.plan, other_plan(planning))
    shown = [sock for one in plans for sock in columns(one.plan, one.heading)]
    return {
        "profiles": [(one.heading, profile_drawing(one.plan, tongue)) for one in shown],
        "cylinders": [
            (cylinder_words(one.plan, one.heading), cylinder_drawing(one.plan, tongue))
            for one in plans
        ],
    }


def program_of(plan: Plan, which: int, language: str) -> tuple[Instruction, ...]:
    """The crank program of one of the socks of a plan, counted from 0; none where it has fewer."""
    socks = columns(plan)
    return instructions(socks[which].plan, language) if which < len(socks) else ()


def _result(reader: Preferences, planning: Planning) -> dict[str, Any]:
    """The outcome in words and rows; "state" says which of them there are."""
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
    return {"state": "planned", **_planned(reader, planning, outcome)}


def _planned(reader: Preferences, planning: Planning, outcome: Planned) -> dict[str, Any]:
    plan, formats = outcome.plan, reader.formats
    plans = beside_each_other(plan, other_plan(planning))
    shown = [sock for one in plans for sock in columns(one.plan, one.heading)]
    words = [(one.heading, _words(one.plan, reader.tongue)) for one in shown]
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
        "profiles": [(one.heading, "") for one in shown],
        "cylinders": [(cylinder_words(one.plan, one.heading), "") for one in plans],
        "programs": [
            (one.heading, len(group_steps(one.plan.program.steps)), ()) for one in columns(plan)
        ],
        "ranking": ranking(plan, planning, formats),
        "beside_refused": _refused(planning.beside),
        "next": plan.next_reading.best,
        "sheets": sheet_files(plan, reader.paper),
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
