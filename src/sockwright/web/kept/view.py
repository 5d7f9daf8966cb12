"""The pages of kept things: a list, a blank form, one thing with all that belongs to it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from fastapi.responses import HTMLResponse

from sockwright.drawing.base.places import place_marks, usual_limits
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.picture import cylinder_svg
from sockwright.drawing.cylinder.view import CylinderView, Needle
from sockwright.errors import Problem
from sockwright.i18n.locale import Locale
from sockwright.i18n.messages import _
from sockwright.machine import Machine, home_hour
from sockwright.sock.cup import default_kept
from sockwright.steps import Way
from sockwright.store.items import ItemKind, NotKept, Stale, State, Thing
from sockwright.store.models import kinds_referred
from sockwright.web.context import ID, RequestContext, address, list_address
from sockwright.web.forms.items import runs
from sockwright.web.forms.problems import Form
from sockwright.web.forms.texts import Texts
from sockwright.web.kept.cam import CamPage, cam_page
from sockwright.web.kept.facts import Fact
from sockwright.web.kept.form import (
    NO_CLASHES,
    FormWithRows,
    ThreeWayMerge,
    fields_told,
    form_of,
    left_to_choose,
    texts_of,
)
from sockwright.web.kept.history import FieldChange, history, reference_names, told
from sockwright.web.kept.kinds import ABOUT, PAGES, ids_of
from sockwright.web.pairs_kept import by_id, not_deleted
from sockwright.web.plan.rows import gauge_lines
from sockwright.web.plan.why import asking_of_swatch
from sockwright.web.preferences import Formats
from sockwright.workshop.gauge_memory import Remembered
from sockwright.workshop.kinds import TYPES
from sockwright.workshop.workshop import Workshop

CYLINDER_MM = 130.0
"""How wide a cylinder is drawn beside its machine's form, mm."""


@dataclass(frozen=True)
class ListEntry:
    """A thing in a list, with a fact for each of its kind's headings."""

    thing: Thing
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class EditConflict:
    """What happened to a thing since its page was opened, so that nothing was written.

    `typed` tells that what was typed stands below, else it was a button; `taken` are the fields
    changed meanwhile whose new texts stand in the form.
    """

    heading: str
    changes: tuple[FieldChange, ...] = ()
    typed: bool = False
    taken: str = ""


@dataclass(frozen=True)
class ReturnedForm:
    """A form that comes back: what was typed, what is wrong, or what happened meanwhile.

    `added` is the path of the rows that get a blank one, `removed` that of the row that is gone.
    `was` is the version a form was made from whose fields clash with those of `seen`, else 0.
    """

    texts: Texts
    problems: tuple[Problem, ...] = ()
    added: str = ""
    removed: str = ""
    meanwhile: EditConflict | None = None
    seen: int | None = None
    was: int = 0
    typed: bool = True
    """Whether it holds what was typed and is not kept yet."""


def with_rows(rowed: FormWithRows, seen: int | None = None, was: int = 0) -> ReturnedForm:
    """The form with a row more or less, which still saw what it saw."""
    return ReturnedForm(rowed.texts, added=rowed.added, removed=rowed.removed, seen=seen, was=was)


def find(context: RequestContext, kind: ItemKind, id: str) -> Thing:
    """A thing by what an address calls its id; NotKept if there is none."""
    if not re.fullmatch(ID, id):
        raise NotKept(kind, id[:40])
    return context.shop.thing(kind, id)


def state_at(context: RequestContext, thing: Thing, version: int) -> State | None:
    """What a thing is or was at a version, None for one that is not known."""
    if version == thing.version:
        return thing.state
    return context.shop.earlier(thing.id).get(version)


def listed_things(shop: Workshop, kind: ItemKind, formats: Formats) -> tuple[ListEntry, ...]:
    """All of a kind that has facts by name, lengths as the reader has them."""
    every = shop.everything(None, (kind, *kinds_referred(kind)))
    others, facts = by_id(every), PAGES[kind].facts
    assert facts is not None
    return tuple(
        ListEntry(thing, facts(thing, others, formats)) for thing in not_deleted(every)[kind]
    )


