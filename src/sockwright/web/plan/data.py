"""Planning as data: what came of a choice, and what the page shows of it.

The plan is the command line's plan, word for word. Rows, yarns and options are told in these forms
wherever data tell them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import Response
from pydantic import BaseModel, Field

from sockwright.errors import Offer
from sockwright.i18n.messages import _
from sockwright.plan.data import plan_data, schema_text
from sockwright.store.items import Thing
from sockwright.web.context import Context, RequestContext
from sockwright.web.errors import NoPage, ProblemData, problems_data
from sockwright.web.plan.choices import CHOSEN, FITTING, query_of, read_request
from sockwright.web.plan.planning import Planning, SliderState, work_out
from sockwright.web.plan.result import Ranked, choice_context, other_pair, result_context
from sockwright.web.plan.rows import GaugeLine, Row, YarnRows
from sockwright.web.plan.why import DataKeys, WhyData, beside_each_other, plans_why
from sockwright.workshop.answers import Planned, Problems, Refused

router = APIRouter(prefix="/plan", tags=["plan"])

ID = Query(max_length=36, description="The id of a kept thing.")


class RowData(BaseModel):
    """A line of a table, as it is printed in the visitor's language and units."""

    label: str
    keys: list[str] = Field(description="Of its numbers, at /data/plan/why.")
    cells: list[str] = Field(description="One for each sock that is shown, or for several.")
    warnings: list[str] = Field(description="One for each cell, empty where there is none.")


class YarnData(BaseModel):
    """A yarn by what it is for and its name, with its rows."""

    role: str
    name: str
    rows: list[RowData]


class OptionData(BaseModel):
    """One of the things to choose from."""

    value: str
    words: str


class ToldGauge(BaseModel):
    """What a swatch tells, as it is printed in the visitor's language and units."""

    cam: str
    date: str
    wales: str
    courses: str
    loop: str
    stale: str


def rows_data(context: RequestContext, rows: Iterable[Row]) -> list[RowData]:
    """Rows of numbers."""
    render = context.locale.render
    return [
        RowData(
            label=render(row.label),
            keys=list(row.keys),
            cells=told_all(context, row.cells),
            warnings=told_all(context, row.warnings),
        )
        for row in rows
    ]


def yarns_data(context: RequestContext, yarns: Iterable[YarnRows]) -> list[YarnData]:
    """The yarns of a pair."""
    return [
        YarnData(
            role=context.locale.render(one.role), name=one.name, rows=rows_data(context, one.rows)
        )
        for one in yarns
    ]


def options_data(context: RequestContext, words: Mapping[str, str]) -> list[OptionData]:
    """What there is to choose from, by value."""
    return [OptionData(value=value, words=text) for value, text in context.named(words).items()]


def things_data(things: Iterable[Thing]) -> list[OptionData]:
    """Kept things to choose from."""
    return [OptionData(value=thing.id, words=thing.name) for thing in things]


def told_gauge(context: RequestContext, line: GaugeLine) -> ToldGauge:
    """What a swatch tells, printed."""
    return ToldGauge(
        cam=line.cam,
        date=line.date,
        wales=line.wales,
        courses=line.courses,
        loop=line.loop,
        stale=context.locale.render(line.of.stale),
    )


def told_all(context: RequestContext, texts: Iterable[Any]) -> list[str]:
    """Texts, told."""
    return [context.locale.render(text) for text in texts]


class SliderData(BaseModel):
    """A what-if slider: its range and where it stands, in its unit."""

    name: str
    label: str
    key: str = Field(description="The key of [sock] that it tries.")
    value: float
    was: float = Field(description="Where it stands by the design.")
    least: float
    most: float
    step: float
    unit: str


class SheetLink(BaseModel):
    """A sheet of the plan."""

    file: str
    what: str
    address: str


class RankedData(BaseModel):
    """A cylinder as the page ranks it."""

    needles: int
    taken: bool
    fits: bool
    verdict: str
    reasons: list[str]
    rows: list[RowData]


