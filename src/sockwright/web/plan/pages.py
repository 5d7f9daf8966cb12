"""The planning page: parts are chosen, and the result changes as they change.

A page that stays is told its numbers first; drawings and program it asks for after them. The work
is done as jobs: of frozen values alone, made where the workshop is read, and done anywhere alike,
in another process too.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from sockwright.store.items import Thing
from sockwright.web.context import AVisit, Visit, rendered
from sockwright.web.errors import NoPage
from sockwright.web.plan.choices import Wish, read_wish
from sockwright.web.plan.planning import Asked, Planning, ask, plan_asked, shelf_of
from sockwright.web.plan.result import (
    choice_context,
    drawings,
    other_pair,
    program_of,
    result_context,
)
from sockwright.web.plan.why import Asking, Keys, beside_each_other, told_numbers, why_answer
from sockwright.web.preferences import Preferences
from sockwright.web.printing import sheet_answer
from sockwright.web.received import AForm, texts
from sockwright.web.workers import Tools
from sockwright.words.said import said
from sockwright.workshop.answers import Planned

router = APIRouter(prefix="/plan")


@dataclass(frozen=True)
class PlanShown:
    """A plan as the page shows it: the sliders, and the result below them."""

    sliders: str
    result: str


@dataclass(frozen=True)
class _OfPlan:
    """What every job about a plan knows: what was asked for, and who reads the answer."""

    asked: Asked
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
        context = {**result_context(self.reader, planning), "whole": self.whole}
        result = context["result"]
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
                **context,
            )

        sliders = "" if self.alone else piece("plan_sliders.html")
        return PlanShown(sliders, piece("plan_result.html"))


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


def _drawings(tools: Tools, asked: Asked, reader: Preferences) -> dict[str, Any]:
    """The drawings of a plan, at hand where they were made lately."""
    key = (asked.key, asked.beside_key, reader.language, reader.units)
    return tools.drawn.of(key, lambda: drawings(plan_asked(tools.plans, asked), reader.tongue))


@router.get("")
async def plan(visit: AVisit) -> Response:
    """The whole page: what can be chosen, and the result."""
    return await _page(visit, _wish(visit), 200)


@router.get("/result")
async def result(visit: AVisit) -> Response:
    """The result alone, for a page that stays; without one the whole page."""
    if not visit.is_fragment:
        return _whole(visit)
    asked = await _asked(visit)
    shown = await visit.done(ShowPlan(asked, visit.preferences, False, True))
    return _with_address(HTMLResponse(shown.result), asked.unplanned())


@router.get("/drawings")
async def plan_drawings(visit: AVisit) -> Response:
    """The drawings alone, for a page that has the numbers."""
    if not visit.is_fragment:
        return _whole(visit)
    return HTMLResponse(await visit.done(DrawPlan(await _asked(visit), visit.preferences)))


@router.get("/program/{which}")
async def program(visit: AVisit, which: int) -> Response:
    """The crank program of one sock alone, for a page that has the numbers."""
    if not visit.is_fragment:
        return _whole(visit)
    job = TellProgram(await _asked(visit), visit.preferences, max(which, 0))
    return HTMLResponse(await visit.done(job))


@router.get("/why")
def why(visit: AVisit, key: Keys = ()) -> Response:
    """Where numbers come from, on both cylinders where two stand side by side."""
    planning = _planning(visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to explain; choose its parts first"))
    plans = beside_each_other(planning.outcome.pair, other_pair(planning))
    asking = Asking("/plan/why", planning.query)
    units = planning.outcome.pair.first.units
    told = told_numbers(plans, key)
    return why_answer(visit, told, units, asking, f"/plan?{planning.query}")


@router.get("/sheets/{file}")
async def sheet(visit: AVisit, file: str) -> Response:
    """A sheet of a plan that is not kept."""
    planning = await run_in_threadpool(_planning, visit)
    if not isinstance(planning.outcome, Planned):
        raise NoPage(said("there is no plan to print; choose its parts first"))
    return await sheet_answer(visit, planning.outcome.pair, file)


@router.post("")
async def keep(visit: AVisit, form: AForm) -> Response:
    """Keep the pair as it is planned now."""
    wish = _in_her_units(visit, texts(form))
    choice = (await run_in_threadpool(ask, visit.shop, wish)).choice
    if choice is None:
        return await _page(visit, wish, 422)
    kept = await run_in_threadpool(visit.shop.plan_sock, choice)
    if not isinstance(kept, Thing):
        return await _page(visit, wish, 422)
    return visit.to(
        f"/socks/{kept.id}",
        said("Pair saved."),
        undo=(f"/socks/{kept.id}/delete", kept.version),
    )


async def _page(visit: Visit, wish: Wish, status: int) -> Response:
    """The whole page; where a page stays that asks for it, its numbers first."""

    def read() -> tuple[Asked, Planning]:
        asked = ask(visit.shop, wish)
        return asked, asked.unplanned(shelf_of(visit.shop))

    asked, planning = await run_in_threadpool(read)
    whole = not visit.is_fragment
    shown = await visit.done(ShowPlan(asked, visit.preferences, whole))
    page = partial(visit.page, "plan.html", status, shown=shown, **choice_context(planning))
    return _with_address(await run_in_threadpool(page), planning)


def _whole(visit: Visit) -> Response:
    """The way to the whole page, for who asks for a piece without having one."""
    return RedirectResponse(f"/plan?{visit.request.url.query}", 303)


def _with_address(answer: HTMLResponse, planning: Planning) -> Response:
    """Have a page that stays show the address of what it shows."""
    answer.headers["HX-Replace-Url"] = f"/plan?{planning.query}" if planning.query else "false"
    return answer


async def _asked(visit: Visit) -> Asked:
    return await run_in_threadpool(ask, visit.shop, _wish(visit))


def _planning(visit: Visit) -> Planning:
    return plan_asked(visit.shop.plans, ask(visit.shop, _wish(visit)))


def _wish(visit: Visit) -> Wish:
    return _in_her_units(visit, visit.request.query_params.multi_items())


def _in_her_units(visit: Visit, items: Iterable[tuple[str, str]]) -> Wish:
    """What a query or a form asks for, in the visitor's units whatever those of its sender were."""
    units = visit.preferences.units
    return read_wish(items, units).in_units(units)
