"""The memory of gauge: what every swatch tells and where its numbers come from.

A sheet tells how one is knitted and measured, with blanks to write in.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import Response
from pydantic import BaseModel, Field

from sockwright.estimates import Estimate
from sockwright.i18n.messages import _
from sockwright.store.items import ItemKind
from sockwright.web.context import ID, Context, RequestContext, address
from sockwright.web.kept.view import find
from sockwright.web.plan.data import OptionData, ToldGauge, things_data, told_gauge
from sockwright.web.plan.rows import GaugeLine, gauge_lines
from sockwright.web.plan.why import (
    DataKeys,
    Keys,
    WhyData,
    asking_of_swatch,
    explained_swatch,
    told_alone,
    why_answer,
    why_data,
)
from sockwright.web.printing import file_answer, paper_of

page_router = APIRouter()
data_router = APIRouter(tags=["kept"])

OneOrAll = Query(max_length=36, description="The id of a kept thing; empty for all.")

SwatchId = Annotated[str, Path(pattern=ID, description="The swatch's id.")]


@page_router.get("/gauge")
def gauge_page(context: Context, machine: str = "", yarn: str = "") -> Response:
    """All that is remembered, or that of one machine or one yarn."""
    found = context.shop.gauge_memory(machine or None, yarn or None)
    lines = gauge_lines(found, context.formats)
    return context.page(
        "gauge.html",
        groups=[(of, list(rows)) for of, rows in groupby(lines, key=lambda one: one.of.machine)],
        machines=context.shop.things(ItemKind.MACHINE),
        yarns=context.shop.things(ItemKind.YARN),
        machine=machine,
        yarn=yarn,
        address=address,
        asking=asking_of_swatch,
    )


@page_router.get("/swatches/{id}/why")
def why_page(context: Context, id: str, key: Keys = ()) -> Response:
    """Where the numbers that a swatch tells come from."""
    swatch = find(context, ItemKind.SWATCH, id)
    told = told_alone(explained_swatch(context, swatch), key)
    return why_answer(
        context, told, context.preferences.units, asking_of_swatch(swatch.id), address(swatch)
    )


@page_router.get("/sheets/swatch.pdf")
def swatch_sheet(context: Context) -> Response:
    """The swatch sheet with blanks for yarn, machine and needles."""
    liked = context.preferences
    content = context.shop.print_swatch_form(paper_of(context), liked.units, liked.language)
    return file_answer(content, context.locale.render(_("Swatch")), "sheet.pdf", inline=True)


class EstimateData(BaseModel):
    """A number that is not known to the last digit."""

    value: float
    sd: float = Field(description="Its standard deviation.")
    unit: str


class GaugeData(BaseModel):
    """What one swatch tells, washed and dry."""

    swatch: str = Field(description="Its id; machine and yarn likewise.")
    machine: str
    yarn: str
    name: str
    needles: int
    cam: float | None
    date: str = Field(description="When it was knitted; empty if that was not noted.")
    wale: EstimateData = Field(description="The width of a wale.")
    course: EstimateData = Field(description="The height of a course.")
    loop: EstimateData = Field(description="The yarn in a loop.")
    stale: str = Field(description="Why it may hold no longer; empty while it does.")
    cautions: list[str] = Field(description="What cannot be right about it.")
    converted: str = Field(description="How it was measured, if not washed and dry.")
    yarn_name: str
    told: ToldGauge = Field(description="The same as the page prints it.")


class MemoryData(BaseModel):
    """By machine, needles, yarn and cam setting, the newest first."""

    swatches: list[GaugeData]
    machines: list[OptionData] = Field(description="Those that may be asked for alone.")
    yarns: list[OptionData]


@data_router.get("/gauge")
def gauge(
    context: Context,
    machine: Annotated[str, OneOrAll] = "",
    yarn: Annotated[str, OneOrAll] = "",
) -> MemoryData:
    """What every swatch tells, or those of one machine or one yarn."""
    found = context.shop.gauge_memory(machine or None, yarn or None)
    return MemoryData(
        swatches=gauge_data(context, gauge_lines(found, context.formats)),
        machines=things_data(context.shop.things(ItemKind.MACHINE)),
        yarns=things_data(context.shop.things(ItemKind.YARN)),
    )


@data_router.get("/swatches/{id}/why")
def why(
    context: Context,
    id: SwatchId,
    key: DataKeys = (),
) -> list[WhyData]:
    """Where the numbers that a swatch tells come from: all, or those with the keys."""
    explained = explained_swatch(context, find(context, ItemKind.SWATCH, id))
    keys = key or tuple(each.key for each in explained)
    return why_data(context, told_alone(explained, keys), context.preferences.units)


def gauge_data(context: RequestContext, lines: Iterable[GaugeLine]) -> list[GaugeData]:
    """What some swatches tell."""
    return [_gauge(context, line) for line in lines]


def _gauge(context: RequestContext, line: GaugeLine) -> GaugeData:
    one = line.of
    return GaugeData(
        swatch=one.swatch.id,
        machine=one.machine.id,
        yarn=one.yarn.id,
        name=one.swatch.name,
        needles=one.needles,
        cam=one.cam,
        date=one.date,
        wale=estimate_data(one.wale),
        course=estimate_data(one.course),
        loop=estimate_data(one.loop),
        stale=one.stale,
        cautions=list(one.cautions),
        converted=one.converted,
        yarn_name=one.yarn.name,
        told=told_gauge(context, line),
    )


def estimate_data(one: Estimate) -> EstimateData:
    """A number as data."""
    return EstimateData(value=one.value, sd=one.sd, unit=one.unit)
