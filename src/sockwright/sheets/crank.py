"""The crank sheet: one sock at a glance, what it takes, and every step with a box to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sockwright.drawing.base.theme import wrap
from sockwright.drawing.cylinder.small import small_cylinder_svg, small_key_svg
from sockwright.drawing.cylinder.view import view_at
from sockwright.drawing.sock.picture import sock_svg
from sockwright.i18n import N_, Locale, _, capitalised, joined, locale_of
from sockwright.needlebed.execute import Execution
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan
from sockwright.plan.notes import look_again, to_wind
from sockwright.plan.numbers import label_of
from sockwright.plan.short_yarn import shortages
from sockwright.program.draft import CORD, WASTE
from sockwright.quantities import format_mass, format_metres, format_pm
from sockwright.sheets import MARGIN_MM, SIZES, Paper
from sockwright.sheets.typeset import typeset
from sockwright.steps import Lower, Program, Row, Section
from sockwright.wording.instructions import find_cups
from sockwright.wording.printed import RULE, AsBefore, AsFirst, Block, Rows, printed, printed_second
from sockwright.wording.write import Count, Instruction, cautions, conventions


@dataclass(frozen=True)
class Moment:
    """A moment worth a picture: `key` names its words, `step` (from 1) is the next step."""

    key: str
    step: int


def picture_moments(run: Execution) -> tuple[Moment, ...]:
    """Heel begins, narrowest, heel ends, toe begins, as far as the sock has them; the narrowest of
    the toe where there is no heel."""
    program, cups = run.program, find_cups(run)
    heels = [cup for cup in cups if program.steps[cup.first].section is Section.HEEL]
    toes = [cup for cup in cups if program.steps[cup.first].section is Section.TOE]
    moments = []
    if heels:
        main = heels[-1]
        moments += [
            Moment("heel_begins", main.first + 1),
            Moment("narrowest", main.narrowest + 2),
            Moment("heel_ends", _after_lowering(program, main.last)),
        ]
    elif toes:
        moments.append(Moment("narrowest", toes[-1].narrowest + 2))
    if toes:
        moments.append(Moment("toe_begins", toes[-1].first + 1))
    return tuple(sorted(moments, key=lambda moment: moment.step))


def _after_lowering(program: Program, place: int) -> int:
    """Number of the step after the held needles are lowered again, from a place on."""
    for later in range(place + 1, len(program.steps)):
        if isinstance(program.steps[later], Lower):
            return later + 2
    return place + 2


CYLINDER_MM = 44.0
SOCK_WIDTH_MM = 116.0
BESIDE_SOCK_MM = 118.0
"""Height that title, cylinders and margins take on the first page."""
POINT_MM = 25.4 / 72
CAUTION_POINTS, CAUTION_LINE_MM = 8.5, 4.6
"""Type of a caution, and the height of a line of it."""
GUTTER_MM, BULLET_MM = 6.0, 4.0
"""Between the two columns of the cautions; what an item of a list is set in by, at most."""
LONG_TITLE, LONG_TITLE_MM = 50, 17.5
"""Letters of a title that takes more than a line, and the height of its others."""
DOUBT_IN_MM, DOUBTS_MM, DOUBT_LINE_MM = 2.5, 2.0, 4.4
"""What the doubts are set in by; the height of their heading, and of each line."""
TYPE_POINTS = {Paper.A4: 10.0, Paper.LETTER: 9.5}
"""The shorter page takes a smaller type, so that neither needs more pages."""
PLAIN_YARNS = {WASTE: _("the waste yarn"), CORD: _("the ravel cord")}
MOMENTS = {
    "heel_begins": N_("Heel begins"),
    "narrowest": N_("Narrowest"),
    "heel_ends": N_("Heel done"),
    "toe_begins": N_("Toe begins"),
}

Data = dict[str, Any]


def crank_sheet(
    plan: SockPlan, paper: Paper, language: str = "en", first: SockPlan | None = None
) -> bytes:
    """The PDF for a pair, with a box to tick for each sock; for a second sock that is not as the
    `first`, what differs from that one's sheet."""
    steps = instructions(plan, language)
    second = first is not None
    parts = printed_second(steps, instructions(first, language)) if first else printed(steps)
    words = locale_of(language)
    moments = picture_moments(plan.execution)
    size = SIZES[paper]
    machine = plan.order.machine
    cares = list(cautions(plan.program, machine, language))
    room = _sock_room(plan, cares, paper)
    drawings = {"sock": sock_svg(plan, words=words, room_mm=room)}
    views = [view_at(plan, machine, moment.step) for moment in moments]
    for place, view in enumerate(views):
        drawings[f"cylinder-{place}"] = small_cylinder_svg(view, CYLINDER_MM, words=words)
    if views:
        width = size.width_mm - 2 * MARGIN_MM
        drawings["key"] = small_key_svg(views, CYLINDER_MM, width, words=words)
    data: Data = {
        "title": plan.order.title,
        "foot": joined(" · ", filter(None, (plan.order.title, _side(plan)))),
        "type": TYPE_POINTS[paper],
        "doubts": list(look_again(plan)),
        "totals": sorted({_total(each.count) for each in steps if each.count is not None}),
        "number_width": len(str(steps[-1].number)),
        "lead": _lead(plan),
        "glance": list(_glance(plan, steps)),
        "yarns": list(_yarns(plan)),
        "tools": list(_tools(plan)),
        "cautions": cares,
        "rule": _(RULE),
        "conventions": list(conventions(plan.execution, machine, language)),
        "sections": [
            {
                "name": capitalised(_(part.section.value)),
                "blocks": [_block(each, words) for each in part.blocks],
            }
            for part in parts
        ],
        "pictures": [
            {
                "name": f"cylinder-{place}",
                "label": _(MOMENTS[moment.key]),
                "before": _instruction_of(steps, moment.step),
            }
            for place, moment in enumerate(moments)
        ],
        "socks": 1 if second else 2,
    }
    return typeset("crank", data, drawings, paper, language)


