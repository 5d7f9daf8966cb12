"""The planning page: parts are chosen, and the result changes as they change."""

from __future__ import annotations

from collections.abc import Iterable

from fastapi import APIRouter
from fastapi.responses import RedirectResponse, Response

from sockwright.store.things import Thing
from sockwright.web.choices import read_wish
from sockwright.web.forms import AForm, texts
from sockwright.web.plan_result import other_plan, plan_context
from sockwright.web.planning import (
    Planning,
    work_out,
)
from sockwright.web.printing import sheet_answer
from sockwright.web.refusals import NoPage
from sockwright.web.visit import AVisit, Visit
from sockwright.web.why_view import Asking, Keys, beside_each_other, told_numbers, why_answer
from sockwright.words.said import said
from sockwright.workshop.answers import Planned

router = APIRouter(prefix="/plan")


@router.get("")
def plan(visit: AVisit) -> Response:
    """The whole page: what can be chosen, and the result."""
    planning = _planning(visit)
    return _with_address(visit.page("plan.html", **plan_context(visit, planning)), planning)


@router.get("/result")
def result(visit: AVisit) -> Response:
    """The result alone, for a page that stays; without one the whole page."""
    planning = _planning(visit)
    if not visit.is_fragment:
        return RedirectResponse(f"/plan?{visit.request.url.query}", 303)
    context = plan_context(visit, planning)
    return _with_address(visit.page("plan_result.html", **context, alone=True), planning)


@router.get("/why")
def why(visit: AVisit, key: Keys = ()) -> Response:
    """Where numbers come from, on both cylinders where two stand side by side."""
    planning = _planning(visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to explain; choose its parts first"))
    plans = beside_each_other(planning.outcome.plan, other_plan(planning))
    asking = Asking("/plan/why", planning.query)
    units = planning.outcome.plan.order.units
    told = told_numbers(plans, key)
    return why_answer(visit, told, units, asking, f"/plan?{planning.query}")


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
        return visit.page("plan.html", 422, **plan_context(visit, planning))
    kept = visit.shop.plan_sock(planning.choice)
    if not isinstance(kept, Thing):
        return visit.page("plan.html", 422, **plan_context(visit, planning))
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
