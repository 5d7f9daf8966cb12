"""A plan as a printed text, tables of numbers with their +-, then the steps; and as saved files."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sockwright.cli.console import plain_text
from sockwright.cli.explain import foot_table, gauge_table, pitch_words, table_of
from sockwright.errors import SockwrightError, keys_words
from sockwright.estimates import Estimate
from sockwright.i18n import ENGLISH, sentence
from sockwright.needlebed.loops import write_table
from sockwright.order.model import Order
from sockwright.plan.data import instructions, plan_data
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.notes import fabric_agrees, finding_words, look_again, plan_notes
from sockwright.plan.numbers import label_of
from sockwright.plan.short_yarn import shortages
from sockwright.plan.trust import size_verdict
from sockwright.program.build import SELVEDGE_ROUNDS
from sockwright.program.draft import CORD, WASTE
from sockwright.quantities import format_length, format_mass, format_metres, format_pm
from sockwright.sock.fit import CylinderFit
from sockwright.wording.printed import (
    RULE,
    Block,
    Part,
    Rows,
    printed,
    printed_second,
    printed_steps,
)
from sockwright.wording.write import Instruction, cautions, conventions

EDGE_ROUNDS = 1 + SELVEDGE_ROUNDS
"""Rounds of a rib's first edge: one on both beds, then those of the cylinder alone."""


def plan_text(pair: PairPlan) -> Iterator[RenderableType]:
    """The whole plan; both socks where the feet differ."""
    order, first = pair.order, pair.first
    yield Text(order.title, style="bold")
    yield f"Wearer: {order.wearer.name}. Machine: {order.machine.name}."
    yield str(sentence(first.feet.reason))
    yield "± is one standard deviation: about 2 times in 3 the true value lies within it."
    yield from _sock(first)
    if pair.second is not None:
        yield from _sock(pair.second, first)
    yield _heading("Cautions")
    yield from _bullets(cautions(first.program, order.machine))


def verdict_text(pair: PairPlan) -> Iterator[RenderableType]:
    """What the dry run of each sock finds."""
    for sock in pair.socks:
        if pair.second is not None:
            yield f"The {sock.side} sock:"
        yield from _verdict(sock, instructions(sock))


def cylinders_text(order: Order, ranking: Iterable[CylinderFit]) -> Iterator[RenderableType]:
    """The machine's cylinders, the best first, with reasons."""
    ranking = tuple(ranking)
    yield f"Cylinders of {order.machine.name} for {order.wearer.name}, the best first."
    pitched = any(fit.cylinder.pitch_mm is not None for fit in ranking)
    pitch = ("Pitch",) if pitched else ()
    table = table_of(
        "Needles", *pitch, "Tube", "Against the foot", "Must stretch to", "Can stretch to"
    )
    for fit in ranking:
        table.add_row(
            f"{fit.cylinder.needles}",
            *([pitch_words(fit.cylinder)] if pitched else []),
            format_pm(fit.girth, order.units),
            _ease(fit.girth_ease, "smaller", "wider"),
            _times(fit.opening_needed),
            _times(fit.opening_possible),
        )
    yield table
    for fit in ranking:
        worn = "" if fit.fits else f"{fit.verdict!s}: "
        yield f"{fit.cylinder.needles} needles: {worn}{'; '.join(fit.reasons)}."


def save_loops(pair: PairPlan, path: Path) -> list[Path]:
    """Write the loop table; where the feet differ, one file a sock, named by its side."""
    if pair.second is None:
        write_table(pair.first.dry_run.loops, path)
        return [path]
    written = []
    for sock in pair.socks:
        named = path.with_name(f"{path.stem}-{sock.side}{path.suffix}")
        write_table(sock.dry_run.loops, named)
        written.append(named)
    return written


def save_plan(pair: PairPlan, folder: Path) -> list[Path]:
    """Write plan.txt, plan.json and the loop table into `folder`, made if it is not there."""
    if folder.exists() and not folder.is_dir():
        raise SockwrightError(f"{folder}: is a file; choose a folder to save into")
    folder.mkdir(parents=True, exist_ok=True)
    text = folder / "plan.txt"
    data = folder / "plan.json"
    _write(text, plain_text(plan_text(pair)))
    _write(data, json.dumps(plan_data(pair), ensure_ascii=False, indent=1) + "\n")
    return [text, data, *save_loops(pair, folder / "loops.csv")]


