"""The memory of gauge: what every swatch tells, and where its numbers come from."""

from __future__ import annotations

from itertools import groupby

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.store.items import ItemKind
from sockwright.web.context import AVisit
from sockwright.web.kept.view import find
from sockwright.web.pairs_kept import address
from sockwright.web.plan.rows import gauge_lines
from sockwright.web.plan.why import Keys, asking_of_swatch, explained_swatch, told_alone, why_answer

router = APIRouter()


@router.get("/gauge")
def gauge(visit: AVisit, machine: str = "", yarn: str = "") -> Response:
    """All that is remembered, or that of one machine or one yarn."""
    found = visit.shop.gauge_memory(machine or None, yarn or None)
    lines = gauge_lines(found, visit.formats)
    return visit.page(
        "gauge.html",
        groups=[(of, list(rows)) for of, rows in groupby(lines, key=lambda one: one.of.machine)],
        machines=visit.shop.things(ItemKind.MACHINE),
        yarns=visit.shop.things(ItemKind.YARN),
        machine=machine,
        yarn=yarn,
        address=address,
        asking=asking_of_swatch,
    )


@router.get("/swatches/{id}/why")
def why(visit: AVisit, id: str, key: Keys = ()) -> Response:
    """Where the numbers that a swatch tells come from."""
    swatch = find(visit, ItemKind.SWATCH, id)
    told = told_alone(explained_swatch(visit, swatch), key)
    return why_answer(
        visit, told, visit.preferences.units, asking_of_swatch(swatch.id), address(swatch)
    )
