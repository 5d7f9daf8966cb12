"""The pages of people, yarns, machines, swatches, designs and notes: listed, shown, kept, changed,
deleted and put back.
"""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.drawing.base.theme import Theme
from sockwright.drawing.curve.picture import WIDE_MM
from sockwright.i18n.messages import _
from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.web.context import Context, RequestContext, address, list_address
from sockwright.web.errors import NoPage
from sockwright.web.forms.texts import Texts, tidy
from sockwright.web.kept.cam import curves_of, drawing, question_of
from sockwright.web.kept.form import (
    FILL,
    THEIRS,
    fields_told,
    read_sent,
    rows_changed,
    same,
    texts_of,
    three_way_merge,
    understood,
    with_offer,
    with_theirs,
    write,
)
from sockwright.web.kept.history import went_back
from sockwright.web.kept.kinds import KINDS, read_machine
from sockwright.web.kept.view import (
    ReturnedForm,
    find,
    list_page,
    machine_drawing,
    memory_of,
    met_page,
    new_page,
    stale_page,
    state_at,
    thing_page,
    with_rows,
)
from sockwright.web.received import AForm, AVersion, one, seen_version, texts, version_of
from sockwright.workshop.answers import Problems
from sockwright.workshop.cam_curves import answer
from sockwright.workshop.kinds import TYPES

router = APIRouter()

AT_MOST = 5
"""How often a form is joined with what others write all the while."""


def keeps(kind: ItemKind) -> APIRouter:
    """The pages of one kind."""
    of_kind = APIRouter(prefix=list_address(kind))

    @of_kind.get("")
    def every(context: Context) -> Response:
        """All of them."""
        return list_page(context, kind)

    @of_kind.get("/new")
    def blank(context: Context) -> Response:
        """The form of a new one; the address may fill in fields."""
        return _blank(context, kind)

    @of_kind.post("/new")
    def keep(context: Context, form: AForm) -> Response:
        """Keep a new one."""
        return _keep(context, form, kind)

    @of_kind.get("/{id}")
    def this(context: Context, id: str) -> Response:
        """One of them."""
        return thing_page(context, find(context, kind, id))

    @of_kind.post("/{id}")
    def change(context: Context, form: AForm, id: str) -> Response:
        """Write over one."""
        return _change(context, form, find(context, kind, id))

    @of_kind.post("/{id}/delete")
    def delete(context: Context, form: AForm, id: str) -> Response:
        """Delete one, which can be undone."""
        return _delete(context, form, find(context, kind, id))

    @of_kind.post("/{id}/restore")
    def restore(context: Context, form: AForm, id: str) -> Response:
        """Put back one that was deleted."""
        return _restore(context, form, find(context, kind, id))

    @of_kind.post("/{id}/back/{version}")
    def back(context: Context, form: AForm, id: str, version: AVersion) -> Response:
        """Make one again what it was at an earlier version."""
        return _go_back(context, form, find(context, kind, id), version)

    return of_kind


def _blank(context: RequestContext, kind: ItemKind) -> Response:
    asked = understood(kind, context.request.query_params.multi_items(), context.locale)
    return new_page(context, kind, ReturnedForm(tidy(asked), typed=False))


def _keep(context: RequestContext, form: FormData, kind: ItemKind) -> Response:
    pairs = understood(kind, texts(form), context.locale)
    if rowed := rows_changed(pairs):
        return new_page(context, kind, with_rows(rowed))
    if FILL in form:
        return new_page(context, kind, ReturnedForm(with_offer(tidy(pairs), one(form, FILL))))
    sent = read_sent(kind, pairs, None)
    kept = write(context.shop, kind, sent)
    if isinstance(kept, Problems):
        return new_page(context, kind, ReturnedForm(sent.texts, kept.problems), 422)
    undo = (f"{address(kept)}/delete", kept.version)
    return context.to(address(kept), _("“{name}” is saved.", name=kept.name), undo)


def _change(context: RequestContext, form: FormData, thing: Thing) -> Response:
    pairs = understood(thing.kind, texts(form), context.locale)
    seen, was = version_of(form, "seen"), version_of(form, "was")
    if rowed := rows_changed(pairs):
        return thing_page(context, thing, with_rows(rowed, seen, was))
    if FILL in form:
        filled = with_offer(tidy(pairs), one(form, FILL))
        return thing_page(context, thing, ReturnedForm(filled, seen=seen, was=was))
    if THEIRS in form:
        now = state_at(context, thing, seen) or thing.state
        chosen = with_theirs(thing.kind, now, tidy(pairs), one(form, THEIRS))
        return thing_page(context, thing, ReturnedForm(chosen, seen=seen, was=was))
    for __ in range(AT_MOST):
        try:
            return _write_over(context, thing, tidy(pairs), seen)
        except Stale as stale:
            # It was written between our look and our write: what is kept now is joined anew.
            again = stale
            thing = stale.now
    return stale_page(context, again, tidy(pairs))


