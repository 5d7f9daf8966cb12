"""A plan as the rows of the planning page: every number with its name, its key and its words.

Names and keys are those of `plan.numbers`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from sockwright import steps as op
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.picture import cylinder_svg
from sockwright.drawing.cylinder.view import view_at
from sockwright.drawing.sock.picture import sock_svg
from sockwright.estimates import Estimate
from sockwright.i18n.locale import Locale
from sockwright.i18n.messages import _, capitalised, joined
from sockwright.measure.belief import NAMES
from sockwright.measure.foot_measures import spoken
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.numbers import OF_FIT, label_of
from sockwright.sock.fit import CylinderFit
from sockwright.web.preferences import Formats
from sockwright.workshop.gauge_memory import Remembered

CYLINDER_MM = 110.0
PROFILE_MM = (110.0, 130.0)
"""Sizes at which drawings are made: shown larger, their type is as large as a caption's."""


Cell = Callable[[SockPlan], str]


@dataclass(frozen=True)
class Row:
    """One line of numbers: its name, the keys for "why", and its cells.

    Each cell stands for `span` socks side by side and may have a warning. A line without keys may
    have the `address` of the page where its numbers are kept.
    """

    label: str
    keys: tuple[str, ...]
    cells: tuple[str, ...]
    warnings: tuple[str, ...] = ()
    span: int = 1
    address: str = ""


@dataclass(frozen=True)
class Column:
    """A sock that a page shows: its heading and its plan."""

    heading: str
    plan: SockPlan


@dataclass(frozen=True)
class Beside:
    """A pair that a page shows, alone or beside another: its heading and its plans."""

    heading: str
    pair: PairPlan


def columns(pair: PairPlan, heading: str = "") -> tuple[Column, ...]:
    """The sock of a plan, or both where the feet differ."""
    if pair.second is None:
        return (Column(heading, pair.first),)
    sides = {"left": _("left foot"), "right": _("right foot")}
    return tuple(
        Column(_("{heading}, {side}", heading=heading, side=sides[one.side]), one)
        if heading
        else Column(sides[one.side], one)
        for one in pair.socks
    )


def sock_rows(shown: Sequence[Column], formats: Formats) -> list[Row]:
    """The sock in numbers, from top to toe."""
    cells = _sock_cells(formats)
    if shown[0].plan.sizing.heel.cups:
        del cells["fabric.tube_length"]
    return _rows_of(cells, shown)


def _rows_of(cells: Mapping[str, Cell], shown: Sequence[Column]) -> list[Row]:
    first = shown[0].plan
    return [
        Row(
            capitalised(ROWS[key] if key in ROWS else label_of(first, key)),
            (key,),
            tuple(cell(column.plan) for column in shown),
        )
        for key, cell in cells.items()
    ]


ROWS = {
    "sizing.hem_rounds": _("cuff"),
    "sizing.leg_rounds": _("leg"),
    "sizing.heel_rows": _("heel"),
    "sizing.foot_rounds": _("foot"),
    "sizing.toe_rows": _("toe"),
    "gauge.wale": _("wales"),
    "gauge.course": _("courses"),
}
"""What rows are called that tell more than their number, or tell it as so many on a length."""


def _sock_cells(formats: Formats) -> dict[str, Cell]:
    length = formats.length
    return {
        "sizing.needles": lambda plan: str(plan.sizing.needles),
        **{f"fit.{name}": partial(_fit_cell, name, formats) for name in OF_FIT if name != "score"},
        "top.worn": lambda plan: _times(plan.top.worn, formats),
        "top.needed": lambda plan: _times(plan.top.needed, formats),
        "top.opens": lambda plan: _times(plan.top.opens, formats),
        "sizing.hem_rounds": lambda plan: _cuff(plan, formats),
        "sizing.leg_rounds": lambda plan: _rounds(plan.sizing.leg_rounds),
        "fabric.leg_length": lambda plan: length(plan.fabric.leg_length),
        "sizing.heel_rows": _heel,
        "sizing.foot_rounds": lambda plan: _rounds(plan.sizing.foot_rounds),
        "sizing.toe_rows": _toe,
        "fabric.foot_length": lambda plan: length(plan.fabric.foot_length),
        "fit.length_ease": lambda plan: formats.percent(plan.length_ease),
        "minutes": lambda plan: formats.hours(plan.minutes),
        "fabric.tube_length": lambda plan: length(plan.fabric.tube_length),
    }


