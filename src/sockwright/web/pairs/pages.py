"""Pairs of socks: all of them, and one from its plan to its wear.

One is begun, told of, finished, measured, deleted, and taken back.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.i18n.messages import _, joined
from sockwright.store.items import ItemKind, Stale, Thing
from sockwright.web.bench.story import at_machine
from sockwright.web.bench.view import devices
from sockwright.web.context import Context, RequestContext, address
from sockwright.web.errors import NoPage
from sockwright.web.kept.history import history, went_back
from sockwright.web.pairs.finishing import (
    FIRST_SIZES,
    MORE_SIZES,
    SECOND_SIZES,
    STATES,
    measures,
    planned_counts,
    questions,
    stored,
    taught,
    told_of,
)
from sockwright.web.pairs.view import (
    BENCH,
    FINISH,
    LABELS,
    LOG,
    MEASURE,
    SOCKS,
    RejectedForm,
    compared,
    date_kind,
    field_id,
    log_entry,
    masses_left,
    meanwhile,
    plan_in_short,
    sent,
    shown_outcome,
    socks_of,
    time_field,
)
from sockwright.web.pairs_kept import by_status, pair, pairs
from sockwright.web.plan.rows import ROLES
from sockwright.web.plan.why import ExplainLink, Keys, beside_each_other, told_numbers, why_answer
from sockwright.web.received import AForm, AVersion, seen_version
from sockwright.workshop.answers import Planned, Problems
from sockwright.workshop.fields import MADE, STATUS_WORDS
from sockwright.workshop.finished import COUNTED

router = APIRouter(prefix="/socks")

Deed = Callable[[int], Thing | Problems]
"""Does it to the version that was seen."""


@router.get("")
def every(context: Context) -> Response:
    """All pairs: being made, planned, made."""
    return context.page(
        "socks.html",
        groups=by_status(pairs(context.shop)),
        words=STATUS_WORDS,
        deleted=len(context.shop.things(ItemKind.SOCK, deleted=True)),
        damages=context.shop.damages((ItemKind.SOCK,)),
    )


@router.get("/{id}")
def one(context: Context, id: str) -> Response:
    """One pair."""
    return sock_page(context, id)


@router.get("/{id}/why")
def why(context: Context, id: str, key: Keys = ()) -> Response:
    """Where numbers of a pair's plan come from."""
    shown = pair(context.shop, id)
    outcome = context.shop.plan_of(id)
    if not isinstance(outcome, Planned):
        raise NoPage(_("its order makes no plan, so there is no number to explain"))
    planned = context.shown(outcome.pair)
    told = told_numbers(beside_each_other(planned, None), key)
    return why_answer(context, told, planned.first.units, asking_of(id), address(shown.sock))


def sock_page(
    context: RequestContext, id: str, back: RejectedForm | None = None, status: int = 200
) -> Response:
    """The page of a pair; `back` is a form that could not be written."""
    shown = pair(context.shop, id)
    outcome = shown_outcome(context, context.shop.plan_of(id))
    plan = plan_in_short(context, outcome)
    lessons = context.shop.lessons(id)
    return context.page(
        "sock.html",
        status,
        pair=shown,
        sock=shown.sock,
        words=STATUS_WORDS,
        roles=ROLES,
        plan=plan,
        asking=asking_of(id),
        changed=context.shop.changed_parts(id),
        damaged_entries=context.shop.damaged_entries(id),
        compared=compared(outcome, shown.sock.fields["measured"], context.formats),
        socks=socks_of(plan["two"], plan["state"] == "planned"),
        sock_words=SOCKS,
        states=STATES,
        address=address,
        versions=history(context.shop, shown.sock),
        sent=back or RejectedForm(),
        labels={**LABELS, **{f"left.{role}": yarn.name for role, yarn in shown.own_yarns.items()}},
        questions=questions(),
        sizes=(FIRST_SIZES, SECOND_SIZES, MORE_SIZES),
        counted=COUNTED,
        counts=planned_counts(outcome),
        stored=stored(shown.sock.fields["measured"]),
        told_of=told_of(shown.sock.fields["measured"], context.formats),
        taught=taught(context, lessons) if lessons else (),
        meanwhile=meanwhile(back.stale) if back and back.stale else [],
        field_id=field_id,
        machine=at_machine(context, id, outcome),
        devices=devices(context, id),
        bench_forms=BENCH,
        time_field=time_field,
        date_kind=date_kind,
        now=datetime.now().astimezone().strftime("%Y-%m-%d %H:%M"),
    )


