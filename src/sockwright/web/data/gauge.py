"""The memory of gauge as data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from fastapi import APIRouter, Path, Query
from pydantic import BaseModel, Field

from sockwright.estimates import Estimate
from sockwright.store.items import ItemKind
from sockwright.web.context import AVisit, Visit
from sockwright.web.kept.view import find
from sockwright.web.pairs_kept import ID
from sockwright.web.plan.data import OptionData, ToldGauge, things_data, told_gauge
from sockwright.web.plan.rows import GaugeLine, gauge_lines
from sockwright.web.plan.why import DataKeys, WhyData, explained_swatch, told_alone, why_data

router = APIRouter(tags=["kept"])

AnId = Query(max_length=36, description="The id of a kept thing; empty for all.")


SwatchId = Annotated[str, Path(pattern=ID, description="The swatch's id.")]


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


@router.get("/gauge")
def gauge(
    visit: AVisit,
    machine: Annotated[str, AnId] = "",
    yarn: Annotated[str, AnId] = "",
) -> MemoryData:
    """What every swatch tells, or those of one machine or one yarn."""
    found = visit.shop.gauge_memory(machine or None, yarn or None)
    return MemoryData(
        swatches=gauge_data(visit, gauge_lines(found, visit.formats)),
        machines=things_data(visit.shop.things(ItemKind.MACHINE)),
        yarns=things_data(visit.shop.things(ItemKind.YARN)),
    )


@router.get("/swatches/{id}/why")
def why(
    visit: AVisit,
    id: SwatchId,
    key: DataKeys = (),
) -> list[WhyData]:
    """Where the numbers that a swatch tells come from: all, or those with the keys."""
    explained = explained_swatch(visit, find(visit, ItemKind.SWATCH, id))
    keys = key or tuple(each.key for each in explained)
    return why_data(visit, told_alone(explained, keys), visit.preferences.units)


def gauge_data(visit: Visit, lines: Iterable[GaugeLine]) -> list[GaugeData]:
    """What some swatches tell."""
    return [_gauge(visit, line) for line in lines]


def _gauge(visit: Visit, line: GaugeLine) -> GaugeData:
    one = line.of
    return GaugeData(
        swatch=one.swatch.id,
        machine=one.machine.id,
        yarn=one.yarn.id,
        name=one.swatch.name,
        needles=one.needles,
        cam=one.cam,
        date=one.date,
        wale=_estimate(one.wale),
        course=_estimate(one.course),
        loop=_estimate(one.loop),
        stale=one.stale,
        cautions=list(one.cautions),
        converted=one.converted,
        yarn_name=one.yarn.name,
        told=told_gauge(visit, line),
    )


def _estimate(one: Estimate) -> EstimateData:
    return EstimateData(value=one.value, sd=one.sd, unit=one.unit)
