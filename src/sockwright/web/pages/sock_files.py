"""The files of a pair: its order as TOML, and its sheets."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from sockwright.bench.log import FIRST
from sockwright.plan.make import PairPlan
from sockwright.web.bench.view import bench_for, planned_for, which_of
from sockwright.web.context import AVisit
from sockwright.web.errors import NoPage
from sockwright.web.pairs_kept import pair
from sockwright.web.printing import file_answer, sheet_answer
from sockwright.words.said import said
from sockwright.workshop.answers import Planned

router = APIRouter(prefix="/socks/{id}")


@router.get("/order.toml")
def order(visit: AVisit, id: str) -> Response:
    """The order that the pair was planned by, as the command line reads it."""
    sock = pair(visit.shop, id).sock
    return file_answer(visit.shop.export_order(id).encode(), sock.name, "order.toml")


@router.get("/sheets/{file}")
async def sheet(visit: AVisit, id: str, file: str) -> Response:
    """One sheet to look at and print, or all of them in an archive."""

    def plan() -> PairPlan:
        pair(visit.shop, id)
        outcome = visit.shop.plan_of(id)
        if not isinstance(outcome, Planned):
            raise NoPage(said("there is no plan to print: the order of this pair makes no sock"))
        return outcome.pair

    return await sheet_answer(visit, await run_in_threadpool(plan), file)


@router.get("/bench/{which}/sheets/{file}")
async def sheet_at_bench(visit: AVisit, id: str, which: str, file: str) -> Response:
    """A sheet of the plan that one sock is knitted by: the second's as it follows the first."""

    def plan() -> PairPlan:
        pair(visit.shop, id)
        if which_of(which) == FIRST:
            return planned_for(visit.shop, id).pair
        return PairPlan(bench_for(visit.shop, id, which).plan)

    return await sheet_answer(visit, await run_in_threadpool(plan), file)
