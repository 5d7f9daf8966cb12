"""Where the numbers that a swatch tells come from, and the way there."""

from __future__ import annotations

from sockwright.plan_sources import Explained, swatch_sources
from sockwright.store.items import Thing
from sockwright.web.refusals import NoPage
from sockwright.web.visit import Visit
from sockwright.web.why_view import Asking
from sockwright.words.said import said


def explained_swatch(visit: Visit, swatch: Thing) -> tuple[Explained, ...]:
    """The explanations of a swatch's numbers; NoPage where it does not read any more."""
    order = visit.shop.swatch_order(swatch.id, visit.preferences.units)
    if order is None:
        raise NoPage(said("this swatch tells nothing that could be explained"))
    return swatch_sources(order)


def asking_of_swatch(id: str) -> Asking:
    """The way to the explanations of a swatch's numbers."""
    return Asking(f"/swatches/{id}/why")
