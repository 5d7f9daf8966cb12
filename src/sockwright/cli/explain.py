"""What a plan rests on: foot, fabric and needles as tables, and where each number comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sockwright.estimates import Estimate
from sockwright.i18n import _, capitalised, sentence
from sockwright.machine import Cylinder
from sockwright.measure.children import is_child
from sockwright.measure.population import adult_shoe_sizes
from sockwright.measure.yarn import drape_tightness
from sockwright.order.model import Sex, ShoeSystem
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.quantities import format_pm
from sockwright.quantities.printing import told_of

if TYPE_CHECKING:
    from sockwright.plan.explain import Explained, Input

MM_PER_INCH = 25.4
MM_PER_10_CM = 100.0
SHOES = {
    Sex.WOMAN: (ShoeSystem.EU, ShoeSystem.UK, ShoeSystem.US_WOMEN),
    Sex.MAN: (ShoeSystem.EU, ShoeSystem.UK, ShoeSystem.US_MEN),
    Sex.EITHER: (ShoeSystem.EU, ShoeSystem.UK),
}
"""The systems that shoe sizes are shown in; the American one needs to know whose foot it is."""

ALL = "all"
"""What is written for a key to have every number explained."""

ORIGINS = {
    "measured": _("measured"),
    "estimated": _("estimated"),
    "chosen": _("chosen"),
    "table": _("a table of facts"),
}
INDENT = (0, 0, 0, 2)


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


def foot_table(plan: SockPlan) -> Table:
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


def gauge_table(plan: SockPlan) -> Table:
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


def chosen_numbers(pair: PairPlan, key: str) -> tuple[Explained, ...]:
    """The explanations asked for: one by its key, or all. Raises UnknownNumber."""
    from sockwright.plan.explain import explain, sources

    return sources(pair) if key == ALL else (explain(pair, key),)


def explain_text(pair: PairPlan, numbers: Iterable[Explained]) -> Iterator[RenderableType]:
    """Each number with its formula, what goes into it and what would narrow it."""
    from sockwright.plan.explain import sources

    keys = {each.key for each in sources(pair)}
    for place, number in enumerate(numbers):
        if place:
            yield ""
        yield from _number(number, pair.first.units, keys)


def _number(number: Explained, units: str, keys: set[str]) -> Iterator[RenderableType]:
    value = told_of(number.key, number.value, units)
    heading = _("{label}: {value}", label=capitalised(number.label), value=value)
    yield Text(str(heading), style="bold")
    yield _line(number.key)
    yield _line(_("= {formula}", formula=number.formula))
    if number.rounding is not None:
        yield _line(sentence(number.rounding))
    if number.inputs:
        yield Padding(_inputs(number.inputs, units, keys), INDENT)
    if _deeper(number):
        yield _line(_("The ± comes from:"))
        yield Padding(_bottom(number.rests_on, units), INDENT)
    source = _("Source: {source} ({standing})", source=number.source, standing=number.standing)
    yield _line(source)
    if number.helps is not None:
        yield _line(_("To make it more certain: {helps}", helps=number.helps))


def _deeper(number: Explained) -> bool:
    """Whether the errors at the bottom are others than those of the inputs."""
    heavy = {each.key for each in number.inputs if each.share}
    return bool(number.rests_on) and {each.key for each in number.rests_on} != heavy


def _inputs(inputs: tuple[Input, ...], units: str, keys: set[str]) -> Table:
    """What the formula takes; its share of the variance, and where it is from."""
    table = table_of(_("From"), _("Value"), _("Part of ±"), _("How known"))
    for each in inputs:
        known = _("{origin}: {source}", origin=ORIGINS[each.origin], source=each.source)
        if each.key in keys:
            known = _("{origin}: see {key}", origin=ORIGINS[each.origin], key=each.key)
        value = told_of(each.key, each.value, units)
        table.add_row(Text(str(each.label)), Text(str(value)), _share(each), Text(str(known)))
    return table


def _bottom(inputs: tuple[Input, ...], units: str) -> Table:
    """The errors at the bottom, the heaviest first."""
    table = table_of(_("Measurement, choice or fixed value"), _("Value"), _("Part of ±"))
    for each in inputs:
        value = told_of(each.key, each.value, units)
        table.add_row(Text(str(each.label)), Text(str(value)), _share(each))
    return table


def _share(each: Input) -> str:
    if not each.share:
        return ""
    percent = 100 * each.share
    return _("{percent:.0f} %", percent=percent) if percent >= 1 else _("under 1 %")


def _line(text: str) -> Padding:
    return Padding(Text(str(text)), INDENT)
