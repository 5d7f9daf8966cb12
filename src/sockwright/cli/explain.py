"""Where the numbers of a plan come from, as a printed text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sockwright.cli.measures import table_of
from sockwright.plan.explain import Explained, Input, explain, sources
from sockwright.plan.make import PairPlan
from sockwright.quantities.printing import told_of
from sockwright.words import capitalised, said, sentence

ALL = "all"
"""What is written for a key to have every number explained."""

ORIGINS = {
    "measured": said("measured"),
    "estimated": said("estimated"),
    "chosen": said("chosen"),
    "table": said("a table of facts"),
}
INDENT = (0, 0, 0, 2)


def chosen_numbers(pair: PairPlan, key: str) -> tuple[Explained, ...]:
    """The explanations asked for: one by its key, or all. Raises UnknownNumber."""
    return sources(pair) if key == ALL else (explain(pair, key),)


def explain_text(pair: PairPlan, numbers: Iterable[Explained]) -> Iterator[RenderableType]:
    """Each number with its formula, what goes into it and what would narrow it."""
    keys = {each.key for each in sources(pair)}
    for place, number in enumerate(numbers):
        if place:
            yield ""
        yield from _number(number, pair.first.units, keys)


def _number(number: Explained, units: str, keys: set[str]) -> Iterator[RenderableType]:
    value = told_of(number.key, number.value, units)
    heading = said("{label}: {value}", label=capitalised(number.label), value=value)
    yield Text(str(heading), style="bold")
    yield _line(number.key)
    yield _line(said("= {formula}", formula=number.formula))
    if number.rounding is not None:
        yield _line(sentence(number.rounding))
    if number.inputs:
        yield Padding(_inputs(number.inputs, units, keys), INDENT)
    if _deeper(number):
        yield _line(said("The ± comes, at the bottom, from:"))
        yield Padding(_bottom(number.rests_on, units), INDENT)
    source = said("Source: {source} ({standing})", source=number.source, standing=number.standing)
    yield _line(source)
    if number.helps is not None:
        yield _line(said("To know it better: {helps}", helps=number.helps))


def _deeper(number: Explained) -> bool:
    """Whether the errors at the bottom are others than those of the inputs."""
    heavy = {each.key for each in number.inputs if each.share}
    return bool(number.rests_on) and {each.key for each in number.rests_on} != heavy


def _inputs(inputs: tuple[Input, ...], units: str, keys: set[str]) -> Table:
    """What the formula takes; its share of the variance, and where it is from."""
    table = table_of(said("From"), said("Value"), said("Part of ±"), said("How known"))
    for each in inputs:
        known = said("{origin}: {source}", origin=ORIGINS[each.origin], source=each.source)
        if each.key in keys:
            known = said("{origin}: see {key}", origin=ORIGINS[each.origin], key=each.key)
        value = told_of(each.key, each.value, units)
        table.add_row(Text(str(each.label)), Text(str(value)), _share(each), Text(str(known)))
    return table


def _bottom(inputs: tuple[Input, ...], units: str) -> Table:
    """The errors at the bottom, the heaviest first."""
    table = table_of(said("Reading, wish or fact"), said("Value"), said("Part of ±"))
    for each in inputs:
        value = told_of(each.key, each.value, units)
        table.add_row(Text(str(each.label)), Text(str(value)), _share(each))
    return table


def _share(each: Input) -> str:
    if not each.share:
        return ""
    percent = 100 * each.share
    return said("{percent:.0f} %", percent=percent) if percent >= 1 else said("under 1 %")


def _line(text: str) -> Padding:
    return Padding(Text(str(text)), INDENT)
