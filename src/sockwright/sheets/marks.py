"""The marking sheet: a strip and a ring for one cylinder, true to scale."""

from __future__ import annotations

from math import pi
from typing import Any

from sockwright.drawing.check_bars import check_bars_svg
from sockwright.drawing.cylinder_small import marks_key_svg
from sockwright.drawing.places import PlacedMark, limits_of_program, place_marks, usual_limits
from sockwright.drawing.ring import MARGIN_MM as RING_MARGIN_MM
from sockwright.drawing.ring import ring_svg
from sockwright.drawing.strip import MARGIN_MM as STRIP_EDGE_MM
from sockwright.drawing.strip import strip_svgs
from sockwright.errors import SockwrightError
from sockwright.machine.model import (
    FEWEST_NEEDLES,
    MOST_NEEDLES,
    Cylinder,
    Machine,
    Turning,
)
from sockwright.plan import Plan
from sockwright.quantities import format_both, format_length
from sockwright.sheets.paper import MARGIN_MM, SIZES, Paper
from sockwright.sheets.phrases import say
from sockwright.sheets.typeset import typeset
from sockwright.sock.cup import default_kept

USUAL_DIAMETER_MM = 4.5 * 25.4
"""Needle-circle diameter taken where an order has none, mm (from memory: 4 1/4 to 4 1/2 in)."""
SMALLEST_MM, LARGEST_MM = 50.0, 400.0
RING_EDGE_MM = 12.0
"""Room a ring needs beside its diameter."""
KEY_MM = 59.0
"""Width of the key of the marks, beside the ring."""
RING_HEAD_MM = 72.0
"""Room above the ring for title, words and check bars."""


def marks_of_plan(plan: Plan, paper: Paper) -> bytes:
    """Strip and ring for the plan's cylinder, with the turn limits of its program."""
    needles = plan.sizing.needles
    given = plan.fit.cylinder.diameter_mm
    marks = place_marks(plan.order.machine, needles, limits_of_program(plan.program))
    note = "" if given is not None else say("marks.no_diameter")
    units = plan.order.units
    return _sheet(
        needles, given or USUAL_DIAMETER_MM, marks, plan.order.machine, paper, units, note
    )


def marks_alone(needles: int, diameter_mm: float, paper: Paper, units: str = "cm") -> bytes:
    """Strip and ring for any cylinder, with the usual turn limits on both halves.

    SockwrightError for needles or a diameter that no machine has.
    """
    if not FEWEST_NEEDLES <= needles <= MOST_NEEDLES:
        raise SockwrightError(
            f"needles: {needles} is not a cylinder; give {FEWEST_NEEDLES} to {MOST_NEEDLES}"
        )
    if not SMALLEST_MM <= diameter_mm <= LARGEST_MM:
        raise SockwrightError(
            f"diameter: {format_both(diameter_mm)} across the needles is no machine's; give "
            f"{format_both(SMALLEST_MM)} to {format_both(LARGEST_MM)}"
        )
    machine = Machine("", Turning.CARRIER, (Cylinder(needles, diameter_mm),))
    marks = place_marks(machine, needles, usual_limits(needles, default_kept(needles // 2)))
    return _sheet(needles, diameter_mm, marks, machine, paper, units, "")


def _sheet(
    needles: int,
    diameter_mm: float,
    marks: tuple[PlacedMark, ...],
    machine: Machine,
    paper: Paper,
    units: str,
    note: str,
) -> bytes:
    size = SIZES[paper]
    width = size.width_mm - 2 * MARGIN_MM
    # The white edge of a piece lies in the margin, so that its frame stands under the text.
    longest = width + 2 * STRIP_EDGE_MM
    tiles = strip_svgs(needles, diameter_mm, marks, machine.forward, longest)
    drawings = {f"tile-{place}": tile.svg for place, tile in enumerate(tiles)}
    drawings["bars"] = check_bars_svg()
    drawings["key"] = marks_key_svg(marks, needles, KEY_MM)
    room = min(width, size.height_mm - 2 * MARGIN_MM - RING_HEAD_MM)
    fits = diameter_mm + RING_EDGE_MM <= room
    if fits:
        drawings["ring"] = ring_svg(needles, diameter_mm, marks, machine)
    digits = {"diameter": format_length(diameter_mm, units, 2)}
    digits["length"] = format_length(pi * diameter_mm, units, 2)
    data: dict[str, Any] = {
        "title": say("marks.title", needles=needles),
        "lead": say("marks.lead", **digits),
        "note": note,
        "tiles": [f"tile-{place}" for place in range(len(tiles))],
        "strip_edge": STRIP_EDGE_MM,
        "ring_edge": RING_MARGIN_MM - 1.0,
        "ring": fits,
        "beside": diameter_mm + RING_EDGE_MM + KEY_MM <= width + RING_MARGIN_MM - 3.0,
        "words": {
            "check": say("marks.check"),
            "key": say("marks.key"),
            "strip": say("marks.strip"),
            "strip_how": say("marks.strip_how"),
            "ring": say("marks.ring"),
            "ring_how": say("marks.ring_how" if fits else "marks.ring_too_wide"),
        },
    }
    return typeset("marks", data, drawings, paper)