def list_page(context: RequestContext, kind: ItemKind) -> HTMLResponse:
    """All of a kind."""
    return context.page(
        "keeps.html",
        kind=kind,
        words=PAGES[kind].words,
        heading=TYPES[kind].heading,
        folder=list_address(kind),
        headings=PAGES[kind].headings,
        listed=listed_things(context.shop, kind, context.formats),
        deleted=len(context.shop.things(kind, deleted=True)),
        damages=context.shop.damages((kind,)),
    )


def new_page(
    context: RequestContext, kind: ItemKind, back: ReturnedForm, status: int = 200
) -> HTMLResponse:
    """The form of a new thing."""
    return context.page(
        "keep_new.html",
        status,
        kind=kind,
        words=PAGES[kind].words,
        heading=TYPES[kind].heading,
        folder=list_address(kind),
        back=back,
        form=_form(context, kind, back),
        feet=PAGES[kind].drawings(context.locale),
        runs=runs,
    )


def thing_page(
    context: RequestContext, thing: Thing, back: ReturnedForm | None = None, status: int = 200
) -> HTMLResponse:
    """One thing: its form, notes about it, what uses it, what it was."""
    kind, shop = thing.kind, context.shop
    texts = texts_of(kind, thing.state) if back is None else back.texts
    users = shop.used_by(kind, thing.id)
    notes = notes_among(users)
    shown = back or ReturnedForm(texts, typed=False)
    seen = thing.version if shown.seen is None else shown.seen
    clashes = _clashes(context, thing, shown, seen)
    memory = memory_of(context, thing)
    cam = cam_page(context, thing, memory)
    return context.page(
        "keep.html",
        status,
        kind=kind,
        words=PAGES[kind].words,
        heading=TYPES[kind].heading,
        thing=thing,
        folder=list_address(kind),
        back=shown,
        seen=seen,
        form=_form(context, kind, shown, clashes),
        feet=PAGES[kind].drawings(context.locale),
        runs=runs,
        notes=notes,
        users=[one for one in users if one not in notes],
        versions=history(shop, thing),
        address=address,
        about=_about(context, thing),
        new_note=f"/notes/new?{ABOUT}={kind}/{thing.id}",
        plan_query=_plan_query(thing),
        cylinder=_cylinder(context, thing, cam),
        cam=cam,
        gauge=gauge_lines(memory, context.formats),
        asking=asking_of_swatch,
    )


def notes_among(users: Iterable[Thing]) -> list[Thing]:
    """The notes among what refers to a thing."""
    return [one for one in users if one.kind is ItemKind.NOTE]


def _form(
    context: RequestContext,
    kind: ItemKind,
    back: ReturnedForm,
    clashes: Mapping[str, str] = NO_CLASHES,
) -> Form:
    rows, units = (back.added, back.removed), context.preferences.units
    return form_of(context.shop, kind, back.texts, back.problems, *rows, clashes, units)


def stale_page(context: RequestContext, stale: Stale, texts: Texts | None = None) -> HTMLResponse:
    """What happened meanwhile, above what was typed; `texts` None: a button's deed not done."""
    now = stale.now
    changes = told(now.kind, stale.changes, reference_names(context.shop, now.kind))
    shown = texts_of(now.kind, now.state) if texts is None else texts
    heading = _happened(state_at(context, now, stale.seen), now.state)
    meanwhile = EditConflict(heading, changes, texts is not None)
    back = ReturnedForm(shown, meanwhile=meanwhile, seen=now.version, typed=texts is not None)
    return thing_page(context, now, back, 409)


