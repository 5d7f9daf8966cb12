"""Where numbers come from, as data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Any

from fastapi import Query

from sockwright.plan_sources import Explained
from sockwright.web.refusals import NoPage
from sockwright.web.why_view import SECOND
from sockwright.words.said import said

MOST_KEYS = 20

Keys = Annotated[
    tuple[Annotated[str, Query(max_length=60)], ...],
    Query(alias="key", max_length=MOST_KEYS, description="Keys of numbers; all without."),
]


def why_data(explained: Iterable[Explained], keys: tuple[str, ...]) -> list[dict[str, Any]]:
    """What explains the numbers of these keys, all for no keys; NoPage if nothing does."""
    wanted = {*keys, *(f"{SECOND}{key}" for key in keys)} - {"", SECOND}
    found = [one.as_data() for one in explained if not wanted or one.key in wanted]
    if not found:
        raise NoPage(said("no number of a plan goes by that key"))
    return found
