"""The pages of people, yarns, machines, swatches, designs and notes: listed, shown, kept, changed,
deleted and put back.
"""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.drawing.base.theme import Theme
from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.web.context import AVisit, Visit, address, list_address
from sockwright.web.errors import NoPage
from sockwright.web.forms.texts import Texts, tidy
from sockwright.web.kept.form import (
    FILL,
    THEIRS,
    fields_told,
    meet,
    read_sent,
    rows_changed,
    same,
    texts_of,
    understood,
    with_offer,
    with_theirs,
    write,
)
from sockwright.web.kept.history import went_back
from sockwright.web.kept.kinds import KINDS, read_machine
from sockwright.web.kept.view import (
    Back,
    find,
    list_page,
    machine_drawing,
    met_page,
    new_page,
    stale_page,
    state_at,
    thing_page,
    with_rows,
)
from sockwright.web.received import AForm, AVersion, one, seen_version, texts, version_of
from sockwright.words.said import said
from sockwright.workshop.answers import Problems
from sockwright.workshop.kinds import TYPES

router = APIRouter()

AT_MOST = 5
"""How often a form is joined with what others write all the while."""


def keeps(kind: ItemKind) -> APIRouter:
    """The pages of one kind."""
    of_kind = APIRouter(prefix=list_address(kind))

    @of_kind.get("")
    def every(visit: AVisit) -> Response:
        """All of them."""
        return list_page(visit, kind)

    @of_kind.get("/new")
    def blank(visit: AVisit) -> Response:
        """The form of a new one; the address may fill in fields."""
        return _blank(visit, kind)

    @of_kind.post("/new")
    def keep(visit: AVisit, form: AForm) -> Response:
        """Keep a new one."""
        return _keep(visit, form, kind)

    @of_kind.get("/{id}")
    def this(visit: AVisit, id: str) -> Response:
        """One of them."""
        return thing_page(visit, find(visit, kind, id))

    @of_kind.post("/{id}")
    def change(visit: AVisit, form: AForm, id: str) -> Response:
        """Write over one."""
        return _change(visit, form, find(visit, kind, id))

    @of_kind.post("/{id}/delete")
    def delete(visit: AVisit, form: AForm, id: str) -> Response:
        """Delete one, which can be undone."""
        return _delete(visit, form, find(visit, kind, id))

    @of_kind.post("/{id}/restore")
    def restore(visit: AVisit, form: AForm, id: str) -> Response:
        """Put back one that was deleted."""
        return _restore(visit, form, find(visit, kind, id))

    @of_kind.post("/{id}/back/{version}")
    def back(visit: AVisit, form: AForm, id: str, version: AVersion) -> Response:
        """Make one again what it was at an earlier version."""
        return _go_back(visit, form, find(visit, kind, id), version)

    return of_kind


def _blank(visit: Visit, kind: ItemKind) -> Response:
    asked = understood(kind, visit.request.query_params.multi_items(), visit.tongue)
    return new_page(visit, kind, Back(tidy(asked), typed=False))


def _keep(visit: Visit, form: FormData, kind: ItemKind) -> Response:
    pairs = understood(kind, texts(form), visit.tongue)
    if rowed := rows_changed(pairs):
        return new_page(visit, kind, with_rows(rowed))
    if FILL in form:
        return new_page(visit, kind, Back(with_offer(tidy(pairs), one(form, FILL))))
    sent = read_sent(kind, pairs, None)
    kept = write(visit.shop, kind, sent)
    if isinstance(kept, Problems):
        return new_page(visit, kind, Back(sent.texts, kept.problems), 422)
    undo = (f"{address(kept)}/delete", kept.version)
    return visit.to(address(kept), said("“{name}” is saved.", name=kept.name), undo)