def _fit_cell(name: str, formats: Formats, plan: SockPlan) -> str:
    return fit_cell(name, plan.fit, formats)


def fit_cell(name: str, fit: CylinderFit, formats: Formats) -> str:
    """A number of OF_FIT as it is printed."""
    number = OF_FIT[name](fit)
    if name == "girth":
        return formats.length(number)
    if name == "girth_ease":
        return formats.percent(number)
    return formats.number(number.value) if name == "score" else _times(number, formats)


def _times(ratio: Estimate, formats: Formats) -> str:
    return _("{times} times", times=formats.number(ratio))


def _rounds(count: int) -> str:
    return _("{n} rounds", n=count)


def _cuff(plan: SockPlan, formats: Formats) -> str:
    cuff = plan.sizing.cuff
    depth = formats.length(plan.sizing.cuff_depth.value)
    kind = _(cuff.kind.value)
    return _("{kind}, {n} rounds, {depth} deep", kind=kind, n=cuff.rounds, depth=depth)


def _heel(plan: SockPlan) -> str:
    return plan.sizing.heel.words


def _toe(plan: SockPlan) -> str:
    toe = plan.sizing.toe
    return _("gathered") if toe.cup is None else toe.cup.words


def gauge_rows(shown: Sequence[Column], formats: Formats) -> list[Row]:
    """The fabric, washed and relaxed."""
    cells: dict[str, Cell] = {
        "gauge.wale": lambda plan: formats.gauge(plan.gauge.wale),
        "gauge.course": lambda plan: formats.gauge(plan.gauge.course),
        "gauge.loop": lambda plan: formats.small_length(plan.gauge.loop),
        "gauge.tightness": lambda plan: formats.number(plan.gauge.tightness),
        "gauge.open_ratio": lambda plan: _times(plan.gauge.open_ratio, formats),
    }
    if all(column.plan.gauge.learned for column in shown):
        cells |= {f"gauge.learned.{name}": partial(_learned, name, formats) for name in NAMES}
    return _rows_of(cells, shown)


def _learned(name: str, formats: Formats, plan: SockPlan) -> str:
    """By what factor a size came out of finished socks, as one size more or less."""
    assert plan.gauge.learned is not None
    return _times(getattr(plan.gauge.learned, name), formats)


ORIGINS = {"measured": _("measured"), "estimated": _("estimated")}


def foot_rows(shown: Sequence[Column], formats: Formats) -> list[Row]:
    """The foot, measured or estimated."""
    rows = []
    for name in shown[0].plan.foot.measures():
        measures = [column.plan.foot.measures()[name] for column in shown]
        cells = (
            _(
                "{length}, {origin}",
                length=formats.length(one.estimate),
                origin=ORIGINS.get(one.source, one.source),
            )
            for one in measures
        )
        rows.append(Row(capitalised(spoken(name)), (f"foot.{name}",), tuple(cells)))
    return rows


ROLES = {
    "main": _("sock"),
    "cuff": _("cuff"),
    "heel": _("heel"),
    "toe": _("toe"),
    "waste": _("waste yarn"),
    "cord": _("ravel cord"),
}
"""What a yarn is for."""


def profile_drawing(plan: SockPlan, locale: Locale) -> str:
    """The sock in side view, light or dark as the page is."""
    return sock_svg(plan, Theme.PAGE, words=locale, room_mm=PROFILE_MM)


def cylinder_words(plan: SockPlan, heading: str) -> str:
    """What `cylinder_drawing` shows: where needles are first raised, under the `heading` if any."""
    if _first_raised(plan) is None:
        moment = _("The cylinder at the start")
    elif plan.sizing.heel.cups:
        moment = _("The cylinder as the heel begins")
    else:
        moment = _("The cylinder as the toe begins")
    return joined(", ", (moment, heading)) if heading else moment


def _first_raised(plan: SockPlan) -> int | None:
    """Number of the first step that raises needles."""
    steps = enumerate(plan.program.steps, 1)
    return next((number for number, step in steps if isinstance(step, op.Raise)), None)