def _write(path: Path, text: str) -> None:
    part = path.with_name(path.name + ".part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _sock(plan: SockPlan, first: SockPlan | None = None) -> Iterator[RenderableType]:
    if plan.side != "both":
        yield _heading(f"The {plan.side} sock")
    for short in shortages(plan):
        yield f"Yarn: {format_mass(short.short)!s} short of {short.name!s} for the pair."
    yield f"Fit: {size_verdict(plan).words(plan.units)!s}."
    doubts = look_again(plan)
    if doubts:
        yield _heading("Look at this first")
        yield from _bullets(doubts)
        yield from _bullets(_keys_of_cures(plan))
    yield _heading("The foot")
    yield foot_table(plan)
    yield _heading("The fabric, washed and relaxed")
    yield gauge_table(plan)
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
    steps = instructions(plan)
    yield from _verdict(plan, steps)
    if not plan.ok:
        yield "The crank program is not printed: first correct what the dry run found."
        return
    if first is not None and first.ok:
        yield _heading(f"The crank program, where it differs from the {first.side} sock")
        yield from _program(printed_second(steps, instructions(first)))
        return
    twice = "; knit it twice, once for each foot" if plan.side == "both" else ""
    yield _heading(f"The crank program{twice}")
    yield from _bullets((*conventions(plan.execution, plan.order.machine), RULE))
    yield from _program(printed(steps))


def _keys_of_cures(plan: SockPlan) -> Iterator[str]:
    """What to write for each thing that would do where yarn is short."""
    for short in shortages(plan):
        for cure in short.cures:
            if cure.what:
                yield f"For {cure.change!s} write {keys_words(cure.what)!s}."


def _numbers(plan: SockPlan) -> Table:
    """Rounds and rows of every part, and what they measure."""
    sizing, units = plan.sizing, plan.units
    cuff, heel, toe = sizing.cuff, sizing.heel, sizing.toe
    table = table_of("Part", "Knit", "Measures")
    table.add_row(
        "tube",
        f"{sizing.needles} needles",
        f"{format_pm(plan.fit.girth, units)!s} round, "
        f"{_ease(plan.fit.girth_ease, 'smaller', 'wider')} than the foot",
    )
    table.add_row(
        "opening",
        "",
        f"must open to {_times(plan.fit.opening_needed)} its width to go over the heel; the "
        f"fabric opens to {_times(plan.fit.opening_possible)} in a firm pull",
    )
    depth = format_length(sizing.cuff_depth.value, units)
    edge = f"{EDGE_ROUNDS} edge rounds, then " if cuff.rib is not None else ""
    table.add_row(f"cuff, {cuff.kind.value}", f"{edge}{cuff.rounds} rounds", f"{depth!s} deep")
    table.add_row(
        "leg",
        f"{sizing.leg_rounds} rounds",
        f"{format_pm(plan.fabric.leg_length, units)!s} from the floor to the top",
    )
    table.add_row(f"heel, {heel.kind.value}", str(heel.words), "")
    table.add_row("foot", f"{sizing.foot_rounds} rounds", "")
    if toe.cup is None:
        table.add_row("toe", "gathered", "")
    else:
        table.add_row(f"toe, on the {toe.half.value}", str(toe.cup.words), "")
    if not heel.cups:
        table.add_row(
            label_of(plan, "fabric.tube_length"), "", format_pm(plan.fabric.tube_length, units)
        )
    table.add_row(
        label_of(plan, "fabric.foot_length"),
        f"{round(2 * plan.fabric.sole_courses.value) / 2:g} courses",
        f"{format_pm(plan.fabric.foot_length, units)!s}, "
        f"{_ease(plan.length_ease, 'shorter', 'longer')} than the foot; by the formula "
        f"{format_length(sizing.foot_length.value, units)!s}"
        + ("" if fabric_agrees(plan) else ": THEY DIFFER"),
    )
    return table


def _yarn(plan: SockPlan) -> Table:
    units = plan.units
    table = table_of("Yarn", "One sock", "", "The pair", "", "On hand")
    for role, use in plan.use.items():
        pair = plan.pair_use[role]
        yarn = plan.yarns[role]
        have = "" if yarn.on_hand_g is None else f"{yarn.on_hand_g:.0f} g"
        named = role not in (WASTE, CORD) and yarn.name != role
        table.add_row(
            f"{role}: {yarn.name}" if named else role,
            format_metres(use.length, units),
            format_mass(use.mass),
            format_metres(pair.length, units),
            format_mass(pair.mass),
            have,
        )
    return table


def _next_reading(plan: SockPlan) -> Iterator[RenderableType]:
    best = plan.next_reading.best
    units = plan.units
    before = format_length(best.sd_before_mm, units, 2)
    after = format_length(best.sd_after_mm, units, 2)
    yield Padding(
        f"To make the length more certain: {best.phrase!s} "
        f"(± {before!s} would become ± {after!s}).",
        (0, 0, 0, 2),
    )


def _verdict(plan: SockPlan, steps: tuple[Instruction, ...]) -> Iterator[RenderableType]:
    run = plan.dry_run
    loops = run.loops.kept
    count = len(run.findings)
    counts = (
        f"{printed_steps(printed(steps))} printed steps",
        f"{loops} loops in the sock",
        f"{plan.fabric.short_rows} rows to and fro",
        f"{len(run.loops.grafts)} pairs grafted",
        f"{count} finding{'' if count == 1 else 's'}",
    )
    yield f"{'Passed' if run.ok else 'FAILED'}: {', '.join(counts)}."
    for finding in run.findings:
        named = f"{finding.level.value.upper()} {finding.code.value}"
        yield Padding(f"{named}: {finding_words(plan, finding, steps)!s}.", (0, 0, 0, 2))


def _program(parts: Sequence[Part]) -> Iterator[RenderableType]:
    for part in parts:
        yield Text(part.section.value.capitalize(), style="bold")
        for rows, blocks in groupby(part.blocks, key=lambda block: isinstance(block, Rows)):
            if not rows:
                yield _lines([_step(block) for block in blocks])
                continue
            for block in blocks:
                assert isinstance(block, Rows)
                yield from _rows(block)


def _step(block: Block) -> tuple[str, str]:
    if isinstance(block, Instruction):
        return f"{block.number}", block.text
    if isinstance(block, Rows):
        raise TypeError("rows are a table")
    return f"{block.first}", "\n".join(block.lines(ENGLISH))


def _lines(steps: Iterable[tuple[str, str]]) -> RenderableType:
    """A number and a text each, the texts below one another."""
    table = Table.grid(padding=(0, 2))
    table.add_column(justify="right", no_wrap=True, min_width=3)
    table.add_column()
    for number, text in steps:
        table.add_row(Text(str(number)), Text(str(text)))
    return table


def _rows(rows: Rows) -> Iterator[RenderableType]:
    """The first row of each kind in full, then all of them as tables."""
    yield _lines(("", line) for line in rows.lines(ENGLISH))
    for half in rows.halves:
        heads, lines = half.table(ENGLISH)
        cells = [(f"{row.number}", *line) for row, line in zip(half.rows, lines, strict=True)]
        yield Padding(Text(str(half.title)), (0, 0, 0, 5))
        yield Text(_columns([("step", *heads), *cells]), no_wrap=True)
        if half.turn:
            yield _lines([("", half.turn)])
    weights = rows.weights_told(ENGLISH)
    if weights is not None:
        yield _lines([("", weights)])


def _columns(lines: Sequence[tuple[str, ...]]) -> str:
    """Lines of cells, each column as wide as its widest and set to the right: for many short ones
    this is a tenth of the time of a table that looks where to wrap."""
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "    ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True))
        for line in lines
    )


def _heading(text: str) -> Text:
    return Text(f"\n{text!s}", style="bold underline")


def _bullets(lines: Iterable[str]) -> Iterator[RenderableType]:
    table = Table.grid(padding=(0, 1))
    table.add_column(no_wrap=True)
    table.add_column()
    for line in lines:
        table.add_row(Text("-"), Text(str(line)))
    yield table


def _ease(ease: Estimate, less: str, more: str) -> str:
    """An ease as "10 ± 1 % smaller"; "3 ± 1 % wider" where it is below zero."""
    word = less if ease.value >= 0 else more
    return f"{abs(100 * ease.value):.0f} ± {100 * ease.sd:.0f} % {word}"


def _times(ratio: Estimate) -> str:
    return f"{ratio.value:.2f} ± {ratio.sd:.2f} times"
