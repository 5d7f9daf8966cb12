"""Kept things as data: as they were typed, with what their pages tell of them."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path
from pydantic import BaseModel, Field

from sockwright.measure.cam_points import CurvePoint
from sockwright.store.items import ItemKind, State, Thing
from sockwright.store.models import moment_text, moment_text_if_any
from sockwright.web.context import ID, Context, RequestContext, address, list_address
from sockwright.web.forms.items import Field as FormField
from sockwright.web.forms.items import every
from sockwright.web.kept.cam import curves_of
from sockwright.web.kept.damage import DamageData, damages_data
from sockwright.web.kept.form import form_of
from sockwright.web.kept.gauge import EstimateData, GaugeData, estimate_data, gauge_data
from sockwright.web.kept.kinds import KINDS, PAGES
from sockwright.web.kept.view import (
    ListEntry,
    drawing_addresses,
    find,
    listed_things,
    memory_of,
    notes_among,
)
from sockwright.web.plan.rows import gauge_lines
from sockwright.workshop.cam_curves import ClassCurve, CylinderReading

router = APIRouter(tags=["kept"])

AnId = Annotated[str, Path(pattern=ID, description="The thing's id.")]


class ThingData(BaseModel):
    """A kept thing at its newest version."""

    id: str
    kind: str
    name: str
    version: int = Field(description="A write names the version it saw.")
    document: dict[str, Any] = Field(
        description="What was typed of it, in the grammar of the order file."
    )
    fields: dict[str, Any] = Field(
        description="What it has besides: used_up, serviced, yarn_id, machine_id, about_id."
    )
    created: str = Field(description="In UTC.")
    changed: str = Field(description="When it was written last, in UTC.")
    deleted: str | None = Field(description="When it was deleted, in UTC.")
    example: bool
    address: str = Field(description="Its page.")


class EarlierThing(BaseModel):
    """What a thing was at an earlier version."""

    version: int
    name: str
    document: dict[str, Any]
    fields: dict[str, Any]
    changed: str
    deleted: str | None


class UserData(BaseModel):
    """A swatch, pair or note that refers to a thing."""

    id: str
    kind: str
    name: str
    address: str


class NoteData(BaseModel):
    """A note about a thing, whole."""

    id: str
    text: str
    changed: str = Field(description="When it was written last, in UTC.")
    address: str


class CamPointData(BaseModel):
    """What one swatch tells of a stitch cam."""

    name: str
    kind: str = Field(description="swatch, or finished sock.")
    needles: int
    cam: float
    loop: EstimateData
    stale: bool = Field(description="Whether it is from before the last service.")
    counts: bool = Field(description="Whether the curve rests on it.")


class CamReadingData(BaseModel):
    """What a curve says of one setting on one cylinder."""

    needles: int
    cam: float
    loop: EstimateData
    outside: float = Field(
        description="How many steps of the cam it lies beyond what was knitted, 0 within; above 1 "
        "it is a guess."
    )
    slope: EstimateData = Field(
        description="The change of the loop's logarithm for one unit of the setting."
    )
    girth: EstimateData | None = Field(description="The tube's, where a wale was measured.")


class CamCurveData(BaseModel):
    """The length of a loop by the setting of a machine's stitch cam, for one class of yarn."""

    yarn_class: str = Field(description="fine, fingering or heavy.")
    yarns: list[str] = Field(description="The ids of its yarns.")
    points: list[CamPointData]
    step: float = Field(description="The step of the cam, by the settings that were noted.")
    least: float = Field(description="The smallest setting that was knitted and counts.")
    most: float
    outdated: bool = Field(
        description="Whether it rests on what is from before the last service alone."
    )
    tells_slope: bool = Field(description="Whether it tells which way is looser.")
    drop: EstimateData = Field(
        description="How far needles are drawn below the ring at the mean setting."
    )
    drop_a_unit: EstimateData = Field(
        description="How much one unit changes the drop; below zero where larger is tighter."
    )
    readings: list[CamReadingData]
    drawing: str = Field(description="Where it is drawn (SVG).")


class WholeThing(ThingData):
    """A kept thing with what it was and what uses it."""

    earlier: list[EarlierThing]
    used_by: list[UserData]
    notes: list[NoteData]
    gauge: list[GaugeData] = Field(
        description="What its swatches tell, of a machine or a yarn; of a swatch its own."
    )
    drawings: dict[str, str] = Field(
        description="Where a machine's cylinders are drawn (SVG), by their needles."
    )
    cam: list[CamCurveData] = Field(
        description="What a machine's stitch cam does, by class of yarn; empty for other things."
    )


class FactData(BaseModel):
    """A fact by which a thing is known in the list, as it is told there."""

    heading: str
    words: str
    link: str
    warns: bool = Field(description="Whether it is a doubt.")


class ListedThing(ThingData):
    """A kept thing with the facts that the list tells of it."""

    facts: list[FactData]


class ThingsData(BaseModel):
    """Some kept things."""

    things: list[ThingData]


class ListData(BaseModel):
    """All of a kind that are not deleted, by name."""

    things: list[ListedThing]
    damaged: list[DamageData] = Field(description="What can no longer be read, deleted or not.")