def met_page(
    context: RequestContext, thing: Thing, seen: int, base: State, met: ThreeWayMerge
) -> HTMLResponse:
    """A form that cannot be kept as it is, for what happened to the thing since `seen`."""
    heading = _happened(base, thing.state)
    meanwhile = EditConflict(heading, typed=True, taken=fields_told(thing.kind, met.taken))
    return thing_page(
        context,
        thing,
        ReturnedForm(met.texts, meanwhile=meanwhile, seen=thing.version, was=seen),
        409,
    )


def _happened(was: State | None, now: State) -> str:
    if now.deleted and not (was and was.deleted):
        return _("Deleted by someone else")
    if was and was.deleted and not now.deleted:
        return _("Restored by someone else")
    return _("Changed by someone else")


def _clashes(
    context: RequestContext, thing: Thing, back: ReturnedForm, seen: int
) -> Mapping[str, str]:
    """The fields of a form that came back in which something else was kept meanwhile."""
    was = state_at(context, thing, back.was) if back.was else None
    now = state_at(context, thing, seen)
    return left_to_choose(thing.kind, was, now, back.texts) if was and now else NO_CLASHES


def _about(context: RequestContext, thing: Thing) -> Thing | None:
    """What a note is about."""
    fields = thing.fields
    if "about_kind" not in fields:
        return None
    return context.shop.part(ItemKind(fields["about_kind"]), fields["about_id"])


def _plan_query(thing: Thing) -> str:
    """The query that plans with a thing; "" for what is not planned with."""
    ids = ids_of(thing, PAGES[thing.kind].plans)
    return "&".join(f"{key}={id}" for key, id in ids.items())


def drawing_addresses(thing: Thing) -> dict[str, str]:
    """Where the cylinders of a machine are drawn, by their needles; nothing of other things."""
    machine = PAGES[thing.kind].machine(thing.document)
    every = () if machine is None else machine.cylinders
    return {str(one.needles): f"{address(thing)}/cylinder-{one.needles}.svg" for one in every}


def _cylinder(context: RequestContext, thing: Thing, cam: CamPage | None) -> dict[str, Any] | None:
    """One cylinder of a machine drawn: the one that the address asks for, else that whose loops are
    told beside it, else the first."""
    machine = PAGES[thing.kind].machine(thing.document)
    if machine is None or not machine.cylinders:
        return None
    every = [one.needles for one in machine.cylinders]
    told = () if cam is None else (str(cam.answer.at.needles),)
    wanted = (context.request.query_params.get("needles", ""), *told)
    needles = next((one for text in wanted for one in every if str(one) == text), every[0])
    return {
        "every": every,
        "needles": needles,
        "keeps": f"&{kept}" if (kept := _kept_of_query(context)) else "",
        "svg": machine_drawing(machine, needles, context.locale),
    }


def _kept_of_query(context: RequestContext) -> str:
    """What the address says of the cam beside the cylinder."""
    asked = context.request.query_params
    return urlencode({name: asked[name] for name in ("yarn", "cam") if name in asked})


def machine_drawing(
    machine: Machine, needles: int, locale: Locale, theme: Theme = Theme.PAGE
) -> str:
    """A cylinder of a machine at rest, with the marks that usual socks need."""
    limits = usual_limits(needles, default_kept(needles // 2)) if needles % 2 == 0 else ()
    view = CylinderView(
        states=(Needle.WORKING,) * needles,
        heel_needles=needles // 2,
        gap=0,
        way=Way.FORWARD,
        turning=machine.turns,
        forward=machine.forward,
        home_hour=home_hour(machine),
        marks=place_marks(machine, needles, limits),
        landmarks=machine.landmarks,
    )
    return cylinder_svg(view, CYLINDER_MM, theme, locale)


def memory_of(context: RequestContext, thing: Thing) -> tuple[Remembered, ...]:
    """What the swatches tell: of a machine or a yarn all of them, of a swatch its own."""
    ids = ids_of(thing, PAGES[thing.kind].gauge)
    if not ids:
        return ()
    memory = context.shop.gauge_memory(ids.get("machine"), ids.get("yarn"))
    return tuple(one for one in memory if ids.get("swatch") in (None, one.swatch.id))
