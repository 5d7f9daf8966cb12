"""The planning page: parts are chosen, and the result changes as they change."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from sockwright.errors import SockwrightError
from sockwright.order.model import YARN_ROLES
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import finding_words, look_again, plan_notes
from sockwright.program.instructions import group_steps
from sockwright.store.things import Thing
from sockwright.web.beside_rows import beside_rows
from sockwright.web.forms import AForm, texts
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
    work_out,
)
from sockwright.web.printing import sheet_answer
from sockwright.web.ranking import ranking
from sockwright.web.refusals import NoPage
from sockwright.web.visit import AVisit, Visit
from sockwright.web.why_view import Asking, Keys, beside_each_other, why_answer
from sockwright.web.yarn_rows import yarn_rows
from sockwright.words.said import said
from sockwright.words.tongue import Tongue
from sockwright.workshop.answers import Planned, Problems, Refused

router = APIRouter(prefix="/plan")

PARTS = tuple(role for role in YARN_ROLES if role != "main")
"""The parts that may have a yarn of their own."""


@router.get("")
def plan(visit: AVisit) -> Response:
    """The whole page: what can be chosen, and the result."""
    planning = _planning(visit)
    return _with_address(visit.page("plan.html", **_context(visit, planning)), planning)


@router.get("/result")
def result(visit: AVisit) -> Response:
    """The result alone, for a page that stays; without one the whole page."""
    planning = _planning(visit)
    if not visit.is_fragment:
        return RedirectResponse(f"/plan?{visit.request.url.query}", 303)
    return _with_address(visit.page("plan_result.html", **_context(visit, planning)), planning)


@router.get("/why")
def why(visit: AVisit, key: Keys = ()) -> Response:
    """Where numbers come from, on both cylinders where two stand side by side."""
    planning = _planning(visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to explain; choose its parts first"))
    plans = beside_each_other(planning.outcome.plan, _other(planning))
    asking = Asking("/plan/why", planning.query)
    return why_answer(visit, plans, key, asking, f"/plan?{planning.query}")


@router.get("/sheets/{file}")
def sheet(visit: AVisit, file: str) -> Response:
    """A sheet of a plan that is not kept."""
    planning = _planning(visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to print; choose its parts first"))
    return sheet_answer(visit, planning.outcome.plan, file)


@router.post("")
def keep(visit: AVisit, form: AForm) -> Response:
    """Keep the pair as it is planned now."""
    planning = work_out(visit.shop, texts(form), visit.preferences.units)
    if planning.choice is None:
        return visit.page("plan.html", 422, **_context(visit, planning))
    kept = visit.shop.plan_sock(planning.choice)
    if not isinstance(kept, Thing):
        return visit.page("plan.html", 422, **_context(visit, planning))
    return visit.to(
        f"/socks/{kept.id}",
        said("The pair is kept."),
        undo=(f"/socks/{kept.id}/delete", kept.version),
    )


def _with_address(answer: Response, planning: Planning) -> Response:
    """Have a page that stays show the address of what it shows."""
    answer.headers["HX-Replace-Url"] = f"/plan?{planning.query}" if planning.query else "false"
    return answer


def _planning(visit: Visit) -> Planning:
    return work_out(visit.shop, visit.request.query_params.multi_items(), visit.preferences.units)


def _context(visit: Visit, planning: Planning) -> dict[str, Any]:
    """All that the templates of the page show."""
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
        "result": _result(visit, planning),
    }


def _result(visit: Visit, planning: Planning) -> dict[str, Any]:
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
    return {"state": "planned", **_planned(visit, planning, outcome)}


def _planned(visit: Visit, planning: Planning, outcome: Planned) -> dict[str, Any]:
    plan, formats = outcome.plan, visit.formats_in(planning.wish.units)
    plans = beside_each_other(plan, _other(planning))
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
        "profiles": [(one.heading, profile_drawing(one.plan, visit.tongue)) for one in shown],
        "cylinders": [(one.heading, cylinder_drawing(one.plan, visit.tongue)) for one in plans],
        "programs": [
            (one.heading, instructions(one.plan, visit.tongue.code)) for one in columns(plan)
        ],
        "ranking": ranking(plan, planning, formats),
        "beside_refused": _refused(planning.beside),
        "next": plan.next_reading.best,
        "fmt": formats,
        "sheets": visit.shop.sheet_files(plan),
    }


def _other(planning: Planning) -> Plan | None:
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
        "findings": [(one, finding_words(plan, one, steps)) for one in run.findings],
        "notes": plan_notes(plan),
    }


def _refused(beside: object) -> SockwrightError | str | None:
    """Why there is no second cylinder to see."""
    if isinstance(beside, Refused):
        return beside.refusal.reason
    return str(beside) if isinstance(beside, Problems) else None
