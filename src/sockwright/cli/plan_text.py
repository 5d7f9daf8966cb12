"""A plan as a printed text: tables of numbers with their +-, then the steps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sockwright.estimates import Estimate
from sockwright.order.model import Order
from sockwright.plan import Plan
from sockwright.plan_data import instructions
from sockwright.plan_notes import fabric_agrees, plan_notes
from sockwright.program.wording import cautions, conventions
from sockwright.program.yarns import CORD, WASTE
from sockwright.quantities import format_length, format_mass, format_metres, format_pm
from sockwright.sock.fit import CylinderFit

MM_PER_INCH = 25.4
MM_PER_10_CM = 100.0


def plan_text(plan: Plan) -> Iterator[RenderableType]:
    """The whole plan; both socks where the feet differ."""
    order = plan.order
    yield Text(order.title, style="bold")
    yield f"For the {order.wearer.name}, on {order.machine.name}."
    yield f"{_sentence(plan.feet.reason)}"
    yield from _sock(plan)
    if plan.second is not None:
        yield from _sock(plan.second)
    yield _heading("Cautions")
    yield from _bullets(cautions(plan.program, order.machine))


def verdict_text(plan: Plan) -> Iterator[RenderableType]:
    """What the dry run of each sock finds."""
    for sock in (plan, plan.second):
        if sock is not None:
            if plan.second is not None:
                yield f"The {sock.side} sock:"
            yield from _verdict(sock)


def cylinders_text(order: Order, ranking: Iterable[CylinderFit]) -> Iterator[RenderableType]:
    """The machine's cylinders, the best first, with reasons."""
    ranking = tuple(ranking)
    yield f"Cylinders of {order.machine.name} for the {order.wearer.name}, the best first."
    table = _table("Needles", "Tube", "Smaller than the foot", "Must open", "Can open")
    for fit in ranking:
        table.add_row(
            f"{fit.cylinder.needles}",
            format_pm(fit.girth, order.units),
            _percent(fit.girth_ease),
            _times(fit.opening_needed),
            _times(fit.opening_possible),
        )
    yield table
    for fit in ranking:
        worn = "" if fit.fits else "cannot be worn: "
        yield f"{fit.cylinder.needles} needles: {worn}{'; '.join(fit.reasons)}."


def _sock(plan: Plan) -> Iterator[RenderableType]:
    if plan.side != "both":
        yield _heading(f"The {plan.side} sock")
    yield _heading("The foot")
    yield _foot(plan)
    yield _heading("The fabric, washed and relaxed")
    yield _gauge(plan)
    yield _heading("The sock in numbers")
    yield _numbers(plan)
    yield _heading("Yarn and time")
    yield _yarn(plan)
    spent = plan.minutes
    yield f"About {spent.value:.0f} ± {spent.sd:.0f} minutes a sock, closing included."
    yield _heading("Good to know")
    yield from _bullets(plan_notes(plan))
    yield from _next_reading(plan)
    yield _heading("The dry run")
    yield from _verdict(plan)
    yield _heading("The crank program")
    yield from _bullets(conventions(plan.program, plan.order.machine))
    yield from _program(plan)


def _foot(plan: Plan) -> Table:
    table = _table("Measure", "Size", "From")
    for name, measure in plan.foot.measures().items():
        words = name.replace("_", " ")
        table.add_row(words, format_pm(measure.estimate, plan.order.units), measure.source)
    return table


def _gauge(plan: Plan) -> Table:
    gauge, inches = plan.gauge, plan.order.units == "in"
    span, unit = (MM_PER_INCH, "an inch") if inches else (MM_PER_10_CM, "10 cm")
    table = _table("", "Size", f"In {unit}")
    for word, size in (("wale", gauge.wale), ("course", gauge.course)):
        per = span / size.value
        table.add_row(
            word, _millimetres(size), f"{per:.1f} ± {per * size.sd / size.value:.1f} {word}s"
        )
    table.add_row("loop", _millimetres(gauge.loop), "")
    table.add_row("tightness", f"{gauge.tightness.value:.2f} ± {gauge.tightness.sd:.2f}", "")
    return table


