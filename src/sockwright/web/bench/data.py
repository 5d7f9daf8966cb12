"""A sock at the machine as data: its steps and counts, and what was counted so far.

The logs of a pair tell of both its socks: how far, how long, what was knitted.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from fastapi import APIRouter, HTTPException, Path, Response
from pydantic import BaseModel, Field

from sockwright.bench.log import Entry, apart
from sockwright.estimates import Estimate
from sockwright.plan.make import SockPlan
from sockwright.store.models import moment_text_if_any
from sockwright.web.bench.view import bench_for, bench_of, log_data, log_of, planned_for
from sockwright.web.context import Context, RequestContext
from sockwright.web.errors import WRITES, ProblemData, answer
from sockwright.web.pairs_kept import PairId, pair
from sockwright.workshop.answers import Problems, Refused
from sockwright.workshop.bench import MOST_ENTRIES, RefusedEntry, SockAtBench

router = APIRouter(prefix="/socks/{id}/bench", tags=["bench"])

Which = Annotated[Literal["first", "second"], Path(description="Which sock of the pair.")]

proofs = APIRouter(prefix="/bench", tags=["bench"])


class EntryData(BaseModel):
    """One thing that was done, noted or taken back."""

    id: str
    clock: int = Field(description="Orders the entries; device and id break ties.")
    device: str
    time: str = Field(description="The device's own, an ISO moment.")
    deed: str = Field(description="begin, count, undo, place, extra, note or deviation.")
    by: int = Field(description="Beats for a count, rounds for an extra.")
    of: str = Field(description="The entry that an undo takes back.")
    at: int = Field(description="Beats done for a place, the instruction for an extra.")
    text: str


class BenchData(BaseModel):
    """A sock at the machine."""

    sock: dict[str, Any] = Field(
        description="Rows of beats and instructions by their columns, looks of the bed, texts."
    )
    log: list[EntryData]


class SentEntries(BaseModel):
    """What a device has counted and the workshop may not have yet."""

    entries: list[dict[str, Any]] = Field(max_length=MOST_ENTRIES)


class LogData(BaseModel):
    """The whole log of one sock, in the order of its clock."""

    entries: list[EntryData]


class RefusedData(BaseModel):
    """An entry that was sent and cannot be kept."""

    number: int = Field(description="Its place among those sent, from 1.")
    id: str = Field(description="Its id; empty where it has none that could be one.")
    problems: list[ProblemData] = Field(description="What is wrong, in the reader's language.")


class AddedData(LogData):
    """The whole log, and what of that sent is not in it because it cannot be kept."""

    refused: list[RefusedData]


class ProofData(BaseModel):
    """What pages kept by the program before this one send as the header x-proof."""

    proof: str


@proofs.get("/proof", deprecated=True)
def proof() -> ProofData:
    """Obsolete, and gone with the next version: nothing is proven by it any more.

    A page beside the machine that a device kept from before asks for it when it was refused.
    """
    return ProofData(proof="")


@router.get("/{which}/log")
def log(context: Context, id: PairId, which: Which) -> LogData:
    """The log of one sock."""
    return _log_data(context.shop.bench_log(id, which))


@router.post("/{which}/log", response_model=AddedData, responses=WRITES)
def add(context: Context, id: PairId, which: Which, sent: SentEntries) -> AddedData | Response:
    """Keep what is not kept yet; tells the whole log. Sending twice does no harm.

    Each entry is decided by itself; those refused come back with their reasons. Where all were
    refused it is a refusal, with `entries` and `refused` beside it: a page that knows nothing of
    single ones then asks ever more seldom.
    """
    added = context.shop.add_to_bench_log(id, which, sent.entries)
    if isinstance(added, Problems):
        raise HTTPException(422, "; ".join(map(str, added.problems)))
    data = AddedData(
        entries=_log_data(added.log).entries,
        refused=[_refused(context, one) for one in added.refused],
    )
    return data if added.taken or not added.refused else _none_taken(context, data)


def _none_taken(context: RequestContext, data: AddedData) -> Response:
    """The refusal of all that was sent."""
    found = [problem.model_dump() for one in data.refused for problem in one.problems]
    detail = "; ".join(f"{one['path']}: {one['wrong']}" for one in found)
    return answer(context.request, 422, detail, problems=found, data=data.model_dump())


def _refused(context: RequestContext, one: RefusedEntry) -> RefusedData:
    render = context.locale.render
    told = [
        ProblemData(path=each.path, wrong=render(each.wrong), right=render(each.right))
        for each in one.problems
    ]
    return RefusedData(number=one.number, id=one.id, problems=told)


def _log_data(entries: Sequence[Entry]) -> LogData:
    return LogData(entries=[EntryData(**entry) for entry in log_data(entries)])


@router.get("/{which}")
def one(context: Context, id: PairId, which: Which) -> BenchData:
    """One sock of a pair, and its log."""
    pair(context.shop, id)
    bench = bench_for(context.shop, id, which)
    log = log_data(log_of(context.shop, id, which))
    return BenchData(sock=bench_of(context, bench), log=[EntryData(**entry) for entry in log])


class MeasureData(BaseModel):
    """An estimate with its standard deviation, in the unit that its name ends in."""

    value: float
    sd: float


class MeasuresData(BaseModel):
    """What a sock comes to, washed and dry."""

    leg_length_mm: MeasureData
    foot_length_mm: MeasureData
    yarn_g: dict[str, MeasureData] = Field(description="By what the yarn is for.")


class NotedData(BaseModel):
    """What was noted, and after how many counts."""

    time: str
    done: int
    deviation: bool
    text: str


class SockRecordData(BaseModel):
    """One sock at the machine."""

    which: str
    done: int = Field(description="Counts done.")
    beats: int = Field(description="Counts in all.")
    begun: str | None = Field(description="The first entry's moment, in UTC.")
    last: str | None = Field(description="The last entry's moment, in UTC.")
    worked_s: float = Field(description="Time between entries without pauses, s.")
    more: dict[str, int] = Field(description="Rounds more than planned, by section; fewer: minus.")
    notes: list[NotedData]
    planned: MeasuresData
    knitted: MeasuresData = Field(description="What is still to come counts as planned.")
    proven: bool = Field(description="Whether the dry run of what was knitted found no error.")
    findings: list[str] = Field(description="Codes of what that dry run found.")


class PairRecordData(BaseModel):
    """Both socks of a pair at the machine."""

    socks: list[SockRecordData]
    apart: dict[str, int] | None = Field(
        description="Rounds the second sock has more than the first, by section; null before it "
        "is begun."
    )


@router.get("")
def record(context: Context, id: PairId) -> PairRecordData:
    """What the logs of both socks tell."""
    socks = context.shop.socks_at_bench(id, planned_for(context.shop, id))
    assert not isinstance(socks, Problems | Refused)  # there is a plan
    first, second = socks
    return PairRecordData(
        socks=[_sock(one) for one in socks],
        apart=apart(first.more, second.more) if second.entries else None,
    )


def _sock(sock: SockAtBench) -> SockRecordData:
    record = sock.record
    return SockRecordData(
        which=sock.which,
        done=record.state.done,
        beats=record.count_steps,
        begun=moment_text_if_any(record.begun),
        last=moment_text_if_any(record.last),
        worked_s=record.worked_s,
        more=sock.more,
        notes=[
            NotedData(time=one.time, done=one.done, deviation=one.deviation, text=one.text)
            for one in record.state.said
        ],
        planned=_measures(sock.planned),
        knitted=_measures(sock.knitted),
        proven=sock.knitted.dry_run.ok,
        findings=[one.code.value for one in sock.knitted.dry_run.findings],
    )


def _measures(plan: SockPlan) -> MeasuresData:
    return MeasuresData(
        leg_length_mm=_estimate(plan.fabric.leg_length),
        foot_length_mm=_estimate(plan.fabric.foot_length),
        yarn_g={role: _estimate(use.mass) for role, use in plan.use.items()},
    )


def _estimate(estimate: Estimate) -> MeasureData:
    return MeasureData(value=estimate.value, sd=estimate.sd)