class OutcomeData(BaseModel):
    """The plan as the page prints it."""

    headings: list[str] = Field(description="Of the socks in the cells of sock and fabric.")
    sock: list[RowData]
    foot: list[RowData]
    fabric: list[RowData]
    yarns: list[YarnData]
    beside: list[RowData] = Field(description="How two cylinders compare; empty for one.")
    ranking: list[RankedData] = Field(description="The machine's cylinders, the best first.")
    next_reading: str
    sd_before: str = Field(description="Of the foot length now, and after that reading.")
    sd_after: str
    doubts: list[str] = Field(description="What to look at first.")
    notes: list[str]
    findings: list[str]
    sheets: list[SheetLink] = Field(description="Empty where the plan is not proven.")


class ShownData(BaseModel):
    """What may be chosen and tried, and what the plan looks like."""

    units: str
    people: list[OptionData]
    yarns: list[OptionData]
    machines: list[OptionData]
    designs: list[OptionData]
    cylinders: list[OptionData] = Field(description="Those of the chosen machine.")
    swatches: list[OptionData] = Field(description="Those of the chosen yarns.")
    swatches_by: list[str] = Field(description="Ways to choose them; the one that holds is by.")
    by: str
    picked: list[str] = Field(description="The ids of those that the plan stands on.")
    sliders: list[SliderData]
    outcome: OutcomeData | None = Field(description="Null where there is no plan.")


def shown_data(context: RequestContext, planning: Planning) -> ShownData:
    """The page's own view of a request worked out."""
    choosable = planning.choosable
    values = {**choice_context(planning), **result_context(context.preferences, planning)}
    result = values["result"]
    return ShownData(
        units=planning.request.units,
        people=things_data(choosable.people),
        yarns=things_data(choosable.yarns),
        machines=things_data(choosable.machines),
        designs=things_data(choosable.designs),
        cylinders=[
            OptionData(value=str(n), words=context.locale.render(_("{n} needles", n=n)))
            for n in values["cylinders"]
        ],
        swatches=things_data(planning.fitting),
        swatches_by=[FITTING, CHOSEN],
        by=CHOSEN if planning.request.swatches_chosen else FITTING,
        picked=list(values["picked"]),
        sliders=[_slider(context, one) for one in values["sliders"]],
        outcome=_outcome(context, planning, result) if result["state"] == "planned" else None,
    )


def _slider(context: RequestContext, one: SliderState) -> SliderData:
    return SliderData(
        name=one.slider.name,
        label=context.locale.render(one.slider.label),
        key=one.slider.key,
        value=one.value,
        was=one.was,
        least=one.least,
        most=one.most,
        step=one.step,
        unit=one.unit,
    )


def _outcome(context: RequestContext, planning: Planning, result: dict[str, Any]) -> OutcomeData:
    plan, reading, formats = result["plan"], result["next"], context.formats
    words = [one for _, one in result["notes_of"]]
    sheets = result["sheets"] if plan.ok else ()
    return OutcomeData(
        headings=told_all(context, (one.heading for one in result["shown"])),
        sock=rows_data(context, result["sock_rows"]),
        foot=rows_data(context, result["foot_rows"]),
        fabric=rows_data(context, result["gauge_rows"]),
        yarns=yarns_data(context, result["yarns"]),
        beside=rows_data(context, result["beside_rows"]),
        ranking=[_ranked(context, one) for one in result["ranking"]],
        next_reading=context.locale.render(reading.phrase),
        sd_before=formats.deviation(reading.sd_before_mm),
        sd_after=formats.deviation(reading.sd_after_mm),
        doubts=told_all(context, (text for one in words for text in one["doubts"])),
        notes=told_all(context, (text for one in words for text in one["notes"])),
        findings=told_all(context, (text for one in words for _, text in one["findings"])),
        sheets=[
            SheetLink(
                file=one.file,
                what=context.locale.render(one.words),
                address=f"/plan/sheets/{one.file}?{planning.plain_query}",
            )
            for one in sheets
        ],
    )


def _ranked(context: RequestContext, one: Ranked) -> RankedData:
    return RankedData(
        needles=one.fit.cylinder.needles,
        taken=one.taken,
        fits=one.fit.fits,
        verdict=context.locale.render(one.fit.verdict),
        reasons=told_all(context, one.fit.reasons),
        rows=rows_data(context, one.rows),
    )


