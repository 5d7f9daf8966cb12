"""What a pair's logs tell of its two socks, as data: how far, how long, what was knitted."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter
from pydantic import BaseModel, Field

from sockwright.bench.record import apart
from sockwright.estimates import Estimate
from sockwright.plan.make import Plan
from sockwright.store.moments import moment_text
from sockwright.web.bench.view import planned_for
from sockwright.web.context import AVisit
from sockwright.web.data.socks import AnId
from sockwright.workshop.answers import Problems, Refused
from sockwright.workshop.bench import SockAtBench

router = APIRouter(prefix="/socks/{id}/bench", tags=["bench"])


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
def record(visit: AVisit, id: AnId) -> PairRecordData:
    """What the logs of both socks tell."""
    socks = visit.shop.socks_at_bench(id, planned_for(visit.shop, id))
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
        beats=record.beats,
        begun=_moment(record.begun),
        last=_moment(record.last),
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


def _moment(moment: datetime | None) -> str | None:
    return None if moment is None else moment_text(moment)


def _measures(plan: Plan) -> MeasuresData:
    return MeasuresData(
        leg_length_mm=_estimate(plan.fabric.leg_length),
        foot_length_mm=_estimate(plan.fabric.foot_length),
        yarn_g={role: _estimate(use.mass) for role, use in plan.use.items()},
    )


def _estimate(estimate: Estimate) -> MeasureData:
    return MeasureData(value=estimate.value, sd=estimate.sd)
