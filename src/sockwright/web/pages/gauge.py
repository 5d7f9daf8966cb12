"""The memory of gauge: what every swatch tells, by machine, cylinder, yarn and cam setting."""

from __future__ import annotations

from itertools import groupby

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.store.things import Kind
from sockwright.web.gauge_view import gauge_lines
from sockwright.web.pairs import address
from sockwright.web.visit import AVisit

router = APIRouter()


@router.get("/gauge")
def gauge(visit: AVisit, machine: str = "", yarn: str = "") -> Response:
    """All that is remembered, or that of one machine or one yarn."""
    found = visit.shop.gauge_memory(machine or None, yarn or None)
    lines = gauge_lines(found, visit.formats)
    return visit.page(
        "gauge.html",
        groups=[(of, list(rows)) for of, rows in groupby(lines, key=lambda one: one.of.machine)],
        machines=visit.shop.things(Kind.MACHINE),
        yarns=visit.shop.things(Kind.YARN),
        machine=machine,
        yarn=yarn,
        address=address,
    )
