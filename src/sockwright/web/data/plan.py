"""The planning page as data: the plan is the command line's plan, word for word."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import BaseModel, Field

from sockwright.plan.data import plan_data, schema_text
from sockwright.web.context import AVisit, Visit
from sockwright.web.data.numbers import Keys, WhyData, plans_why
from sockwright.web.data.plan_shown import ShownData, shown_data
from sockwright.web.errors import NoPage, ProblemData, problems_data
from sockwright.web.plan.choices import read_wish
from sockwright.web.plan.planning import Planning, work_out
from sockwright.web.plan.result import other_pair
from sockwright.web.plan.why import beside_each_other
from sockwright.words.said import said
from sockwright.workshop.answers import Planned, Problems, Refused

router = APIRouter(prefix="/plan", tags=["plan"])

ID = Query(max_length=36, description="The id of a kept thing.")


class OfferData(BaseModel):
    """A plan near a refused one that can be made."""

    change: str
    effect: str


class PlanAnswer(BaseModel):
    """What came of a choice: exactly one of plan, problems, refusal and missing tells."""

    query: str = Field(description="The choice, spelled out as a query.")
    missing: list[str]
    problems: list[ProblemData]
    refusal: str | None
    offers: list[OfferData]
    order: str | None = Field(description="The order file (TOML), as the command line reads it.")
    notes: list[str] = Field(description="What to know about what was chosen.")
    plan: dict[str, Any] | None = Field(
        description="The plan by the schema at /data/plan/schema.json."
    )
    beside: dict[str, Any] | None = Field(description="The plan on the second cylinder.")
    shown: ShownData = Field(description="What the page shows besides: all as it is printed there.")


@router.get("")
def plan(
    visit: AVisit,
    person: Annotated[str, ID] = "",
    machine: Annotated[str, ID] = "",
    main: Annotated[str, Query(alias="yarn.main", max_length=36)] = "",
    design: Annotated[str, ID] = "",
    needles: Annotated[str, Query(max_length=5, description="Of the cylinder.")] = "",
    beside: Annotated[str, Query(max_length=5, description="Of a second cylinder.")] = "",
    units: Annotated[str, Query(max_length=2, description="cm or in.")] = "",
) -> PlanAnswer:
    """Plan a choice; further keys are those of the page's address."""
    return plan_answer(visit, _planning(visit))


@router.get("/why")
def why(visit: AVisit, key: Keys = ()) -> list[WhyData]:
    """Where the numbers of a plan come from: all, or those with the keys."""
    planning = _planning(visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to explain; choose its parts first"))
    units = planning.wish.units
    plans = beside_each_other(planning.outcome.pair, other_pair(planning))
    return plans_why(visit.in_units(units), plans, units, key)


@router.get("/schema.json", response_class=Response)
def schema() -> Response:
    """The JSON Schema of a plan."""
    return Response(schema_text(), media_type="application/schema+json")


def plan_answer(visit: Visit, planning: Planning) -> PlanAnswer:
    """What came of a wish, as data."""
    outcome, beside = planning.outcome, planning.beside
    refused = outcome.refusal if isinstance(outcome, Refused) else None
    composed = None if outcome is None or isinstance(outcome, Problems) else outcome.composed
    return PlanAnswer(
        query=planning.spelled_out,
        missing=list(planning.missing),
        problems=problems_data(outcome) if isinstance(outcome, Problems) else [],
        refusal=None if refused is None else refused.reason,
        offers=[]
        if refused is None
        else [OfferData(change=one.change, effect=one.effect) for one in refused.offers],
        order=None if composed is None else composed.toml,
        notes=[] if composed is None else list(composed.notes),
        plan=plan_data(outcome.pair) if isinstance(outcome, Planned) else None,
        beside=plan_data(beside.pair) if isinstance(beside, Planned) else None,
        shown=shown_data(visit.in_units(planning.wish.units), planning),
    )


def _planning(visit: AVisit) -> Planning:
    items = visit.request.query_params.multi_items()
    return work_out(visit.shop, read_wish(items, visit.preferences.units))
