"""Pairs as data; a pair's plan is the command line's plan of its order, word for word."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field

from sockwright.i18n.messages import _
from sockwright.plan.data import plan_data
from sockwright.store.items import ItemKind, State, Thing
from sockwright.store.models import moment_text, moment_text_if_any
from sockwright.web.bench.story import Story, at_machine
from sockwright.web.context import Context, RequestContext
from sockwright.web.errors import FaultData, NoPage, RefusalData
from sockwright.web.kept.damage import DamageData, damages_data
from sockwright.web.pairs.finishing import STATES, questions, taught, told_of
from sockwright.web.pairs.view import compared, plan_in_short, shown_outcome, socks_of
from sockwright.web.pairs_kept import Pair, PairId, pair, pairs
from sockwright.web.plan.data import OptionData, RowData, options_data, rows_data, told_all
from sockwright.web.plan.why import DataKeys, WhyData, beside_each_other, plans_why
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.workshop import Workshop

router = APIRouter(prefix="/socks", tags=["pairs"])


class PartData(BaseModel):
    """A kept thing by its id and name."""

    id: str
    name: str
    deleted: bool


class PairData(BaseModel):
    """A pair and what it is made of."""

    id: str
    version: int = Field(description="The newest version; a write names the one it saw.")
    title: str
    status: str = Field(description="planned, being made or made.")
    person: PartData
    machine: PartData
    design: PartData | None
    yarns: dict[str, PartData] = Field(description="By role; main at least.")
    swatches: list[PartData]
    needles: int | None = Field(description="Of the chosen cylinder; null lets the design choose.")
    changed: str = Field(description="When it was written last, in UTC.")
    deleted: str | None = Field(description="When it was deleted, in UTC.")
    example: bool


class SheetData(BaseModel):
    """A file of the pair's sheets."""

    file: str
    what: str
    address: str


class EarlierData(BaseModel):
    """What a pair was before."""

    version: int
    title: str
    status: str
    changed: str
    deleted: str | None


class ComparedData(BaseModel):
    """A length or a mass by the plan, a text for each sock, and as it was measured or knitted."""

    label: str
    planned: list[str]
    found: str


class ToldData(BaseModel):
    """Something that was said of a finished pair."""

    label: str
    text: str


class QuestionData(BaseModel):
    """A question about how a finished pair fits, and its answers."""

    key: str = Field(description="Its key under `measured.answers`.")
    words: str
    answers: list[OptionData]


class SockShown(BaseModel):
    """A sock at the machine, as the page of the pair tells of it."""

    which: str
    name: str
    progress: str
    begun: str
    last: str
    worked: str
    more: list[str]
    findings: list[str]
    measures: list[ComparedData]


class ShownPair(BaseModel):
    """The plan in short, what was measured beside it, and both socks at the machine."""

    headings: list[str]
    rows: list[RowData]
    yarns: list[RowData]
    measured: list[ComparedData]
    told: list[ToldData] = Field(description="What else was said of the finished pair.")
    taught: list[str] = Field(description="What the finished pair taught the next plans.")
    questions: list[QuestionData] = Field(description="What is asked about how it fits.")
    at_machine: list[SockShown]
    socks: list[OptionData] = Field(description="The socks that a log may tell of.")
    states: list[OptionData] = Field(description="The states that a sock may be measured in.")


class WholePairData(PairData):
    """A pair with all that is known of it."""

    units: str
    sock: dict[str, Any] = Field(description="Keys of [sock] that hold instead of the design's.")
    log: list[dict[str, Any]] = Field(description="What happened, as it was typed.")
    left: dict[str, Any] | None = Field(description="What each yarn weighed when it was made.")
    measured: dict[str, Any] | None = Field(
        description="What the finished pair measures and how it fits, as it was typed."
    )
    changed_parts: list[PartData] = Field(description="Parts changed since it was planned.")
    damaged_entries: list[str] = Field(description="Ids in its logs that can no longer be read.")
    order: str = Field(description="The order file (TOML) that it was planned by.")
    plan_again: str = Field(description="The query that plans such a pair anew.")
    sheets: list[SheetData] = Field(description="Empty where the plan is not proven.")
    earlier: list[EarlierData]
    shown: ShownPair = Field(description="What its page shows of its plan, as it is printed.")


class PairsData(BaseModel):
    """All pairs that are not deleted."""

    socks: list[PairData]
    damaged: list[DamageData] = Field(description="Pairs that can no longer be read.")


@router.get("")
def every(context: Context) -> PairsData:
    """All pairs, the one changed last first."""
    every = [PairData(**pair_fields(one)) for one in pairs(context.shop)]
    return PairsData(socks=every, damaged=damages_data(context, (ItemKind.SOCK,)))


@router.get("/{id}")
def one(context: Context, id: PairId) -> WholePairData:
    """One pair, deleted or not."""
    shown = pair(context.shop, id)
    document, fields = shown.sock.document, shown.sock.fields
    outcome = context.shop.plan_of(id)
    return WholePairData(
        **pair_fields(shown),
        units=document.get("units", "cm"),
        sock=dict(document.get("sock", {})),
        log=list(fields["log"]),
        left=fields["left"],
        measured=fields["measured"],
        changed_parts=[_part(thing) for thing in context.shop.changed_parts(id)],
        damaged_entries=list(context.shop.damaged_entries(id)),
        order=fields["order_toml"],
        plan_again=shown.query,
        sheets=_sheets(context.shop, id, outcome),
        earlier=[_earlier(*was) for was in context.shop.earlier(id).items()],
        shown=_shown(context, shown, outcome),
    )


