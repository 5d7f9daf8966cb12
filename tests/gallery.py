"""Every drawing of some example orders in every theme, to be looked at.

`python tests/gallery.py FOLDER ORDER...` writes them as SVG files into the folder.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from sockwright import steps as op
from sockwright.drawing.base.places import limits_of_program, place_marks
from sockwright.drawing.base.scales import check_bars_svg
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.chart.chart import chart_svg
from sockwright.drawing.chart.pages import chart_svgs
from sockwright.drawing.cylinder.marking import ring_svg, strip_svgs
from sockwright.drawing.cylinder.picture import cylinder_svg
from sockwright.drawing.cylinder.view import view_at
from sockwright.drawing.sock.picture import sock_svg
from sockwright.order.file import load_order
from sockwright.plan.make import SockPlan, make_plan

THEMES = (Theme.PRINT, Theme.LIGHT, Theme.DARK)
SIZES_MM = (62.0, 90.0, 160.0)
"""Widths of cylinder pictures: telephone, page, bench."""
SHOWN = (op.HangScrap, op.ToDial, op.HangHem, op.Raise, op.Lower, op.TakeOff)
"""Kinds of step before whose first one the cylinder is drawn."""
USUAL_DIAMETER_MM = 108.0
"""Needle circle drawn where a machine file gives none (common practice: 102 to 114 mm)."""


def drawings(plan: SockPlan, theme: Theme) -> Iterator[tuple[str, str]]:
    """(name, SVG) of every drawing of one plan."""
    yield "sock", sock_svg(plan, theme)
    yield "chart", chart_svg(plan, theme=theme)
    book = chart_svgs(plan, theme=theme)
    yield "chart-index", book.index_svg
    for page in book.pages:
        yield f"chart-{page.number}", page.svg
    yield from _cylinders(plan, theme)
    machine, needles = plan.order.machine, plan.sizing.needles
    marks = place_marks(machine, needles, limits_of_program(plan.execution))
    diameter = plan.fit.cylinder.diameter_mm or USUAL_DIAMETER_MM
    yield "ring", ring_svg(needles, diameter, marks, machine, theme)
    tiles = strip_svgs(needles, diameter, marks, machine.forward, theme=theme)
    for number, tile in enumerate(tiles, 1):
        yield f"strip-{number}", tile.svg
    yield "check-bars", check_bars_svg(theme)


def _cylinders(plan: SockPlan, theme: Theme) -> Iterator[tuple[str, str]]:
    for kind in SHOWN:
        places = [n for n, step in enumerate(plan.program.steps, 1) if isinstance(step, kind)]
        if places:
            view = view_at(plan, plan.order.machine, places[len(places) // 2])
            for size in SIZES_MM:
                yield f"cylinder-{kind.__name__}-{size:g}", cylinder_svg(view, size, theme)


def main(arguments: list[str]) -> int:
    """Write the gallery; returns the exit code."""
    if len(arguments) < 2:
        sys.stderr.write(f"{__doc__}\n")
        return 2
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    for order in map(Path, arguments[1:]):
        plan = make_plan(load_order(order)).first
        for theme in THEMES:
            for name, svg in drawings(plan, theme):
                path = folder / f"{order.stem}-{theme.name}-{name}.svg"
                path.write_text(svg, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
