"""The planning page: parts are chosen, and the result changes as they change."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from sockwright.errors import SockwrightError
from sockwright.order.model import YARN_ROLES
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import finding_words, look_again, plan_notes
from sockwright.plan_sources import sources, told_of
from sockwright.store.things import Thing
from sockwright.web.choices import read_wish
from sockwright.web.forms import AForm, texts
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
from sockwright.web.planning import (
    Planning,
    cylinders,
    mend_address,
    named_place,
    sliders,
    work_out,
)
from sockwright.web.printing import sheet_answer
from sockwright.web.refusals import NoPage
from sockwright.web.visit import AVisit, Visit
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
def why(visit: AVisit, key: str = "") -> Response:
    """Where one number comes from."""
    planning = _planning(visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to explain; choose its parts first"))
    plan = planning.outcome.plan
    every = {one.key: one for one in sources(plan)}
    shown = zip(columns(plan), (key, f"second.{key}"), strict=False)
    explained = [(column.heading, every[name]) for column, name in shown if name in every]
    if not explained:
        raise NoPage(said("no number of a plan goes by that key"))
    template = "plan_why_piece.html" if visit.is_fragment else "plan_why.html"
    return visit.page(
        template,
        explained=explained,
        keys=every.keys(),
        told_of=told_of,
        units=plan.order.units,
        query=planning.query,
    )


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
    planning = _worked_out(visit, texts(form))
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
    return _worked_out(visit, visit.request.query_params.multi_items())


def _worked_out(visit: Visit, items: Iterable[tuple[str, str]]) -> Planning:
    """A query or a form worked out, in the visitor's units whatever those of its sender were."""
    units = visit.preferences.units
    return work_out(visit.shop, read_wish(items, units).in_units(units))


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
            (one, named_place(one), mend_address(one, planning.choice)) for one in outcome.problems
        ]
        return {"state": "problems", "problems": found}
    if isinstance(outcome, Refused):
        return {"state": "refused", "refusal": outcome.refusal}
    return {"state": "planned", **_planned(visit, planning, outcome)}


def _planned(visit: Visit, planning: Planning, outcome: Planned) -> dict[str, Any]:
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
            for one in shown
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