def _sock_room(plan: SockPlan, cautions: list[str], paper: Paper) -> tuple[float, float]:
    """Width and height, mm, for the sock on a first page with these cautions, in two columns."""
    wide = SIZES[paper].width_mm - 2 * MARGIN_MM - BULLET_MM
    column = (wide - BULLET_MM - GUTTER_MM) / 2
    lines = _lines(cautions, CAUTION_POINTS, column)
    others = BESIDE_SOCK_MM + CAUTION_LINE_MM * lines / 2
    if doubts := look_again(plan):
        lines = _lines(doubts, TYPE_POINTS[paper], wide - DOUBT_IN_MM)
        others += DOUBTS_MM + DOUBT_LINE_MM * lines
    if len(plan.order.title) > LONG_TITLE:
        others += LONG_TITLE_MM
    return SOCK_WIDTH_MM, SIZES[paper].height_mm - others


def _lines(texts: Sequence[str], points: float, width_mm: float) -> int:
    """How many lines texts take, each beginning one, in a type of so many points."""
    return sum(len(wrap(text, points * POINT_MM, width_mm)) for text in texts)


def _side(plan: SockPlan) -> str:
    """Which sock it is where the two are not alike."""
    if plan.side == "both":
        return ""
    return _("The left sock.") if plan.side == "left" else _("The right sock.")


def _lead(plan: SockPlan) -> str:
    wearer, machine = plan.order.wearer.name, plan.order.machine.name
    who = _("Wearer: {wearer}. Machine: {machine}.", wearer=wearer, machine=machine)
    return joined(" ", filter(None, (_side(plan), who)))