def _shown(context: RequestContext, pair: Pair, made: Planned | Problems | Refused) -> ShownPair:
    """The view of the pair's page, `made` being what came of its order."""
    told, outcome = context.locale.render, shown_outcome(context, made)
    plan = plan_in_short(context, outcome)
    planned = plan["state"] == "planned"
    measured, lessons = pair.sock.fields["measured"], context.shop.lessons(pair.id)
    lengths = compared(outcome, measured, context.formats)
    return ShownPair(
        headings=told_all(context, (one.heading for one in plan["shown"])) if planned else [],
        rows=rows_data(context, plan["rows"]) if planned else [],
        yarns=rows_data(context, plan["yarns"]) if planned else [],
        measured=[
            ComparedData(label=told(one.label), planned=list(one.planned), found=one.measured)
            for one in lengths
        ],
        told=[
            ToldData(label=told(one.label), text=told(one.text))
            for one in told_of(measured, context.formats)
        ],
        taught=told_all(context, taught(context, lessons)) if lessons else [],
        questions=[
            QuestionData(
                key=one.key, words=told(one.words), answers=options_data(context, one.choices)
            )
            for one in questions()
        ],
        at_machine=[
            _at_machine(context, one) for one in at_machine(context, pair.id, outcome).socks
        ],
        socks=options_data(context, socks_of(plan["two"], planned)),
        states=options_data(context, {str(state): text for state, text in STATES.items()}),
    )


def _at_machine(context: RequestContext, one: Story) -> SockShown:
    told = context.locale.render
    return SockShown(
        which=one.which,
        name=told(one.name),
        progress=told(one.progress),
        begun=one.begun,
        last=one.last,
        worked=told(one.worked),
        more=told_all(context, one.more),
        findings=told_all(context, one.findings),
        measures=[
            ComparedData(label=told(row.label), planned=[row.planned], found=row.knitted)
            for row in one.measures
        ],
    )


@router.get(
    "/{id}/plan",
    responses={409: {"model": RefusalData, "description": "Its order makes no plan."}},
    response_model=dict[str, Any],
)
def plan(context: Context, id: PairId) -> Any:
    """The plan of a pair, by the schema at /data/plan/schema.json."""
    pair(context.shop, id)
    outcome = context.shop.plan_of(id)
    if isinstance(outcome, Planned):
        return JSONResponse(plan_data(outcome.pair))
    found: list[FaultData] = []
    if isinstance(outcome, Problems):
        detail = str(outcome)
        found = [FaultData(path=each.path, wrong=each.wrong) for each in outcome.problems]
    else:
        detail = outcome.refusal.reason
    refusal = RefusalData(error="There is no plan", detail=detail, problems=found)
    return JSONResponse(refusal.model_dump(), 409)


@router.get("/{id}/why")
def why(context: Context, id: PairId, key: DataKeys = ()) -> list[WhyData]:
    """Where the numbers of a pair's plan come from: all, or those with the keys."""
    pair(context.shop, id)
    outcome = context.shop.plan_of(id)
    if not isinstance(outcome, Planned):
        raise NoPage(_("its order makes no plan, so there is no number to explain"))
    shown = context.shown(outcome.pair)
    return plans_why(context, beside_each_other(shown, None), shown.first.units, key)


def pair_fields(shown: Pair) -> dict[str, Any]:
    """The fields of PairData."""
    sock = shown.sock
    return {
        "id": sock.id,
        "version": sock.version,
        "title": sock.name,
        "status": shown.status,
        "person": _part(shown.person),
        "machine": _part(shown.machine),
        "design": None if shown.design is None else _part(shown.design),
        "yarns": {role: _part(yarn) for role, yarn in shown.yarns.items()},
        "swatches": [_part(swatch) for swatch in shown.swatches],
        "needles": sock.fields["needles"],
        "changed": moment_text(sock.state.changed),
        "deleted": moment_text_if_any(sock.state.deleted),
        "example": sock.example,
    }


def _part(thing: Thing) -> PartData:
    return PartData(id=thing.id, name=thing.name, deleted=thing.deleted is not None)


def _earlier(version: int, state: State) -> EarlierData:
    return EarlierData(
        version=version,
        title=state.name,
        status=state.fields["status"],
        changed=moment_text(state.changed),
        deleted=moment_text_if_any(state.deleted),
    )


def _sheets(shop: Workshop, id: str, outcome: Planned | Problems | Refused) -> list[SheetData]:
    if not isinstance(outcome, Planned) or not outcome.pair.ok:
        return []
    folder = f"/socks/{id}/sheets"
    return [
        SheetData(file=each.file, what=each.words, address=f"{folder}/{each.file}")
        for each in shop.sheet_files(outcome.pair)
    ]
