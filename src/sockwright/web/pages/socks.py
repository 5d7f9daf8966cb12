"""Pairs of socks: all of them, and one from its plan to its wear."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.store.items import ItemKind
from sockwright.web.access.links import devices
from sockwright.web.bench.story import at_machine
from sockwright.web.context import AVisit, Visit
from sockwright.web.errors import NoPage
from sockwright.web.kept.history import history
from sockwright.web.pairs.view import (
    BENCH,
    LABELS,
    LENGTHS,
    SOCKS,
    STATES,
    Sent,
    compared,
    field_id,
    meanwhile,
    plan_in_short,
    shown_outcome,
    socks_of,
    time_field,
)
from sockwright.web.pairs_kept import STATUS_WORDS, address, by_status, pair, pairs
from sockwright.web.plan.rows import ROLES
from sockwright.web.plan.why import Asking, Keys, beside_each_other, told_numbers, why_answer
from sockwright.words.said import said
from sockwright.workshop.answers import Planned

router = APIRouter(prefix="/socks")


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