def _change(visit: Visit, form: FormData, thing: Thing) -> Response:
    pairs = understood(thing.kind, texts(form), visit.tongue)
    seen, was = version_of(form, "seen"), version_of(form, "was")
    if rowed := rows_changed(pairs):
        return thing_page(visit, thing, with_rows(rowed, seen, was))
    if FILL in form:
        filled = with_offer(tidy(pairs), one(form, FILL))
        return thing_page(visit, thing, Back(filled, seen=seen, was=was))
    if THEIRS in form:
        now = state_at(visit, thing, seen) or thing.state
        chosen = with_theirs(thing.kind, now, tidy(pairs), one(form, THEIRS))
        return thing_page(visit, thing, Back(chosen, seen=seen, was=was))
    for _ in range(AT_MOST):
        try:
            return _write_over(visit, thing, tidy(pairs), seen)
        except Stale as stale:
            # It was written between our look and our write: what is kept now is joined anew.
            again = stale
            thing = stale.now
    return stale_page(visit, again, tidy(pairs))


def _write_over(visit: Visit, thing: Thing, typed: Texts, seen: int) -> Response:
    """Keep what was typed over what was seen, joined with what was changed since."""
    base = state_at(visit, thing, seen)
    if base is None:
        return stale_page(visit, Stale(seen, thing, ()), typed)
    met = meet(thing.kind, base, thing.state, typed)
    if met.clashes or (thing.deleted and not base.deleted):
        return met_page(visit, thing, seen, base, met)
    sent = read_sent(thing.kind, met.texts.items(), thing.state)
    if not sent.problems and same(sent, thing.state):
        return visit.to(address(thing), said("Nothing changed."))
    kept = write(visit.shop, thing.kind, sent, thing.id, thing.version)
    if isinstance(kept, Problems):
        back = Back(sent.texts, kept.problems, seen=thing.version)
        return thing_page(visit, thing, back, 422)
    words = said("“{name}” is changed.", name=kept.name)
    if met.taken:
        words = said(
            "“{name}” is changed, together with what someone else changed: {fields}.",
            name=kept.name,
            fields=fields_told(thing.kind, met.taken),
        )
    return visit.to(address(kept), words, (f"{address(kept)}/back/{thing.version}", kept.version))


def _delete(visit: Visit, form: FormData, thing: Thing) -> Response:
    try:
        gone = visit.shop.delete(thing.kind, thing.id, seen_version(form))
    except Stale as stale:
        return stale_page(visit, stale)
    words = said("“{name}” is deleted.", name=thing.name)
    return visit.to(list_address(thing.kind), words, (f"{address(thing)}/restore", gone.version))


def _restore(visit: Visit, form: FormData, thing: Thing) -> Response:
    """Put it back; to take that back is to delete it, which has its own button."""
    try:
        visit.shop.restore(thing.kind, thing.id, seen_version(form))
    except Stale as stale:
        return stale_page(visit, stale)
    return visit.to(address(thing), said("“{name}” is restored.", name=thing.name))


def _go_back(visit: Visit, form: FormData, thing: Thing, version: int) -> Response:
    """Make it what it was and show it; or show it as it is, and why not."""
    seen = seen_version(form)
    try:
        answer = visit.shop.back_to(thing.kind, thing.id, seen, version)
    except Stale as stale:
        return stale_page(visit, stale)
    if isinstance(answer, Problems):
        back = Back(texts_of(thing.kind, thing.state), answer.problems, typed=False)
        return thing_page(visit, thing, back, 422)
    if answer.version == seen:
        return visit.to(address(thing), said("Nothing changed."))
    undo = (f"{address(thing)}/back/{seen}", answer.version)
    return visit.to(address(thing), went_back(visit, thing, version), undo)


@router.get("/machines/{id}/cylinder-{needles}.svg")
def cylinder(visit: AVisit, id: str, needles: str) -> Response:
    """One cylinder of a machine drawn, to be looked at by itself."""
    machine = read_machine(find(visit, ItemKind.MACHINE, id).document)
    own = () if machine is None else machine.cylinders
    found = next((one.needles for one in own if str(one.needles) == needles), None)
    if machine is None or found is None:
        raise NoPage(said("this machine has no such cylinder"))
    svg = machine_drawing(machine, found, visit.tongue, Theme.LIGHT)
    return Response(svg, media_type="image/svg+xml")


@router.get("/deleted")
def deleted(visit: AVisit) -> Response:
    """What was deleted, by kind."""
    gone = visit.shop.everything(deleted=True)
    every = {TYPES[kind].heading: things for kind, things in gone.items()}
    return visit.page("deleted.html", every=every, address=address, damages=visit.shop.damages())


ROUTERS = (router, *(keeps(kind) for kind in KINDS))
