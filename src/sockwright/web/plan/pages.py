"""The planning page: parts are chosen, and the result changes as they change.

A page that stays is told its numbers first; drawings and program it asks for after them. The work
is done as jobs: of frozen values alone, made where the workshop is read, and done anywhere alike,
in another process too.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from sockwright.i18n.messages import _
from sockwright.store.items import Thing
from sockwright.web.context import Context, RequestContext, rendered
from sockwright.web.errors import NoPage
from sockwright.web.plan.choices import PlanRequest, read_request
from sockwright.web.plan.planning import (
    Planning,
    ResolvedRequest,
    ask,
    ask_for_more,
    plan_asked,
    what_is_kept,
)
from sockwright.web.plan.result import (
    choice_context,
    drawings,
    other_pair,
    program_of,
    result_context,
)
from sockwright.web.plan.why import ExplainLink, Keys, beside_each_other, told_numbers, why_answer
from sockwright.web.preferences import Preferences
from sockwright.web.printing import sheet_answer
from sockwright.web.received import AForm, texts
from sockwright.web.workers import Tools
from sockwright.workshop.answers import Planned

router = APIRouter(prefix="/plan")


@dataclass(frozen=True)
class PlanShown:
    """A plan as the page shows it: the sliders, and the result below them; `wants_more` where
    other things of the workshop may help and were not read yet."""

    sliders: str
    result: str
    wants_more: bool = False


@dataclass(frozen=True)
class _OfPlan:
    """What every job about a plan knows: what was asked for, and who reads the answer."""

    asked: ResolvedRequest
    reader: Preferences

    @property
    def key(self) -> Hashable:
        """Jobs of one key are quick after one another."""
        return self.asked.key


@dataclass(frozen=True)
class ShowPlan(_OfPlan):
    """Shows a plan to a reader: numbers alone, or with `whole` its drawings and its program too.

    `alone` is for a page that stays: without sliders.
    """

    whole: bool = True
    alone: bool = False

    def done(self, tools: Tools) -> PlanShown:
        """The pieces of the page."""
        planning = plan_asked(tools.plans, self.asked)
        values = {**result_context(self.reader, planning), "whole": self.whole}
        result = values["result"]
        if self.whole and isinstance(planning.outcome, Planned):
            result.update(_drawings(tools, self.asked, self.reader))
            pair, language = planning.outcome.pair, self.reader.language
            result["programs"] = [
                (heading, count, program_of(pair, which, language))
                for which, (heading, count, _) in enumerate(result["programs"])
            ]

        def piece(template: str) -> str:
            return rendered(
                tools.templates,
                template,
                self.reader,
                alone=self.alone,
                **values,
            )

        sliders = "" if self.alone else piece("plan_sliders.html")
        wants_more = planning.wants_more and self.asked.more is None
        return PlanShown(sliders, piece("plan_result.html"), wants_more)


@dataclass(frozen=True)
class DrawPlan(_OfPlan):
    """Draws a plan for a reader, whose numbers she has already."""

    def done(self, tools: Tools) -> str:
        """The figures; "" where there is no plan."""
        result = _drawings(tools, self.asked, self.reader)
        return rendered(
            tools.templates, "plan_drawings.html", self.reader, result=result, whole=True
        )


@dataclass(frozen=True)
class TellProgram(_OfPlan):
    """Tells a reader the crank program of one sock of a plan, counted from 0."""

    which: int

    def done(self, tools: Tools) -> str:
        """The steps; "" where there is no such sock."""
        outcome = plan_asked(tools.plans, self.asked).outcome
        steps = (
            program_of(outcome.pair, self.which, self.reader.language)
            if isinstance(outcome, Planned)
            else ()
        )
        return rendered(tools.templates, "plan_program.html", self.reader, steps=steps)


def _drawings(tools: Tools, asked: ResolvedRequest, reader: Preferences) -> dict[str, Any]:
    """The drawings of a plan, at hand where they were made lately."""
    key = (asked.key, asked.beside_key, reader.language, reader.units)
    return tools.drawn.of(key, lambda: drawings(plan_asked(tools.plans, asked), reader.locale))


@router.get("")
async def plan(context: Context) -> Response:
    """The whole page: what can be chosen, and the result."""
    return await _page(context, _request(context), 200)


@router.get("/result")
async def result(context: Context) -> Response:
    """The result alone, for a page that stays; without one the whole page."""
    if not context.is_fragment:
        return _whole(context)
    asked = await _asked(context)
    shown = await _shown(context, ShowPlan(asked, context.preferences, False, True))
    return _with_address(HTMLResponse(shown.result), asked.unplanned())


@router.get("/drawings")
async def plan_drawings(context: Context) -> Response:
    """The drawings alone, for a page that has the numbers."""
    if not context.is_fragment:
        return _whole(context)
    return HTMLResponse(await context.done(DrawPlan(await _asked(context), context.preferences)))


@router.get("/program/{which}")
async def program(context: Context, which: int) -> Response:
    """The crank program of one sock alone, for a page that has the numbers."""
    if not context.is_fragment:
        return _whole(context)
    job = TellProgram(await _asked(context), context.preferences, max(which, 0))
    return HTMLResponse(await context.done(job))


@router.get("/why")
def why(context: Context, key: Keys = ()) -> Response:
    """Where numbers come from, on both cylinders where two stand side by side."""
    planning = _planning(context)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(_("there is no plan to explain; choose its parts first"))
    plans = beside_each_other(planning.outcome.pair, other_pair(planning))
    asking = ExplainLink("/plan/why", planning.query)
    units = planning.outcome.pair.first.units
    told = told_numbers(plans, key)
    return why_answer(context, told, units, asking, f"/plan?{planning.query}")


@router.get("/sheets/{file}")
async def sheet(context: Context, file: str) -> Response:
    """A sheet of a plan that is not kept."""
    planning = await run_in_threadpool(_planning, context)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(_("there is no plan to print; choose its parts first"))
    return await sheet_answer(context, planning.outcome.pair, file)


@router.post("")
async def keep(context: Context, form: AForm) -> Response:
    """Keep the pair as it is planned now."""
    request = _in_her_units(context, texts(form))
    choice = (await run_in_threadpool(ask, context.shop, request)).choice
    if choice is None:
        return await _page(context, request, 422)
    kept = await run_in_threadpool(context.shop.plan_sock, choice)
    if not isinstance(kept, Thing):
        return await _page(context, request, 422)
    return context.to(
        f"/socks/{kept.id}",
        _("Pair saved."),
        undo=(f"/socks/{kept.id}/delete", kept.version),
    )


async def _page(context: RequestContext, request: PlanRequest, status: int) -> Response:
    """The whole page; where a page stays that asks for it, its numbers first."""

    def read() -> tuple[ResolvedRequest, Planning]:
        asked = ask(context.shop, request)
        return asked, asked.unplanned(what_is_kept(context.shop))

    asked, planning = await run_in_threadpool(read)
    whole = not context.is_fragment
    shown = await _shown(context, ShowPlan(asked, context.preferences, whole))
    page = partial(context.page, "plan.html", status, shown=shown, **choice_context(planning))
    return _with_address(await run_in_threadpool(page), planning)


async def _shown(context: RequestContext, job: ShowPlan) -> PlanShown:
    """A plan as it is shown, what else is kept read only where that may help."""
    shown: PlanShown = await context.done(job)
    if shown.wants_more:
        more = await run_in_threadpool(ask_for_more, context.shop, job.asked)
        shown = await context.done(replace(job, asked=more))
    return shown


def _whole(context: RequestContext) -> Response:
    """The way to the whole page, for who asks for a piece without having one."""
    return RedirectResponse(f"/plan?{context.request.url.query}", 303)


def _with_address(answer: HTMLResponse, planning: Planning) -> Response:
    """Have a page that stays show the address of what it shows."""
    answer.headers["HX-Replace-Url"] = f"/plan?{planning.query}" if planning.query else "false"
    return answer


async def _asked(context: RequestContext) -> ResolvedRequest:
    return await run_in_threadpool(ask, context.shop, _request(context))


def _planning(context: RequestContext) -> Planning:
    return plan_asked(context.shop.plans, ask(context.shop, _request(context)))


def _request(context: RequestContext) -> PlanRequest:
    return _in_her_units(context, context.request.query_params.multi_items())


def _in_her_units(context: RequestContext, items: Iterable[tuple[str, str]]) -> PlanRequest:
    """What a query or a form asks for, in the visitor's units whatever those of its sender were."""
    units = context.preferences.units
    return read_request(items, units).in_units(units)