class OfferData(BaseModel):
    """A plan near a refused one that can be made."""

    change: str
    effect: str
    what: dict[str, str | int] = Field(
        description="Keys of [sock] that make the change; empty where no key alone does."
    )
    query: str = Field(description="Plans it; empty where no key alone does.")


class ElsewhereData(BaseModel):
    """Another thing of the workshop with which the sock can be made."""

    kind: str
    name: str
    query: str


class PlanAnswer(BaseModel):
    """What came of a choice: exactly one of plan, problems, refusal and missing tells."""

    query: str = Field(description="The choice, spelled out as a query.")
    missing: list[str]
    problems: list[ProblemData]
    refusal: str | None
    offers: list[OfferData]
    elsewhere: list[ElsewhereData] = Field(
        description="What else of the workshop makes a sock, where nothing of the order does."
    )
    order: str | None = Field(description="The order file (TOML), as the command line reads it.")
    notes: list[str] = Field(description="What to know about what was chosen.")
    plan: dict[str, Any] | None = Field(
        description="The plan by the schema at /data/plan/schema.json."
    )
    beside: dict[str, Any] | None = Field(description="The plan on the second cylinder.")
    shown: ShownData = Field(description="What the page shows besides: all as it is printed there.")


@router.get("")
def plan(
    context: Context,
    person: Annotated[str, ID] = "",
    machine: Annotated[str, ID] = "",
    main: Annotated[str, Query(alias="yarn.main", max_length=36)] = "",
    design: Annotated[str, ID] = "",
    needles: Annotated[str, Query(max_length=5, description="Of the cylinder.")] = "",
    beside: Annotated[str, Query(max_length=5, description="Of a second cylinder.")] = "",
    units: Annotated[str, Query(max_length=2, description="cm or in.")] = "",
) -> PlanAnswer:
    """Plan a choice; further keys are those of the page's address."""
    return plan_answer(context, _planning(context))


@router.get("/why")
def why(context: Context, key: DataKeys = ()) -> list[WhyData]:
    """Where the numbers of a plan come from: all, or those with the keys."""
    planning = _planning(context)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(_("there is no plan to explain; choose its parts first"))
    units = planning.request.units
    plans = beside_each_other(planning.outcome.pair, other_pair(planning))
    return plans_why(context.in_units(units), plans, units, key)


@router.get("/schema.json", response_class=Response)
def schema() -> Response:
    """The JSON Schema of a plan."""
    return Response(schema_text(), media_type="application/schema+json")


def plan_answer(context: RequestContext, planning: Planning) -> PlanAnswer:
    """What came of a request, as data."""
    outcome, beside = planning.outcome, planning.beside
    refused = outcome.refusal if isinstance(outcome, Refused) else None
    composed = None if outcome is None or isinstance(outcome, Problems) else outcome.composed
    return PlanAnswer(
        query=planning.spelled_out,
        missing=list(planning.missing),
        problems=problems_data(outcome) if isinstance(outcome, Problems) else [],
        refusal=None if refused is None else refused.reason,
        offers=[] if refused is None else [_offer(planning, one) for one in refused.offers],
        elsewhere=[
            ElsewhereData(
                kind=str(one.elsewhere.kind),
                name=one.elsewhere.name,
                query=query_of(one.elsewhere.choice, fitting=True),
            )
            for one in planning.elsewhere
        ],
        order=None if composed is None else composed.toml,
        notes=[] if composed is None else list(composed.notes),
        plan=plan_data(outcome.pair) if isinstance(outcome, Planned) else None,
        beside=plan_data(beside.pair) if isinstance(beside, Planned) else None,
        shown=shown_data(context.in_units(planning.request.units), planning),
    )


def _offer(planning: Planning, offer: Offer) -> OfferData:
    query = planning.query_with(offer.what) if offer.what else ""
    return OfferData(change=offer.change, effect=offer.effect, what=dict(offer.what), query=query)


def _planning(context: Context) -> Planning:
    items = context.request.query_params.multi_items()
    return work_out(context.shop, read_request(items, context.preferences.units))