def _numbers(plan: Plan) -> Table:
    """Rounds and rows of every part, and what they measure."""
    sizing, units = plan.sizing, plan.order.units
    cuff, heel, toe = sizing.cuff, sizing.heel, sizing.toe
    table = _table("Part", "Knit", "Measures")
    table.add_row(
        "tube",
        f"{sizing.needles} needles",
        f"{format_pm(plan.fit.girth, units)} round, {_percent(plan.fit.girth_ease)} smaller "
        "than the foot",
    )
    table.add_row(
        "opening",
        "",
        f"must open {_times(plan.fit.opening_needed)} to pass the heel; the fabric opens "
        f"{_times(plan.fit.opening_possible)}",
    )
    depth = format_length(cuff.visible * plan.gauge.course.value, units)
    table.add_row(f"cuff, {cuff.kind.value}", f"{cuff.rounds} rounds", f"{depth} deep")
    table.add_row(
        "leg",
        f"{sizing.leg_rounds} rounds",
        f"{format_pm(plan.fabric.leg_length, units)} from the floor to the top",
    )
    table.add_row(f"heel, {heel.kind.value}", _heel_words(plan), "")
    table.add_row("foot", f"{sizing.foot_rounds} rounds", "")
    if toe.cup is None:
        table.add_row("toe", "gathered", "")
    else:
        table.add_row(
            f"toe, on the {toe.half.value}",
            f"{toe.cup.rows} rows, {toe.cup.needles} needles down to {toe.cup.kept}".replace(
                " down to ", " narrowed to "
            ),
            "",
        )
    table.add_row(
        "foot, heel to toe",
        f"{plan.fabric.sole_courses:g} courses",
        f"{format_pm(plan.fabric.foot_length, units)} read off the loops, "
        f"{format_length(sizing.foot_length.value, units)} by formula"
        + ("" if fabric_agrees(plan) else ": THEY DIFFER"),
    )
    return table


def _heel_words(plan: Plan) -> str:
    heel = plan.sizing.heel
    words = f"{heel.cup.rows} rows, {heel.cup.needles} needles narrowed to {heel.cup.kept}"
    if heel.deep is not None:
        words = (
            f"{heel.deep.rows} rows to {heel.deep.kept}, {heel.wedge_rounds} wedge rounds, then "
            + words
        )
    return words


def _yarn(plan: Plan) -> Table:
    units = plan.order.units
    table = _table("Yarn", "One sock", "The pair", "On hand")
    for role, use in plan.use.items():
        pair = plan.pair_use[role]
        yarn = plan.yarns[role]
        have = "" if yarn.on_hand_g is None else f"{yarn.on_hand_g:.0f} g"
        name = role if role in (WASTE, CORD) else f"{role}: {yarn.name}"
        table.add_row(
            name,
            f"{format_metres(use.length, units)}, {format_mass(use.mass)}",
            f"{format_metres(pair.length, units)}, {format_mass(pair.mass)}",
            have,
        )
    return table


def _next_reading(plan: Plan) -> Iterator[RenderableType]:
    best = plan.next_reading.best
    units = plan.order.units
    before = format_length(best.sd_before_mm, units, 2)
    after = format_length(best.sd_after_mm, units, 2)
    yield Padding(
        f"To know the length better: {best.phrase} (± {before} would become ± {after}).",
        (0, 0, 0, 2),
    )


def _verdict(plan: Plan) -> Iterator[RenderableType]:
    run = plan.dry_run
    loops = int((run.loops.stays & run.loops.is_loop).sum())
    counts = (
        f"{len(plan.program.steps)} steps",
        f"{loops} loops in the sock",
        f"{plan.fabric.short_rows} rows to and fro",
        f"{len(run.loops.grafts)} pairs grafted",
        f"{len(run.findings)} findings",
    )
    yield f"{'Passed' if run.ok else 'FAILED'}: {', '.join(counts)}."
    for finding in run.findings:
        named = f"{finding.level.value.upper()} {finding.code.value}"
        yield Padding(f"{named}: {finding.message}; {finding.mend}.", (0, 0, 0, 2))


def _program(plan: Plan) -> Iterator[RenderableType]:
    section = None
    table: Table | None = None
    for each in instructions(plan):
        if each.section is not section:
            if table is not None:
                yield table
            section = each.section
            yield Text(section.value.capitalize(), style="bold")
            table = Table.grid(padding=(0, 2))
            table.add_column(justify="right", no_wrap=True)
            table.add_column()
        assert table is not None
        table.add_row(Text(str(each.number)), Text(each.text))
    if table is not None:
        yield table


def _heading(text: str) -> Text:
    return Text(f"\n{text}", style="bold underline")


def _bullets(lines: Iterable[str]) -> Iterator[RenderableType]:
    table = Table.grid(padding=(0, 1))
    table.add_column(no_wrap=True)
    table.add_column()
    for line in lines:
        table.add_row(Text("-"), Text(line))
    yield table


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 3, 0, 0))
    for heading in headings:
        table.add_column(heading)
    return table


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."


def _millimetres(size: Estimate) -> str:
    return f"{size.value:.2f} ± {size.sd:.2f} mm"


def _percent(share: Estimate) -> str:
    return f"{100 * share.value:.0f} ± {100 * share.sd:.0f} %"


def _times(ratio: Estimate) -> str:
    return f"{ratio.value:.2f} ± {ratio.sd:.2f} times"