def asking_of(id: str) -> ExplainLink:
    """The way to the explanations of a pair's plan."""
    return ExplainLink(f"/socks/{id}/why")


@router.post("/{id}/start")
def start(context: Context, form: AForm, id: str) -> Response:
    """Begin a planned pair."""

    def deed(seen: int) -> Thing | Problems:
        return context.shop.start_sock(id, seen)

    return _done(context, form, id, "start", deed, _("Pair started."))


@router.post("/{id}/log")
def log(context: Context, form: AForm, id: str) -> Response:
    """Write down what happened."""
    entry = log_entry(form)

    def deed(seen: int) -> Thing | Problems:
        return context.shop.log_sock(id, seen, entry)

    return _done(context, form, id, LOG, deed, _("Note saved."))


@router.post("/{id}/finish")
def finish(context: Context, form: AForm, id: str) -> Response:
    """The pair is made; its yarns keep what they weigh now."""
    left, measured = masses_left(form), measures(form)

    def deed(seen: int) -> Thing | Problems:
        return context.shop.finish_sock(id, seen, left, measured or None)

    return _done(context, form, id, FINISH, deed, _("Pair finished."))


@router.post("/{id}/measure")
def measure(context: Context, form: AForm, id: str) -> Response:
    """Write down what the finished pair measures, or how it wears."""
    measured = measures(form)

    def deed(seen: int) -> Thing | Problems:
        return context.shop.measure_sock(id, seen, measured)

    return _done(context, form, id, MEASURE, deed, _("Measures saved."))


@router.post("/{id}/delete")
def delete(context: Context, form: AForm, id: str) -> Response:
    """Delete a pair, which can be undone."""
    name = pair(context.shop, id).sock.name
    try:
        thing = context.shop.delete(ItemKind.SOCK, id, seen_version(form))
    except Stale as stale:
        return sock_page(context, id, sent("delete", form, stale=stale), 409)
    words = _("“{name}” is deleted.", name=name)
    return context.to("/socks", words, undo=(f"/socks/{id}/restore", thing.version))


@router.post("/{id}/restore")
def restore(context: Context, form: AForm, id: str) -> Response:
    """Put back a pair that was deleted."""

    def deed(seen: int) -> Thing | Problems:
        return context.shop.restore(ItemKind.SOCK, id, seen)

    return _done(context, form, id, "restore", deed, _("Pair restored."), undo=False)


@router.post("/{id}/back/{version}")
def back(context: Context, form: AForm, id: str, version: AVersion) -> Response:
    """Make the pair again what it was at an earlier version."""
    now = pair(context.shop, id)
    was = context.shop.earlier(id).get(version, now.sock.state)

    def deed(seen: int) -> Thing | Problems:
        return context.shop.back_to(ItemKind.SOCK, id, seen, version)

    words = went_back(context, now.sock, version)
    if now.status == MADE and was.fields["status"] != MADE:
        words = joined(" ", (words, _("Weights stay as you entered them.")))
    return _done(context, form, id, "back", deed, words)


def _done(
    context: RequestContext,
    form: FormData,
    id: str,
    name: str,
    deed: Deed,
    words: str,
    undo: bool = True,
) -> Response:
    """Do it and go back to the pair; or show its page again, with what was typed and why not."""
    pair(context.shop, id)
    seen = seen_version(form)
    try:
        answer = deed(seen)
    except Stale as stale:
        return sock_page(context, id, sent(name, form, stale=stale), 409)
    if isinstance(answer, Problems):
        return sock_page(context, id, sent(name, form, problems=answer.problems), 422)
    back_to = (f"/socks/{id}/back/{seen}", answer.version) if undo else None
    return context.to(f"/socks/{id}", words, back_to)
