"""A pair is planned before its write begins: no other write waits for the making of a plan."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy.orm import Session

from sockwright.store.database import Database
from sockwright.store.items import Thing
from sockwright.workshop.answers import Choice, Composed, Planned, Problems, Refused, Written
from sockwright.workshop.compose import write_order
from sockwright.workshop.plans import Plans

Keep = Callable[[Session, Composed], Thing | Problems]
"""Keeps what was composed."""


def keep_planned(
    database: Database, plans: Plans, choice: Choice, keep: Keep
) -> Thing | Problems | Refused:
    """Keep the order of a choice as it is now, if a plan can be made of it.

    What was chosen may be changed between the plan and the write: then it is planned again.
    """
    while True:
        with database.reading() as session:
            order = write_order(session, choice)
        if isinstance(order, Problems):
            return order
        planned = plans.of(order)
        if not isinstance(planned, Planned):
            return planned
        with database.writing() as session:
            if _is_still(write_order(session, choice), order):
                return keep(session, planned.composed)


def _is_still(now: Written | Problems, order: Written) -> bool:
    return isinstance(now, Written) and now.toml == order.toml