def _write_over(context: RequestContext, thing: Thing, typed: Texts, seen: int) -> Response:
    """Keep what was typed over what was seen, joined with what was changed since."""
    base = state_at(context, thing, seen)
    if base is None:
        return stale_page(context, Stale(seen, thing, ()), typed)
    met = three_way_merge(thing.kind, base, thing.state, typed)
    if met.clashes or (thing.deleted and not base.deleted):
        return met_page(context, thing, seen, base, met)
    sent = read_sent(thing.kind, met.texts.items(), thing.state)
    if not sent.problems and same(sent, thing.state):
        return context.to(address(thing), _("Nothing changed."))
    kept = write(context.shop, thing.kind, sent, thing.id, thing.version)
    if isinstance(kept, Problems):
        back = ReturnedForm(sent.texts, kept.problems, seen=thing.version)
        return thing_page(context, thing, back, 422)
    words = _("“{name}” is changed.", name=kept.name)
    if met.taken:
        words = _(
            "“{name}” is changed, together with what someone else changed: {fields}.",
            name=kept.name,
            fields=fields_told(thing.kind, met.taken),
        )
    return context.to(address(kept), words, (f"{address(kept)}/back/{thing.version}", kept.version))


def _delete(context: RequestContext, form: FormData, thing: Thing) -> Response:
    try:
        gone = context.shop.delete(thing.kind, thing.id, seen_version(form))
    except Stale as stale:
        return stale_page(context, stale)
    words = _("“{name}” is deleted.", name=thing.name)
    return context.to(list_address(thing.kind), words, (f"{address(thing)}/restore", gone.version))


def _restore(context: RequestContext, form: FormData, thing: Thing) -> Response:
    """Put it back; to take that back is to delete it, which has its own button."""
    try:
        context.shop.restore(thing.kind, thing.id, seen_version(form))
    except Stale as stale:
        return stale_page(context, stale)
    return context.to(address(thing), _("“{name}” is restored.", name=thing.name))


def _go_back(context: RequestContext, form: FormData, thing: Thing, version: int) -> Response:
    """Make it what it was and show it; or show it as it is, and why not."""
    seen = seen_version(form)
    try:
        answer = context.shop.back_to(thing.kind, thing.id, seen, version)
    except Stale as stale:
        return stale_page(context, stale)
    if isinstance(answer, Problems):
        back = ReturnedForm(texts_of(thing.kind, thing.state), answer.problems, typed=False)
        return thing_page(context, thing, back, 422)
    if answer.version == seen:
        return context.to(address(thing), _("Nothing changed."))
    undo = (f"{address(thing)}/back/{seen}", answer.version)
    return context.to(address(thing), went_back(context, thing, version), undo)


@router.get("/machines/{id}/cylinder-{needles}.svg")
def cylinder(context: Context, id: str, needles: str) -> Response:
    """One cylinder of a machine drawn, to be looked at by itself."""
    machine = read_machine(find(context, ItemKind.MACHINE, id).document)
    own = () if machine is None else machine.cylinders
    found = next((one.needles for one in own if str(one.needles) == needles), None)
    if machine is None or found is None:
        raise NoPage(_("this machine has no such cylinder"))
    svg = machine_drawing(machine, found, context.locale, Theme.LIGHT)
    return Response(svg, media_type="image/svg+xml")


@router.get("/machines/{id}/cam.svg")
def cam(context: Context, id: str) -> Response:
    """What the stitch cam of a machine does, drawn for paper; the address chooses."""
    machine = find(context, ItemKind.MACHINE, id)
    told = answer(curves_of(context, machine, memory_of(context, machine)), question_of(context))
    if told is None:
        raise NoPage(_("no swatch of this machine tells what its cam does"))
    svg = drawing(context, told, WIDE_MM, Theme.PRINT)
    return Response(svg, media_type="image/svg+xml")


@router.get("/deleted")
def deleted(context: Context) -> Response:
    """What was deleted, by kind."""
    gone = context.shop.everything(deleted=True)
    every = {TYPES[kind].heading: things for kind, things in gone.items()}
    return context.page(
        "deleted.html", every=every, address=address, damages=context.shop.damages()
    )


ROUTERS = (router, *(keeps(kind) for kind in KINDS))
