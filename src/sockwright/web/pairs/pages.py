"""Pairs of socks: all of them, and one from its plan to its wear.

One is begun, told of, finished, measured, deleted, and taken back.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.web.bench.story import at_machine
from sockwright.web.bench.view import devices
from sockwright.web.context import AVisit, Visit, address
from sockwright.web.errors import NoPage
from sockwright.web.kept.history import history, went_back
from sockwright.web.pairs.view import (
    BENCH,
    FINISH,
    LABELS,
    LENGTHS,
    LOG,
    MEASURE,
    SOCKS,
    STATES,
    Sent,
    compared,
    field_id,
    log_entry,
    masses_left,
    meanwhile,
    measures,
    plan_in_short,
    sent,
    shown_outcome,
    socks_of,
    time_field,
)
from sockwright.web.pairs_kept import by_status, pair, pairs
from sockwright.web.plan.rows import ROLES
from sockwright.web.plan.why import Asking, Keys, beside_each_other, told_numbers, why_answer
from sockwright.web.received import AForm, AVersion, seen_version
from sockwright.words.said import joined, said
from sockwright.workshop.answers import Planned, Problems
from sockwright.workshop.fields import MADE, STATUS_WORDS

router = APIRouter(prefix="/socks")

Deed = Callable[[int], Thing | Problems]
"""Does it to the version that was seen."""


@router.get("")
def every(visit: AVisit) -> Response:
    """All pairs: being made, planned, made."""
    return visit.page(
        "socks.html",
        groups=by_status(pairs(visit.shop)),
        words=STATUS_WORDS,
        deleted=len(visit.shop.things(ItemKind.SOCK, deleted=True)),
        damages=visit.shop.damages((ItemKind.SOCK,)),
    )


@router.get("/{id}")
def one(visit: AVisit, id: str) -> Response:
    """One pair."""
    return sock_page(visit, id)


@router.get("/{id}/why")
def why(visit: AVisit, id: str, key: Keys = ()) -> Response:
    """Where numbers of a pair's plan come from."""
    shown = pair(visit.shop, id)
    outcome = visit.shop.plan_of(id)
    if not isinstance(outcome, Planned):
        raise NoPage(said("its order makes no plan, so there is no number to explain"))
    planned = visit.shown(outcome.pair)
    told = told_numbers(beside_each_other(planned, None), key)
    return why_answer(visit, told, planned.first.units, asking_of(id), address(shown.sock))


def sock_page(visit: Visit, id: str, back: Sent | None = None, status: int = 200) -> Response:
    """The page of a pair; `back` is a form that could not be written."""
    shown = pair(visit.shop, id)
    outcome = shown_outcome(visit, visit.shop.plan_of(id))
    plan = plan_in_short(visit, outcome)
    return visit.page(
        "sock.html",
        status,
        pair=shown,
        sock=shown.sock,
        words=STATUS_WORDS,
        roles=ROLES,
        plan=plan,
        asking=asking_of(id),
        changed=visit.shop.changed_parts(id),
        damaged_entries=visit.shop.damaged_entries(id),
        compared=compared(outcome, shown.sock.fields["measured"], visit.formats),
        socks=socks_of(plan["two"], plan["state"] == "planned"),
        sock_words=SOCKS,
        states=STATES,
        address=address,
        versions=history(visit.shop, shown.sock),
        sent=back or Sent(),
        labels={**LABELS, **{f"left.{role}": yarn.name for role, yarn in shown.own_yarns.items()}},
        lengths=LENGTHS,
        meanwhile=meanwhile(back.stale) if back and back.stale else [],
        field_id=field_id,
        machine=at_machine(visit, id, outcome),
        devices=devices(visit, id),
        bench_forms=BENCH,
        time_field=time_field,
        now=datetime.now().astimezone().strftime("%Y-%m-%d %H:%M"),
    )


def asking_of(id: str) -> Asking:
    """The way to the explanations of a pair's plan."""
    return Asking(f"/socks/{id}/why")


@router.post("/{id}/start")
def start(visit: AVisit, form: AForm, id: str) -> Response:
    """Begin a planned pair."""

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.start_sock(id, seen)

    return _done(visit, form, id, "start", deed, said("Pair started."))


@router.post("/{id}/log")
def log(visit: AVisit, form: AForm, id: str) -> Response:
    """Write down what happened."""
    entry = log_entry(form)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.log_sock(id, seen, entry)

    return _done(visit, form, id, LOG, deed, said("Note saved."))


@router.post("/{id}/finish")
def finish(visit: AVisit, form: AForm, id: str) -> Response:
    """The pair is made; its yarns keep what they weigh now."""
    left, measured = masses_left(form), measures(form)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.finish_sock(id, seen, left, measured or None)

    return _done(visit, form, id, FINISH, deed, said("Pair finished."))


@router.post("/{id}/measure")
def measure(visit: AVisit, form: AForm, id: str) -> Response:
    """Write down what the finished pair measures, or how it wears."""
    measured = measures(form)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.measure_sock(id, seen, measured)

    return _done(visit, form, id, MEASURE, deed, said("Measures saved."))


@router.post("/{id}/delete")
def delete(visit: AVisit, form: AForm, id: str) -> Response:
    """Delete a pair, which can be undone."""
    name = pair(visit.shop, id).sock.name
    try:
        thing = visit.shop.delete(ItemKind.SOCK, id, seen_version(form))
    except Stale as stale:
        return sock_page(visit, id, sent("delete", form, stale=stale), 409)
    words = said("“{name}” is deleted.", name=name)
    return visit.to("/socks", words, undo=(f"/socks/{id}/restore", thing.version))


@router.post("/{id}/restore")
def restore(visit: AVisit, form: AForm, id: str) -> Response:
    """Put back a pair that was deleted."""

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.restore(ItemKind.SOCK, id, seen)

    return _done(visit, form, id, "restore", deed, said("Pair restored."), undo=False)


@router.post("/{id}/back/{version}")
def back(visit: AVisit, form: AForm, id: str, version: AVersion) -> Response:
    """Make the pair again what it was at an earlier version."""
    now = pair(visit.shop, id)
    was = visit.shop.earlier(id).get(version, now.sock.state)

    def deed(seen: int) -> Thing | Problems:
        return visit.shop.back_to(ItemKind.SOCK, id, seen, version)

    words = went_back(visit, now.sock, version)
    if now.status == MADE and was.fields["status"] != MADE:
        words = joined(" ", (words, said("Weights stay as you entered them.")))
    return _done(visit, form, id, "back", deed, words)


def _done(
    visit: Visit, form: FormData, id: str, name: str, deed: Deed, words: str, undo: bool = True
) -> Response:
    """Do it and go back to the pair; or show its page again, with what was typed and why not."""
    pair(visit.shop, id)
    seen = seen_version(form)
    try:
        answer = deed(seen)
    except Stale as stale:
        return sock_page(visit, id, sent(name, form, stale=stale), 409)
    if isinstance(answer, Problems):
        return sock_page(visit, id, sent(name, form, problems=answer.problems), 422)
    back_to = (f"/socks/{id}/back/{seen}", answer.version) if undo else None
    return visit.to(f"/socks/{id}", words, back_to)
