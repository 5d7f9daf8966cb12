"""People, yarns, machines, swatches, designs and notes: listed, shown, kept, changed, deleted."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.drawing.theme import Theme
from sockwright.store.refusals import Stale
from sockwright.store.things import Kind, Thing
from sockwright.web.forms import AForm, seen_version, texts
from sockwright.web.keep_forms import read_sent, rows_changed, same, texts_of, write
from sockwright.web.keep_kinds import KINDS, list_address
from sockwright.web.keep_view import (
    Back,
    find,
    list_page,
    new_page,
    stale_page,
    state_seen,
    thing_page,
    with_rows,
)
from sockwright.web.kept_drawings import machine_drawing, read_machine
from sockwright.web.known_names import understood
from sockwright.web.pairs import address
from sockwright.web.refusals import NoPage
from sockwright.web.typed import tidy
from sockwright.web.visit import AVisit, Visit
from sockwright.words.said import said
from sockwright.workshop.answers import Problems

Deed = Callable[[int], Thing | Problems]
"""Does it to the version that was seen."""


def keeps(kind: Kind) -> APIRouter:
    """The pages of one kind."""
    router = APIRouter(prefix=list_address(kind))

    @router.get("")
    def every(visit: AVisit) -> Response:
        """All of them."""
        return list_page(visit, kind)

    @router.get("/new")
    def blank(visit: AVisit) -> Response:
        """The form of a new one; the address may fill in fields."""
        return new_page(visit, kind, Back(tidy(_asked(visit, kind))))

    @router.post("/new")
    def keep(visit: AVisit, form: AForm) -> Response:
        """Keep a new one."""
        return _keep(visit, form, kind)

    @router.get("/{id}")
    def one(visit: AVisit, id: str) -> Response:
        """One of them."""
        return thing_page(visit, find(visit, kind, id))

    @router.post("/{id}")
    def change(visit: AVisit, form: AForm, id: str) -> Response:
        """Write over one."""
        return _change(visit, form, find(visit, kind, id))

    @router.post("/{id}/delete")
    def delete(visit: AVisit, form: AForm, id: str) -> Response:
        """Delete one, which can be undone."""
        return _delete(visit, form, find(visit, kind, id))

    @router.post("/{id}/restore")
    def restore(visit: AVisit, form: AForm, id: str) -> Response:
        """Undo a deletion."""
        thing = find(visit, kind, id)
        words = said("“{name}” is here again.", name=thing.name)
        return _done(visit, form, thing, lambda seen: visit.shop.restore(kind, id, seen), words)

    @router.post("/{id}/undo")
    def undo(visit: AVisit, form: AForm, id: str) -> Response:
        """Put back what one was before its last change; undone twice, it is done again."""
        thing = find(visit, kind, id)
        words = said("The last change is undone.")
        return _done(visit, form, thing, lambda seen: visit.shop.undo(kind, id, seen), words)

    return router


def _asked(visit: Visit, kind: Kind) -> list[tuple[str, str]]:
    """What the address fills in."""
    return understood(kind, visit.request.query_params.multi_items(), visit.tongue)


def _keep(visit: Visit, form: FormData, kind: Kind) -> Response:
    pairs = understood(kind, texts(form), visit.tongue)
    if rowed := rows_changed(pairs):
        return new_page(visit, kind, with_rows(rowed))
    sent = read_sent(kind, pairs, None)
    kept = write(visit.shop, kind, sent)
    if isinstance(kept, Problems):
        return new_page(visit, kind, Back(sent.texts, kept.problems), 422)
    undo = (f"{address(kept)}/delete", kept.version)
    return visit.to(address(kept), said("“{name}” is kept.", name=kept.name), undo)


def _change(visit: Visit, form: FormData, thing: Thing) -> Response:
    pairs = understood(thing.kind, texts(form), visit.tongue)
    seen = seen_version(form)
    if rowed := rows_changed(pairs):
        return thing_page(visit, thing, with_rows(rowed, seen))
    sent = read_sent(thing.kind, pairs, state_seen(visit, thing, seen))
    if seen == thing.version and not sent.problems and same(sent, thing.state):
        return visit.to(address(thing), said("Nothing was changed."))
    try:
        kept = write(visit.shop, thing.kind, sent, thing.id, seen)
    except Stale as stale:
        return stale_page(visit, stale, sent.texts)
    if isinstance(kept, Problems):
        return thing_page(visit, thing, Back(sent.texts, kept.problems, seen=seen), 422)
    undo = (f"{address(kept)}/undo", kept.version)
    return visit.to(address(kept), said("“{name}” is changed.", name=kept.name), undo)


def _delete(visit: Visit, form: FormData, thing: Thing) -> Response:
    try:
        gone = visit.shop.delete(thing.kind, thing.id, seen_version(form))
    except Stale as stale:
        return stale_page(visit, stale)
    words = said("“{name}” is deleted.", name=thing.name)
    return visit.to(list_address(thing.kind), words, (f"{address(thing)}/restore", gone.version))


def _done(visit: Visit, form: FormData, thing: Thing, deed: Deed, words: str) -> Response:
    """Do it and go back to the thing; or show it as it is, and why not."""
    try:
        answer = deed(seen_version(form))
    except Stale as stale:
        return stale_page(visit, stale)
    if isinstance(answer, Problems):
        back = Back(texts_of(thing.kind, thing.state), answer.problems)
        return thing_page(visit, thing, back, 422)
    return visit.to(address(thing), words, (f"{address(thing)}/undo", answer.version))


drawings = APIRouter(prefix=list_address(Kind.MACHINE))


@drawings.get("/{id}/cylinder-{needles}.svg")
def cylinder(visit: AVisit, id: str, needles: str) -> Response:
    """One cylinder of a machine drawn, to be looked at by itself."""
    machine = read_machine(find(visit, Kind.MACHINE, id).document)
    own = () if machine is None else machine.cylinders
    found = next((one.needles for one in own if str(one.needles) == needles), None)
    if machine is None or found is None:
        raise NoPage(said("this machine has no such cylinder"))
    svg = machine_drawing(machine, found, visit.tongue, Theme.LIGHT)
    return Response(svg, media_type="image/svg+xml")


ROUTERS = (drawings, *(keeps(kind) for kind in KINDS))
