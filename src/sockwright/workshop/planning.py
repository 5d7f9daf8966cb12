"""A pair is planned before its write begins: no other write waits for the making of a plan."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy.orm import Session

from sockwright.store.database import Database
from sockwright.store.things import Thing
from sockwright.workshop.answers import Choice, Composed, Planned, Problems, Refused
from sockwright.workshop.compose import compose, plan

Keep = Callable[[Session, Composed], Thing | Problems]
"""Keeps what was composed."""


def keep_planned(database: Database, choice: Choice, keep: Keep) -> Thing | Problems | Refused:
    """Keep the order of a choice as it is now, if a plan can be made of it.

    What was chosen may be changed between the plan and the write: then it is planned again.
    """
    while True:
        with database.reading() as session:
            composed = compose(session, choice)
        if isinstance(composed, Problems):
            return composed
        planned = plan(composed)
        if not isinstance(planned, Planned):
            return planned
        with database.writing() as session:
            if _is_still(compose(session, choice), composed):
                return keep(session, composed)


def _is_still(now: Composed | Problems, composed: Composed) -> bool:
    return isinstance(now, Composed) and now.toml == composed.toml
