"""The marking sheet: a strip and a ring for one cylinder, true to scale."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Any

from sockwright.drawing.base.places import PlacedMark, limits_of_program, place_marks, usual_limits
from sockwright.drawing.base.scales import check_bars_svg
from sockwright.drawing.cylinder.marking import MARGIN_MM as RING_MARGIN_MM
from sockwright.drawing.cylinder.marking import MARGIN_MM as STRIP_EDGE_MM
from sockwright.drawing.cylinder.marking import ring_svg, strip_svgs
from sockwright.drawing.cylinder.small import marks_key_svg
from sockwright.errors import SockwrightError
from sockwright.i18n import _, locale_of
from sockwright.machine import (
    FEWEST_NEEDLES,
    MOST_NEEDLES,
    Cylinder,
    Machine,
    Turning,
)
from sockwright.plan.make import SockPlan
from sockwright.quantities import format_both, format_length
from sockwright.sheets import MARGIN_MM, SIZES, Paper
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
NO_DIAMETER = _(
    "The order gives no diameter for this cylinder, so this is a usual one. Measure yours "
    "across the needle circle, from needle to needle, and print again."
)


def marks_of_plan(plan: SockPlan, paper: Paper, language: str = "en") -> bytes:
    """Strip and ring for the plan's cylinder, with the turn limits of its program."""
    needles = plan.sizing.needles
    given = plan.fit.cylinder.diameter_mm
    marks = place_marks(plan.order.machine, needles, limits_of_program(plan.execution))
    ring = _Ring(needles, given or USUAL_DIAMETER_MM, marks, plan.order.machine)
    return _sheet(ring, paper, plan.units, language, usual=given is None)


def marks_alone(
    needles: int, diameter_mm: float, paper: Paper, units: str = "cm", language: str = "en"
) -> bytes:
    """Strip and ring for any cylinder, with the usual turn limits on both halves.

    SockwrightError for needles or a diameter that no machine has.
    """
    if not FEWEST_NEEDLES <= needles <= MOST_NEEDLES:
        raise SockwrightError(
            _(
                "needles: {needles} is not a cylinder; give {fewest} to {most}",
                needles=needles,
                fewest=FEWEST_NEEDLES,
                most=MOST_NEEDLES,
            )
        )
    if not SMALLEST_MM <= diameter_mm <= LARGEST_MM:
        raise SockwrightError(
            _(
                "diameter: {diameter} across the needles is no machine's; give {least} to {most}",
                diameter=format_both(diameter_mm),
                least=format_both(SMALLEST_MM),
                most=format_both(LARGEST_MM),
            )
        )
    machine = Machine("", Turning.CARRIER, (Cylinder(needles, diameter_mm),))
    marks = place_marks(machine, needles, usual_limits(needles, default_kept(needles // 2)))
    return _sheet(_Ring(needles, diameter_mm, marks, machine), paper, units, language)


@dataclass(frozen=True)
class _Ring:
    """A cylinder with its marks."""

    needles: int
    diameter_mm: float
    marks: tuple[PlacedMark, ...]
    machine: Machine


def _sheet(ring: _Ring, paper: Paper, units: str, language: str, *, usual: bool = False) -> bytes:
    """The PDF; `usual` tells that the diameter is not the user's own."""
    needles, diameter_mm, marks = ring.needles, ring.diameter_mm, ring.marks
    words = locale_of(language)
    size = SIZES[paper]
    width = size.width_mm - 2 * MARGIN_MM
    # The white edge of a piece lies in the margin, so that its frame stands under the text.
    longest = width + 2 * STRIP_EDGE_MM
    tiles = strip_svgs(needles, diameter_mm, marks, ring.machine.forward, longest, words=words)
    drawings = {f"tile-{place}": tile.svg for place, tile in enumerate(tiles)}
    drawings["bars"] = check_bars_svg(words=words)
    drawings["key"] = marks_key_svg(marks, needles, KEY_MM, words=words)
    room = min(width, size.height_mm - 2 * MARGIN_MM - RING_HEAD_MM)
    fits = diameter_mm + RING_EDGE_MM <= room
    if fits:
        drawings["ring"] = ring_svg(needles, diameter_mm, marks, ring.machine, words=words)
    digits = {"diameter": format_length(diameter_mm, units, 2)}
    digits["length"] = format_length(pi * diameter_mm, units, 2)
    data: dict[str, Any] = {
        "title": _("Marking sheet for {needles} needles", needles=needles),
        "lead": _("Needle circle {diameter} across, {length} round.", **digits),
        "note": NO_DIAMETER if usual else "",
        "tiles": [f"tile-{place}" for place in range(len(tiles))],
        "strip_edge": STRIP_EDGE_MM,
        "ring_edge": RING_MARGIN_MM - 1.0,
        "ring": fits,
        "beside": diameter_mm + RING_EDGE_MM + KEY_MM <= width + RING_MARGIN_MM - 3.0,
    }
    return typeset("marks", data, drawings, paper, language)
