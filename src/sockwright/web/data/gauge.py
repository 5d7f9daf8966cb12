"""The memory of gauge as data."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from pydantic import BaseModel, Field

from sockwright.estimates import Estimate
from sockwright.web.visit import AVisit
from sockwright.workshop.gauge_memory import Remembered

router = APIRouter(tags=["kept"])

AnId = Query(max_length=36, description="The id of a kept thing; empty for all.")


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


class MemoryData(BaseModel):
    """By machine, needles, yarn and cam setting, the newest first."""

    swatches: list[GaugeData]


@router.get("/gauge")
def gauge(
    visit: AVisit,
    machine: Annotated[str, AnId] = "",
    yarn: Annotated[str, AnId] = "",
) -> MemoryData:
    """What every swatch tells, or those of one machine or one yarn."""
    found = visit.shop.gauge_memory(machine or None, yarn or None)
    return MemoryData(swatches=[_gauge(one) for one in found])


def _gauge(one: Remembered) -> GaugeData:
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
    )


def _estimate(one: Estimate) -> EstimateData:
    return EstimateData(value=one.value, sd=one.sd, unit=one.unit)
