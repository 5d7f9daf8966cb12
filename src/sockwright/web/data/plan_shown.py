"""What the planning page shows besides the plan itself: choices, sliders, tables, sheets."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, Field

from sockwright.web.context import Visit
from sockwright.web.data.shown import (
    OptionData,
    RowData,
    YarnData,
    rows_data,
    things_data,
    told_all,
    yarns_data,
)
from sockwright.web.plan.choices import CHOSEN, FITTING
from sockwright.web.plan.planning import Planning, Shown
from sockwright.web.plan.result import Ranked, choice_context, result_context
from sockwright.words.said import said


class SliderData(BaseModel):
    """A what-if slider: its range and where it stands, in its unit."""

    name: str
    label: str
    key: str = Field(description="The key of [sock] that it tries.")
    value: float
    was: float = Field(description="Where it stands by the design.")
    least: float
    most: float
    step: float
    unit: str


class SheetLink(BaseModel):
    """A sheet of the plan."""

    file: str
    what: str
    address: str


class RankedData(BaseModel):
    """A cylinder as the page ranks it."""

    needles: int
    taken: bool
    fits: bool
    verdict: str
    reasons: list[str]
    rows: list[RowData]


class OutcomeData(BaseModel):
    """The plan as the page prints it."""

    headings: list[str] = Field(description="Of the socks in the cells of sock and fabric.")
    sock: list[RowData]
    foot: list[RowData]
    fabric: list[RowData]
    yarns: list[YarnData]
    beside: list[RowData] = Field(description="How two cylinders compare; empty for one.")
    ranking: list[RankedData] = Field(description="The machine's cylinders, the best first.")
    next_reading: str
    sd_before: str = Field(description="Of the foot length now, and after that reading.")
    sd_after: str
    doubts: list[str] = Field(description="What to look at first.")
    notes: list[str]
    findings: list[str]
    sheets: list[SheetLink] = Field(description="Empty where the plan is not proven.")


class ShownData(BaseModel):
    """What may be chosen and tried, and what the plan looks like."""

    units: str
    people: list[OptionData]
    yarns: list[OptionData]
    machines: list[OptionData]
    designs: list[OptionData]
    cylinders: list[OptionData] = Field(description="Those of the chosen machine.")
    swatches: list[OptionData] = Field(description="Those of the chosen yarns.")
    swatches_by: list[str] = Field(description="Ways to choose them; the one that holds is by.")
    by: str
    picked: list[str] = Field(description="The ids of those that the plan stands on.")
    sliders: list[SliderData]
    outcome: OutcomeData | None = Field(description="Null where there is no plan.")


def shown_data(visit: Visit, planning: Planning) -> ShownData:
    """The page's own view of a wish worked out."""
    shelf = planning.shelf
    context = {**choice_context(planning), **result_context(visit.preferences, planning)}
    result = context["result"]
    return ShownData(
        units=planning.wish.units,
        people=things_data(shelf.people),
        yarns=things_data(shelf.yarns),
        machines=things_data(shelf.machines),
        designs=things_data(shelf.designs),
        cylinders=[
            OptionData(value=str(n), words=visit.tongue.tell(said("{n} needles", n=n)))
            for n in context["cylinders"]
        ],
        swatches=things_data(planning.fitting),
        swatches_by=[FITTING, CHOSEN],
        by=CHOSEN if planning.wish.swatches_chosen else FITTING,
        picked=list(context["picked"]),
        sliders=[_slider(visit, one) for one in context["sliders"]],
        outcome=_outcome(visit, planning, result) if result["state"] == "planned" else None,
    )


def _slider(visit: Visit, one: Shown) -> SliderData:
    return SliderData(
        name=one.slider.name,
        label=visit.tongue.tell(one.slider.label),
        key=one.slider.key,
        value=one.value,
        was=one.was,
        least=one.least,
        most=one.most,
        step=one.step,
        unit=one.unit,
    )


def _outcome(visit: Visit, planning: Planning, result: dict[str, Any]) -> OutcomeData:
    plan, reading, formats = result["plan"], result["next"], visit.formats
    words = [one for _, one in result["notes_of"]]
    sheets = result["sheets"] if plan.ok else ()
    return OutcomeData(
        headings=told_all(visit, (one.heading for one in result["shown"])),
        sock=rows_data(visit, result["sock_rows"]),
        foot=rows_data(visit, result["foot_rows"]),
        fabric=rows_data(visit, result["gauge_rows"]),
        yarns=yarns_data(visit, result["yarns"]),
        beside=rows_data(visit, result["beside_rows"]),
        ranking=[_ranked(visit, one) for one in result["ranking"]],
        next_reading=visit.tongue.tell(reading.phrase),
        sd_before=formats.deviation(reading.sd_before_mm),
        sd_after=formats.deviation(reading.sd_after_mm),
        doubts=told_all(visit, (text for one in words for text in one["doubts"])),
        notes=told_all(visit, (text for one in words for text in one["notes"])),
        findings=told_all(visit, (text for one in words for _, text in one["findings"])),
        sheets=[
            SheetLink(
                file=one.file,
                what=visit.tongue.tell(one.words),
                address=f"/plan/sheets/{one.file}?{planning.plain_query}",
            )
            for one in sheets
        ],
    )


def _ranked(visit: Visit, one: Ranked) -> RankedData:
    return RankedData(
        needles=one.fit.cylinder.needles,
        taken=one.taken,
        fits=one.fit.fits,
        verdict=visit.tongue.tell(one.fit.verdict),
        reasons=told_all(visit, one.fit.reasons),
        rows=rows_data(visit, one.rows),
    )
