"""The tables of what a plan rests on: the foot, the fabric, the machine's needles."""

from __future__ import annotations

from typing import Any

from rich.console import RenderableType
from rich.table import Table

from sockwright.estimates import Estimate
from sockwright.machine.model import Cylinder
from sockwright.measure.children import is_child
from sockwright.measure.loop_laws import drape_tightness
from sockwright.measure.population import adult_shoe_sizes
from sockwright.order.model import Sex, ShoeSystem
from sockwright.plan.make import Plan
from sockwright.quantities import format_pm

MM_PER_INCH = 25.4
MM_PER_10_CM = 100.0
SHOES = {
    Sex.WOMAN: (ShoeSystem.EU, ShoeSystem.UK, ShoeSystem.US_WOMEN),
    Sex.MAN: (ShoeSystem.EU, ShoeSystem.UK, ShoeSystem.US_MEN),
    Sex.EITHER: (ShoeSystem.EU, ShoeSystem.UK),
}
"""The systems in which a shoe size is told; the American one needs to know whose foot it is."""


class EnglishTable(Table):
    """A table of what a terminal shows: texts in English."""

    def add_row(self, *cells: RenderableType | None, **style: Any) -> None:
        """A line of cells, from left to right."""
        shown = (str(cell) if isinstance(cell, str) else cell for cell in cells)
        super().add_row(*shown, **style)


def table_of(*headings: str) -> Table:
    """An empty table without rules."""
    table = EnglishTable(box=None, pad_edge=False, padding=(0, 3, 0, 0))
    for heading in headings:
        table.add_column(str(heading))
    return table


def foot_table(plan: Plan) -> Table:
    """Every measure of the foot, and the shoe size of an adult beside its length."""
    wearer, table = plan.order.wearer, table_of("Measure", "Size", "From")
    for name, measure in plan.foot.measures().items():
        shoe = ""
        if name == "length" and not is_child(wearer):
            shoe = f"; about {shoe_words(measure.estimate.value, wearer.sex)}"
        size = format_pm(measure.estimate, plan.units)
        table.add_row(name.replace("_", " "), size, f"{measure.source}{shoe}")
    return table


def shoe_words(length_mm: float, sex: Sex) -> str:
    """The shoe sizes nearest to an adult's foot: "EU 38, UK 5"."""
    sizes = adult_shoe_sizes(length_mm)
    return ", ".join(f"{system.value} {sizes[system]:g}" for system in SHOES[sex])


def gauge_table(plan: Plan) -> Table:
    """The washed fabric: its loops, what it weighs, how tight it is."""
    gauge, inches = plan.gauge, plan.units == "in"
    span, unit = (MM_PER_INCH, "an inch") if inches else (MM_PER_10_CM, "10 cm")
    table = table_of("", "Size", f"In {unit}")
    for word, size in (("wale", gauge.wale), ("course", gauge.course)):
        per = span / size.value
        count = f"{per:.1f} ± {per * size.sd / size.value:.1f} {word}s"
        table.add_row(word, _millimetres(size), count)
    table.add_row("loop", _millimetres(gauge.loop), "")
    mass = gauge.areal_mass
    table.add_row("mass", f"{mass.value:.0f} ± {mass.sd:.0f} g/m²", "")
    tight = f"{gauge.tightness.value:.2f} ± {gauge.tightness.sd:.2f}"
    drape = plan.order.sock.drape
    table.add_row("tightness", tight, f"a {drape.value} drape is {drape_tightness(drape):.2f}")
    return table


def pitch_words(cylinder: Cylinder) -> str:
    """From needle to needle of a cylinder; nothing where its diameter is not known."""
    return "" if cylinder.pitch_mm is None else f"{cylinder.pitch_mm:.2f} mm"


def _millimetres(size: Estimate) -> str:
    return f"{size.value:.2f} ± {size.sd:.2f} mm"
