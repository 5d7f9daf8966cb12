"""A sock at the machine as data: its steps and counts, and what was counted so far."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, HTTPException, Path, Response
from pydantic import BaseModel, Field

from sockwright.bench.log import Entry
from sockwright.web.bench_view import bench_for, bench_of, log_data, log_of
from sockwright.web.data.refusals import WRITES
from sockwright.web.data.socks import AnId
from sockwright.web.forms import proven
from sockwright.web.pairs import pair
from sockwright.web.visit import AVisit
from sockwright.workshop.answers import Problems
from sockwright.workshop.bench_log import MOST_ENTRIES

router = APIRouter(prefix="/socks/{id}/bench", tags=["bench"])

Which = Annotated[Literal["first", "second"], Path(description="Which sock of the pair.")]


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


class ProofData(BaseModel):
    """What a script of one of our pages sends as the header x-proof."""

    proof: str


proofs = APIRouter(prefix="/bench", tags=["bench"])


@proofs.get("/proof")
def proof(visit: AVisit, answer: Response) -> ProofData:
    """A fresh proof for a page that is older than the running program."""
    visit.known(answer)
    return ProofData(proof=visit.parts.proofs.proof(visit.browser))


@router.get("/{which}/log")
def log(visit: AVisit, id: AnId, which: Which) -> LogData:
    """The log of one sock."""
    return _log_data(visit.shop.bench_log(id, which))


@router.post("/{which}/log", dependencies=[Depends(proven)], responses=WRITES)
def add(visit: AVisit, id: AnId, which: Which, sent: SentEntries) -> LogData:
    """Keep what is not kept yet; tells the whole log. Sending twice does no harm."""
    answer = visit.shop.add_to_bench_log(id, which, sent.entries)
    if isinstance(answer, Problems):
        found = "; ".join(map(str, answer.problems))
        raise HTTPException(422, found)
    return _log_data(answer)


def _log_data(entries: Sequence[Entry]) -> LogData:
    return LogData(entries=[EntryData(**entry) for entry in log_data(entries)])


@router.get("/{which}")
def one(visit: AVisit, id: AnId, which: Which) -> BenchData:
    """One sock of a pair, and its log."""
    pair(visit.shop, id)
    bench = bench_for(visit.shop, id, which)
    log = log_data(log_of(visit.shop, id, which))
    return BenchData(sock=bench_of(visit, bench), log=[EntryData(**entry) for entry in log])