def cylinder_drawing(plan: SockPlan, locale: Locale) -> str:
    """The cylinder as the first needles are raised, at heel or toe, or at the start."""
    view = view_at(plan, plan.order.machine, _first_raised(plan) or 1)
    return cylinder_svg(view, CYLINDER_MM, Theme.PAGE, locale)


NOTHING = "–"
"""Stands for what a plan has not."""


@dataclass(frozen=True)
class YarnRows:
    """A yarn by what it is for and its name (""), with its rows."""

    role: str
    name: str
    rows: tuple[Row, ...]


def yarn_rows(
    plans: Sequence[Beside], formats: Formats, addresses: Mapping[str, str]
) -> list[YarnRows]:
    """The yarns of plans that stand side by side, role by role; one yarn plays a role in all.

    `addresses` has the page of each role's own yarn, where what is on hand is kept.
    """
    every = [one.pair for one in plans]
    return [
        YarnRows(
            ROLES[role],
            _name(every, role),
            tuple(_rows(every, role, formats, addresses.get(role, ""))),
        )
        for role in ROLES
        if any(role in pair.first.use for pair in every)
    ]


def pair_row(every: Sequence[PairPlan], role: str, formats: Formats, label: str) -> Row:
    """What pairs take of a yarn, marked where that is more than there is."""
    socks = len(columns(every[0]))
    cells, warnings = [], []
    for plan in (pair.first for pair in every):
        mass = plan.pair_use[role].mass if role in plan.pair_use else None
        have = plan.yarns[role].on_hand_g
        short = mass is not None and have is not None and mass.value > have
        cells.append(NOTHING if mass is None else formats.mass(mass))
        warnings.append(_("too little") if short else "")
    return Row(label, (f"yarn.{role}.pair_mass",), tuple(cells), tuple(warnings), span=socks)


def pair_rows(pair: PairPlan, formats: Formats) -> list[Row]:
    """What a pair takes of each yarn."""
    return [
        pair_row([pair], role, formats, _titled(ROLES[role], _name([pair], role)))
        for role in ROLES
        if role in pair.first.use
    ]


def _rows(every: Sequence[PairPlan], role: str, formats: Formats, address: str) -> Iterator[Row]:
    socks = [sock for pair in every for sock in pair.socks]
    yield Row(
        _("One sock"),
        (f"yarn.{role}.length", f"yarn.{role}.mass"),
        tuple(_one_sock(plan, role, formats) for plan in socks),
    )
    yield pair_row(every, role, formats, _("The pair"))
    have = every[0].first.yarns[role].on_hand_g
    if have is not None:
        on_hand = formats.mass(Estimate(have, 0.0, "g"))
        yield Row(_("On hand"), (), (on_hand,), address=address, span=len(socks))


def _one_sock(plan: SockPlan, role: str, formats: Formats) -> str:
    if role not in plan.use:
        return NOTHING
    use = plan.use[role]
    return _(
        "{length}, {mass}", length=formats.yarn_length(use.length), mass=formats.mass(use.mass)
    )


def _name(every: Sequence[PairPlan], role: str) -> str:
    """The name that its maker gave the yarn; "" where it goes by its role alone."""
    name = every[0].first.yarns[role].name
    return "" if name == role else name


def _titled(role: str, name: str) -> str:
    return capitalised(_("{role}: {name}", role=role, name=name) if name else role)


@dataclass(frozen=True)
class GaugeLine:
    """What one swatch tells, with its numbers as they are printed; `cam` and `date` may be ""."""

    of: Remembered
    cam: str
    date: str
    wales: str
    courses: str
    loop: str


def gauge_lines(found: Iterable[Remembered], formats: Formats) -> list[GaugeLine]:
    """A line for each swatch."""
    return [
        GaugeLine(
            of=one,
            cam="" if one.cam is None else formats.sign(f"{one.cam:g}"),
            date=formats.date(one.date) if one.date else "",
            wales=formats.gauge(one.wale),
            courses=formats.gauge(one.course),
            loop=formats.small_length(one.loop),
        )
        for one in found
    ]
