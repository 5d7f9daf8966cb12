"""The files of a pair: its order as TOML, its sheets, the bench of a sock as one file, and its log.

A log that was saved elsewhere comes back here.
"""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from sockwright.bench.log import FIRST
from sockwright.errors import Problem
from sockwright.i18n.messages import _
from sockwright.plan.make import PairPlan
from sockwright.web.bench.files import WHERE, bench_file, log_file, take_log
from sockwright.web.bench.view import bench_context, bench_for, log_of, planned_for, which_of
from sockwright.web.context import Context
from sockwright.web.errors import NoPage
from sockwright.web.pairs.pages import sock_page
from sockwright.web.pairs.view import BENCH, sent
from sockwright.web.pairs_kept import pair
from sockwright.web.printing import file_answer, sheet_answer
from sockwright.web.received import MOST_LOG_BYTES, AForm, one, uploaded
from sockwright.workshop.answers import Planned, Problems
from sockwright.workshop.bench import log_as_csv

router = APIRouter(prefix="/socks/{id}")

MOST_TOLD = 20
"""Problems of one log that are told one by one."""


@router.get("/bench/{which}.html")
def whole(context: Context, id: str, which: str) -> Response:
    """The bench of one sock as a single file, to be carried to any device."""
    shown, which = pair(context.shop, id), which_of(which)
    page = bench_file(context, bench_context(context, shown, bench_for(context.shop, id, which)))
    return file_answer(page.encode(), shown.sock.name, f"{which}-bench.html")


@router.get("/bench/{which}/log.json")
def log(context: Context, id: str, which: str) -> Response:
    """The log of one sock, as a bench saves it."""
    shown, which = pair(context.shop, id), which_of(which)
    content = log_file(log_of(context.shop, id, which), id, which)
    return file_answer(content, shown.sock.name, f"{which}-log.json")


@router.get("/bench/{which}/log.csv")
def table(context: Context, id: str, which: str) -> Response:
    """The log of one sock as a table."""
    shown, which = pair(context.shop, id), which_of(which)
    content = log_as_csv(log_of(context.shop, id, which)).encode()
    return file_answer(content, shown.sock.name, f"{which}-log.csv")


@router.post("/bench/{which}/log.json")
def take(context: Context, form: AForm, id: str, which: str) -> Response:
    """Bring back a log that was saved elsewhere: its entries join those that are here, and those
    that cannot are named."""
    pair(context.shop, id)
    which = which_of(which)
    text = _text(form)
    answer = (
        Problems((text,)) if isinstance(text, Problem) else take_log(context.shop, id, which, text)
    )
    if isinstance(answer, Problems):
        back = sent(BENCH[which], form, problems=_at_field(answer.problems))
        return sock_page(context, id, back, 422)
    if answer.refused:
        wrong = [problem for one in answer.refused for problem in one.problems]
        told = answer.told if answer.any else ""
        back = sent(BENCH[which], form, problems=_at_field(wrong), taken=told)
        return sock_page(context, id, back, 200 if answer.any else 422)
    return context.to(f"/socks/{id}#machine", answer.told)


def _text(form: FormData) -> str | Problem:
    """The text of a log from the chosen file, else what was pasted."""
    what, right = WHERE, _("give the file that the counting page saved")
    data = uploaded(form, MOST_LOG_BYTES)
    if data is None:
        pasted = one(form, "text")
        if len(pasted) > MOST_LOG_BYTES:
            return Problem(what, _("is far too large for a log"), right)
        return pasted or Problem(what, _("is missing"), _("choose a file, or paste its text"))
    if len(data) > MOST_LOG_BYTES:
        return Problem(what, _("is far too large for a log"), right)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return Problem(what, _("is not text in UTF-8"), right)


def _at_field(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Problems anywhere in a log are told at the field it was given in."""
    told = [Problem("text", _wrong(one), one.right) for one in problems[:MOST_TOLD]]
    if len(problems) > MOST_TOLD:
        more = _("and {n} more are wrong", n=len(problems) - MOST_TOLD)
        told.append(Problem("text", more, _("give the log as the counting page saved it")))
    return tuple(told)


def _wrong(problem: Problem) -> str:
    """What is wrong, and where within the log; the field itself says that it is the log."""
    if problem.path == WHERE:
        return problem.wrong
    return _("{path}: {wrong}", path=problem.path, wrong=problem.wrong)


@router.get("/order.toml")
def order(context: Context, id: str) -> Response:
    """The order that the pair was planned by, as the command line reads it."""
    sock = pair(context.shop, id).sock
    return file_answer(context.shop.export_order(id).encode(), sock.name, "order.toml")


@router.get("/sheets/{file}")
async def sheet(context: Context, id: str, file: str) -> Response:
    """One sheet to look at and print, or all of them in an archive."""

    def plan() -> PairPlan:
        pair(context.shop, id)
        outcome = context.shop.plan_of(id)
        if not isinstance(outcome, Planned):
            raise NoPage(_("there is no plan to print: the order of this pair makes no sock"))
        return outcome.pair

    return await sheet_answer(context, await run_in_threadpool(plan), file)


@router.get("/bench/{which}/sheets/{file}")
async def sheet_at_bench(context: Context, id: str, which: str, file: str) -> Response:
    """A sheet of the plan that one sock is knitted by: the second's as it follows the first."""

    def plan() -> PairPlan:
        pair(context.shop, id)
        if which_of(which) == FIRST:
            return planned_for(context.shop, id).pair
        return PairPlan(bench_for(context.shop, id, which).plan)

    return await sheet_answer(context, await run_in_threadpool(plan), file)