def _glance(plan: SockPlan, steps: tuple[Instruction, ...]) -> Iterator[Data]:
    """The key numbers, label and value."""
    units, sizing = plan.units, plan.sizing
    fabric = plan.fabric

    def line(key: str, value: str) -> Data:
        return _line(label_of(plan, key), value)

    yield line("sizing.needles", f"{sizing.needles}")
    yield line("fabric.foot_length", format_pm(fabric.foot_length, units))
    yield line("fabric.leg_length", format_pm(fabric.leg_length, units))
    if not sizing.heel.cups:
        yield line("fabric.tube_length", format_pm(fabric.tube_length, units))
    yield line("fit.girth", format_pm(plan.fit.girth, units))
    course, wale = plan.gauge.course, plan.gauge.wale
    span, unit = (25.4, _("1 in")) if units == "in" else (100.0, _("10 cm"))
    yield _line(
        _("wales × courses in {unit}", unit=unit),
        _("{wales:.1f} × {courses:.1f}", wales=span / wale.value, courses=span / course.value),
    )
    yield line("sizing.hem_rounds", f"{_rounds_of(Section.CUFF, steps)}")
    yield line("sizing.leg_rounds", f"{sizing.leg_rounds}")
    if sizing.heel.cups:
        yield line("sizing.heel_rows", f"{sizing.heel.rows}")
    yield line("sizing.foot_rounds", f"{sizing.foot_rounds}")
    if sizing.toe.cup is not None:
        yield line("sizing.toe_rows", f"{sizing.toe.cup.rows}")
    yield line("minutes", f"{plan.minutes.value:.0f} ± {plan.minutes.sd:.0f} min")


def _rounds_of(section: Section, steps: tuple[Instruction, ...]) -> int:
    """Rounds of a section as its steps count them, those of its edge with them."""
    counts = (each.count for each in steps if each.section is section)
    return max((count.of for count in counts if count is not None), default=0)


def _line(label: str, value: str) -> Data:
    return {"label": label, "value": value}


def _yarns(plan: SockPlan) -> Iterator[Data]:
    """Every yarn: what one sock takes, and what to wind off for the second."""
    units = plan.units
    short = {one.supply.role for one in shortages(plan)}
    for role, use in plan.use.items():
        plain = role in PLAIN_YARNS
        yarn = plan.yarns[role]
        wind = _("wind off {mass} for the second", mass=to_wind(use.mass))
        if role in short:
            wind = _("{grams:.0f} g on hand for both", grams=yarn.on_hand_g)
        yield {
            "name": PLAIN_YARNS[role] if plain else yarn.name,
            "one": joined(", ", (format_metres(use.length, units), format_mass(use.mass))),
            "wind": "" if plain else wind,
        }


def _tools(plan: SockPlan) -> Iterator[str]:
    """Tools to lay out; those that only some socks need when this one does."""
    rows = any(isinstance(step, Row) for step in plan.program.steps)
    yield _("set-up bonnet or scrap tube")
    yield _("main weight")
    if rows:
        yield _("two or three heel weights")
    if plan.program.dial:
        yield _("ribber with its needles and pin")
    yield _("pick and latch tool")
    yield _("scissors")
    yield _("blunt darning needle")
    yield _("row counter")
    yield _("tape measure")


def _block(each: Block, words: Locale) -> Data:
    if isinstance(each, Rows):
        return _rows(each, words)
    if isinstance(each, AsBefore | AsFirst):
        lines = list(each.lines(words))
        return {"kind": "step", "number": each.first, "lines": lines, "part": "", "total": ""}
    count = each.count
    return {
        "kind": "step",
        "number": each.number,
        "lines": each.brief.split("\n"),
        "part": "" if count is None else f"{count.last}/{count.of}",
        "total": "" if count is None else _total(count),
    }


def _rows(rows: Rows, words: Locale) -> Data:
    """A cup's rows as tables, each row with boxes for every cup that is knitted by them."""
    halves = []
    for half in rows.halves:
        heads, lines = half.table(words)
        halves.append({"title": _(half.title), "heads": heads, "lines": lines, "turn": half.turn})
    return {
        "kind": "rows",
        "numbers": f"{rows.rows[0].number}\N{EN DASH}{rows.rows[-1].number}",
        "cups": [_(cup.value) for cup in rows.cups],
        "told": list(rows.lines(words)),
        "halves": halves,
        "weights": rows.weights_told(words) or "",
    }


def _total(count: Count) -> str:
    """The count of rounds in all; nothing of a round only begun, nor of rows."""
    return f"{count.total}" if count.complete and count.kind == "round" else ""


def _instruction_of(steps: tuple[Instruction, ...], step: int) -> int:
    """Number of the instruction that a program step belongs to; the last where there is none."""
    return next((each.number for each in steps if step in each.steps), steps[-1].number)
