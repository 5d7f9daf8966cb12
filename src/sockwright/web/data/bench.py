"""A sock at the machine as data: its steps and counts, and what was counted so far."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from fastapi import APIRouter, HTTPException, Path, Response
from pydantic import BaseModel, Field

from sockwright.bench.log import Entry
from sockwright.web import errors
from sockwright.web.bench.view import bench_for, bench_of, log_data, log_of
from sockwright.web.context import AVisit, Visit
from sockwright.web.data.socks import AnId
from sockwright.web.errors import WRITES, ProblemData
from sockwright.web.pairs_kept import pair
from sockwright.workshop.answers import Problems
from sockwright.workshop.bench_entries import MOST_ENTRIES, RefusedEntry

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


proofs = APIRouter(prefix="/bench", tags=["bench"])


@proofs.get("/proof", deprecated=True)
def proof() -> ProofData:
    """Obsolete, and gone with the next version: nothing is proven by it any more.

    A page beside the machine that a device kept from before asks for it when it was refused.
    """
    return ProofData(proof="")


@router.get("/{which}/log")
def log(visit: AVisit, id: AnId, which: Which) -> LogData:
    """The log of one sock."""
    return _log_data(visit.shop.bench_log(id, which))


@router.post("/{which}/log", response_model=AddedData, responses=WRITES)
def add(visit: AVisit, id: AnId, which: Which, sent: SentEntries) -> AddedData | Response:
    """Keep what is not kept yet; tells the whole log. Sending twice does no harm.

    Each entry is decided by itself; those refused come back with their reasons. Where all were
    refused it is a refusal, with `entries` and `refused` beside it: a page that knows nothing of
    single ones then asks ever more seldom.
    """
    added = visit.shop.add_to_bench_log(id, which, sent.entries)
    if isinstance(added, Problems):
        raise HTTPException(422, "; ".join(map(str, added.problems)))
    data = AddedData(
        entries=_log_data(added.log).entries,
        refused=[_refused(visit, one) for one in added.refused],
    )
    return data if added.taken or not added.refused else _none_taken(visit, data)


def _none_taken(visit: Visit, data: AddedData) -> Response:
    """The refusal of all that was sent."""
    found = [problem.model_dump() for one in data.refused for problem in one.problems]
    detail = "; ".join(f"{one['path']}: {one['wrong']}" for one in found)
    return errors.answer(visit.request, 422, detail, problems=found, data=data.model_dump())


def _refused(visit: Visit, one: RefusedEntry) -> RefusedData:
    tell = visit.tongue.tell
    told = [
        ProblemData(path=each.path, wrong=tell(each.wrong), right=tell(each.right))
        for each in one.problems
    ]
    return RefusedData(number=one.number, id=one.id, problems=told)


def _log_data(entries: Sequence[Entry]) -> LogData:
    return LogData(entries=[EntryData(**entry) for entry in log_data(entries)])


@router.get("/{which}")
def one(visit: AVisit, id: AnId, which: Which) -> BenchData:
    """One sock of a pair, and its log."""
    pair(visit.shop, id)
    bench = bench_for(visit.shop, id, which)
    log = log_data(log_of(visit.shop, id, which))
    return BenchData(sock=bench_of(visit, bench), log=[EntryData(**entry) for entry in log])