class FieldData(BaseModel):
    """A field of a kind's form."""

    path: str = Field(description="The key's place; rows are numbered from 1.")
    label: str
    meaning: str
    expects: str = Field(description="What to write, where that needs to be told.")
    without: str = Field(description="What holds where it is empty.")
    needed: bool
    words: list[str] = Field(description="What there is to choose from; empty for free text.")


class BlankData(BaseModel):
    """What may be said of a new thing of a kind."""

    fields: list[FieldData]


def kept(kind: ItemKind) -> APIRouter:
    """The data of one kind."""
    of_kind = APIRouter(prefix=list_address(kind), tags=["kept"])

    @of_kind.get("")
    def every_one(context: Context) -> ListData:
        """All of them, by name, with what the list tells of each."""
        listed = listed_things(context.shop, kind, context.formats)
        things = [_listed(context, kind, one) for one in listed]
        return ListData(things=things, damaged=damages_data(context, (kind,)))

    @of_kind.get("/new")
    def blank(context: Context) -> BlankData:
        """What may be said of a new one."""
        items = every(form_of(context.shop, kind, {}).items)
        fields = [one for one in items if isinstance(one, FormField)]
        return BlankData(fields=[_field(one) for one in fields])

    @of_kind.get("/{id}")
    def one(context: Context, id: AnId) -> WholeThing:
        """One of them, deleted or not, with what it was and what uses it."""
        thing = find(context, kind, id)
        users = context.shop.used_by(kind, id)
        earlier = context.shop.earlier(id)
        memory = memory_of(context, thing)
        return WholeThing(
            **thing_fields(thing),
            earlier=[_earlier(*was) for was in earlier.items()],
            used_by=[_user(user) for user in users],
            notes=[_note(user) for user in notes_among(users)],
            gauge=gauge_data(context, gauge_lines(memory, context.formats)),
            drawings=drawing_addresses(thing),
            cam=[_curve(thing, one) for one in curves_of(context, thing, memory)],
        )

    return of_kind


def _listed(context: RequestContext, kind: ItemKind, one: ListEntry) -> ListedThing:
    facts = [
        FactData(
            heading=context.locale.render(heading),
            words=context.locale.named(fact.words),
            link=fact.link,
            warns=fact.warns,
        )
        for heading, fact in zip(PAGES[kind].headings, one.facts, strict=True)
    ]
    return ListedThing(**thing_fields(one.thing), facts=facts)


def _note(note: Thing) -> NoteData:
    return NoteData(
        id=note.id,
        text=note.document["text"],
        changed=moment_text(note.state.changed),
        address=address(note),
    )


def thing_data(thing: Thing) -> ThingData:
    """A kept thing as data."""
    return ThingData(**thing_fields(thing))


def thing_fields(thing: Thing) -> dict[str, Any]:
    """The fields of ThingData."""
    return {
        "id": thing.id,
        "kind": str(thing.kind),
        "name": thing.name,
        "version": thing.version,
        "document": dict(thing.document),
        "fields": dict(thing.fields),
        "created": moment_text(thing.created),
        "changed": moment_text(thing.state.changed),
        "deleted": moment_text_if_any(thing.state.deleted),
        "example": thing.example,
        "address": address(thing),
    }


def _earlier(version: int, state: State) -> EarlierThing:
    return EarlierThing(
        version=version,
        name=state.name,
        document=dict(state.document),
        fields=dict(state.fields),
        changed=moment_text(state.changed),
        deleted=moment_text_if_any(state.deleted),
    )


def _user(thing: Thing) -> UserData:
    return UserData(id=thing.id, kind=str(thing.kind), name=thing.name, address=address(thing))


def _field(one: FormField) -> FieldData:
    return FieldData(
        path=one.path,
        label=one.label,
        meaning=one.hint,
        expects=one.expects,
        without=one.without,
        needed=one.needed,
        words=[option.value for option in one.options] or list(one.known),
    )


def _curve(machine: Thing, one: ClassCurve) -> CamCurveData:
    curve = one.curve
    return CamCurveData(
        yarn_class=str(one.yarn_class),
        yarns=[yarn.id for yarn in one.yarns],
        points=[_point(point, point in curve.counted) for point in curve.points],
        step=curve.step,
        least=curve.least,
        most=curve.most,
        outdated=curve.outdated,
        tells_slope=curve.tells_slope,
        drop=estimate_data(curve.drop),
        drop_a_unit=estimate_data(curve.drop_a_unit),
        readings=[_reading(told) for told in one.readings()],
        drawing=f"{address(machine)}/cam.svg?yarn={one.yarns[0].id}",
    )


def _point(point: CurvePoint, counts: bool) -> CamPointData:
    return CamPointData(
        name=point.name,
        kind=str(point.kind),
        needles=point.needles,
        cam=point.cam,
        loop=estimate_data(point.loop),
        stale=point.stale,
        counts=counts,
    )


def _reading(one: CylinderReading) -> CamReadingData:
    return CamReadingData(
        needles=one.needles,
        cam=one.cam,
        loop=estimate_data(one.loop.loop),
        outside=one.loop.outside,
        slope=estimate_data(one.slope),
        girth=None if one.girth is None else estimate_data(one.girth),
    )


@router.get("/deleted")
def deleted(context: Context) -> ThingsData:
    """All that was deleted and can be put back, by kind and name."""
    every = context.shop.everything(deleted=True).values()
    return ThingsData(things=[thing_data(one) for things in every for one in things])


ROUTERS = (router, *(kept(kind) for kind in KINDS))
