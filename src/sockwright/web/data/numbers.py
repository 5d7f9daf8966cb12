"""Where numbers come from, as data."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query

from sockwright.plan import Plan
from sockwright.plan_sources import sources_data
from sockwright.web.refusals import NoPage
from sockwright.web.why_view import SECOND
from sockwright.words.said import said

MOST_KEYS = 20

Keys = Annotated[
    tuple[Annotated[str, Query(max_length=60)], ...],
    Query(alias="key", max_length=MOST_KEYS, description="Keys of numbers; all without."),
]


def why_data(plan: Plan, keys: tuple[str, ...]) -> list[dict[str, Any]]:
    """Where these numbers of a plan come from, all for no keys; NoPage if it has none of them."""
    wanted = {*keys, *(f"{SECOND}{key}" for key in keys)} - {"", SECOND}
    found = [one for one in sources_data(plan) if not wanted or one["key"] in wanted]
    if not found:
        raise NoPage(said("no number of a plan goes by that key"))
    return found
