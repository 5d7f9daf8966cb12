"""The order file: from TOML to an order, or all its problems; and an order back as TOML."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any, TypeVar

from sockwright.errors import OrderError, Problem, QuantityError
from sockwright.facts import table
from sockwright.grammar.declare import Fields, Key, Place, Table
from sockwright.grammar.values import choice, signed_share, text
from sockwright.i18n import N_, _
from sockwright.machine import (
    DEFAULT_MARKS,
    CamNaming,
    CamSlope,
    Counter,
    Cylinder,
    Machine,
    OwnPace,
)
from sockwright.order.document import check_together, parse_document, read_document
from sockwright.order.finished import FINISHED
from sockwright.order.machine_part import MACHINE, MachinePart
from sockwright.order.model import (
    Count,
    CuffGiven,
    CupGiven,
    FinishedGiven,
    FootGiven,
    HeelGiven,
    LegGiven,
    Order,
    ShoeSize,
    SockGiven,
    SwatchGiven,
    ToeGiven,
    WearerGiven,
    YarnGiven,
)
from sockwright.order.sock_part import SOCK
from sockwright.order.swatches import SWATCH
from sockwright.order.wearer import (
    FOOT,
    UNMEASURED,
    WEARER,
    FeetGiven,
    ask_for_length,
    check_feet,
    join,
)
from sockwright.order.yarns import YARN
from sockwright.quantities import parse_length_mm

_UNITS_MM = {
    "cm": table("units")["centimetre"].number,
    "in": table("units")["inch"].number,
}
Shown = dict[str, Any]
"""A TOML table to be."""
Show = Callable[[Any], Any]
"""How a value is shown in TOML."""

_AS_READ = ("machine", "units", "sock")
_Read = TypeVar("_Read", Order, Machine)
_Named = TypeVar("_Named", SwatchGiven, FinishedGiven)


def load_order(path: Path, machines: Path | None = None) -> Order:
    """The order in the file at `path`; OrderError with all its problems.

    A machine file is looked for in the order's folder, then in the folder `machines`.
    """
    folders = (path.parent,) if machines is None else (path.parent, machines)
    return _read(read_document(path), folders)


def parse_order(text: str, folder: Path | None = None) -> Order:
    """The order in `text`; OrderError with all its problems.

    Machine files are taken from `folder`, and refused if it is None.
    """
    return _read(parse_document(text, _("the order")), () if folder is None else (folder,))


def load_machine(path: Path) -> Machine:
    """The machine in the machine file at `path`; OrderError with all its problems."""
    problems: list[Problem] = []
    machine = MACHINE.read(read_document(path, "machine"), Place(path.name, problems))
    return _sound(machine, problems, Machine)


def order_table(folders: tuple[Path, ...]) -> Table:
    """The declaration of a whole order."""
    return Table(
        "an order",
        (
            Key("title", text("a title"), "the order's title", '"Socks for" and the name'),
            Key("units", choice(("cm", "in")), "the units of the sheets", "cm"),
            Key("wearer", WEARER, "who wears the socks", "a grown-up"),
            Key("foot", FOOT, "the measures of the feet", "estimated from [wearer]"),
            Key("yarn", YARN, "the yarns", needed=True),
            Key("machine", MachinePart(folders), "the machine", needed=True),
            Key("swatch", SWATCH, "the swatches", "none: estimated from the yarn"),
            Key("finished", FINISHED, "socks finished before, and how they came out", "none"),
            Key("sock", SOCK, "the design", "a plain sock"),
        ),
        _build,
        _check,
    )


def _read(document: dict[str, Any], folders: tuple[Path, ...]) -> Order:
    problems: list[Problem] = []
    return _sound(order_table(folders).read(document, Place("", problems)), problems, Order)


def _sound(value: Any, problems: list[Problem], kind: type[_Read]) -> _Read:
    if problems or not isinstance(value, kind):
        raise OrderError(tuple(problems))
    return value


def _check(fields: Fields) -> None:
    check_together(fields)
    if not any(part in fields.given and part not in fields.values for part in ("wearer", "foot")):
        ask_for_length(*_wearer_and_feet(fields), fields.place.at("foot"))
        check_feet(*_wearer_and_feet(fields))


def _build(fields: Fields) -> Order | None:
    if fields.place.problems:
        return None
    wearer = join(*_wearer_and_feet(fields))
    values = {name: fields.values[name] for name in _AS_READ if name in fields.values}
    return Order(
        title=fields.get("title", _("Socks for {name}", name=wearer.name)),
        wearer=wearer,
        yarns=fields.values["yarn"],
        swatches=_named(fields.get("swatch", ()), N_("swatch {number}")),
        finished=_named(fields.get("finished", ()), N_("sock {number}")),
        **values,
    )


def _wearer_and_feet(fields: Fields) -> tuple[Fields, FeetGiven]:
    nobody = Fields({}, {}, fields.place)
    return fields.get("wearer", nobody), fields.get("foot", UNMEASURED)


def _named(given: tuple[_Named, ...], usual: str) -> tuple[_Named, ...]:
    """Each under its name, or the usual one with its number."""
    return tuple(
        one if one.name else replace(one, name=_(usual, number=i)) for i, one in enumerate(given, 1)
    )


def to_toml(order: Order) -> str:
    """The order as an order file, complete in itself: a machine file is written into it.

    `parse_order(to_toml(order))` is the order again. Only what differs from what holds without it
    is written. Lengths are written in the order's own units where that loses nothing, else in mm.
    """
    return toml_text(_Writer(order.units).order(order))


def sock_document(sock: SockGiven, units: str) -> Shown:
    """The table [sock] of a design, lengths in `units` ("cm" or "in")."""
    return _Writer(units).sock(sock)


def toml_text(document: Mapping[str, Any]) -> str:
    """Tables as TOML, texts in English."""
    import tomli_w

    return tomli_w.dumps(in_english(document))


def in_english(value: Any) -> Any:
    """The same tables with every text as plain English."""
    if isinstance(value, Mapping):
        return {key: in_english(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [in_english(item) for item in value]
    return str(value) if isinstance(value, str) else value


class _Writer:
    """Writes every part of an order as a table, with lengths in its `units`."""

    def __init__(self, units: str) -> None:
        self.units = units

    def order(self, order: Order) -> Shown:
        return {
            "title": order.title,
            "units": order.units,
            "wearer": self.wearer(order.wearer),
            **_if_any("foot", self.feet(order.wearer)),
            "yarn": {yarn.role: self.yarn(yarn) for yarn in order.yarns},
            "machine": self.machine(order.machine),
            **_if_any("swatch", [self.swatch(swatch) for swatch in order.swatches]),
            **_if_any("finished", [self.finished(one) for one in order.finished]),
            **_if_any("sock", self.sock(order.sock)),
        }

    def length(self, mm: float) -> str:
        per_unit = _UNITS_MM[self.units]
        text = f"{mm / per_unit:.10g} {self.units}"
        return text if _reads_as(parse_length_mm, text, mm) else f"{mm!r} mm"

    def wearer(self, wearer: WearerGiven) -> Shown:
        return {"name": wearer.name} | _changed(
            wearer,
            sex=str,
            age_years=("age", _number),
            stature_mm=("stature", self.length),
            weight_kg=("weight", lambda kg: f"{_number(kg)} kg"),
            shoe=("shoe_size", _shoe),
        )

    def feet(self, wearer: WearerGiven) -> Shown:
        left, right = self.foot(wearer.left), self.foot(wearer.right)
        if left == right:
            return left
        return {**_if_any("left", left), **_if_any("right", right)}

    def foot(self, foot: FootGiven) -> Shown:
        measures = {name: self.length(mm) for name, mm in foot.measures_mm}
        pencil = _changed(foot, pencil_mm=("traced_with", self.length))
        return {**_changed(foot, load=str), **measures, **pencil}

    def yarn(self, yarn: YarnGiven) -> Shown:
        table = {"name": yarn.name, "fineness": f"{_number(yarn.tex)} tex"}
        return table | _changed(
            yarn,
            colour=str,
            tex_sd=("fineness_sd_tex", _number),
            fibres=lambda fibres: {name: _share(part) for name, part in fibres},
            on_hand_g=("on_hand", _grams),
        )

    def machine(self, machine: Machine) -> Shown:
        table: Shown = {"name": machine.name, "turns": str(machine.turns)}
        table["cylinders"] = _few([self.cylinder(each) for each in machine.cylinders])
        table |= _changed(machine, forward=str, heel_half=str, serviced=str)
        table |= _if_any("counter", _counter(machine.counter))
        table |= _if_any("cam", _cam(machine.cam))
        table |= _if_any("cam_slope", _cam_slope(machine.cam_slope))
        table |= _if_any("marks", _marks(machine))
        landmarks = {place.name: _number(place.hour) for place in machine.landmarks}
        table |= _if_any("landmarks", landmarks)
        return table | _if_any("pace", {one.name: _pace(one) for one in machine.pace})

    def cylinder(self, cylinder: Cylinder) -> int | Shown:
        more = _changed(cylinder, diameter_mm=("diameter", self.length), dial=str)
        return {"needles": cylinder.needles, **more} if more else cylinder.needles

    def swatch(self, swatch: SwatchGiven) -> Shown:
        table: Shown = {
            "name": swatch.name,
            "state": str(swatch.state),
            "needles": swatch.needles,
        }
        return table | _changed(
            swatch,
            yarn=str,
            fabric=str,
            felted=bool,
            cam=_number,
            weight_hung_g=("weight_hung", _grams),
            date=str,
            ruler_mm=("ruler", self.length),
            balance_g=("balance", _grams),
            wales=_each(self.count),
            courses=_each(self.count),
            flat_widths_mm=("flat_width", _each(self.length)),
            unravelled=_each(
                lambda one: {"loops": _number(one.loops), "length": self.length(one.length_mm)}
            ),
            weighed=_each(lambda one: {"loops": _number(one.loops), "mass": _grams(one.mass_g)}),
            rounds_length=_each(
                lambda one: {"rounds": _number(one.rounds), "length": self.length(one.length_mm)}
            ),
            stretch=_each(
                lambda one: {
                    "relaxed": self.length(one.relaxed_mm),
                    "stretched": self.length(one.stretched_mm),
                    **_changed(one, pull=str),
                }
            ),
        )

    def finished(self, sock: FinishedGiven) -> Shown:
        table: Shown = {"name": sock.name, "needles": sock.needles}
        table |= _changed(
            sock,
            date=str,
            cam=_number,
            yarn=str,
            tex=("fineness", lambda tex: f"{_number(tex)} tex"),
            leg_fabric=str,
            hem_rounds=int,
            leg_rounds=int,
            foot_rounds=int,
            heel_rows=int,
            toe_rows=int,
            loops=int,
            foot_length_mm=("foot_length", self.length),
            leg_length_mm=("leg_length", self.length),
            flat_width_mm=("flat_width", self.length),
            leg_flat_width_mm=("leg_flat_width", self.length),
            mass_g=("mass", _grams),
            washes=int,
            confirmed=bool,
        )
        foretold = _changed(
            sock.foretold,
            wale_mm=("wale", self.length),
            course_mm=("course", self.length),
            loop_mm=("loop", self.length),
        )
        answers = _changed(
            sock.answers, length=str, round=str, heel=str, putting_on=str, stays_up=str
        )
        return table | _if_any("foretold", foretold) | _if_any("answers", answers)

    def count(self, count: Count) -> str:
        return f"{_number(count.number)} in {self.length(count.span_mm)}"

    def sock(self, sock: SockGiven) -> Shown:
        table = _changed(sock, needles=int, drape=str)
        table |= _if_any("cuff", self.cuff(sock.cuff))
        table |= _if_any("leg", self.leg(sock.leg))
        table |= _if_any("heel", _heel(sock.heel))
        table |= _if_any("toe", _toe(sock.toe))
        return table | _if_any("ease", _changed(sock.ease, girth=_share, length=_share))

    def cuff(self, cuff: CuffGiven) -> Shown:
        return _changed(
            cuff,
            kind=str,
            depth_mm=("depth", self.length),
            rounds=int,
            rib=lambda rib: f"{rib[0]}x{rib[1]}",
            rib_to=str,
            remainder=str,
            every=int,
        )

    def leg(self, leg: LegGiven) -> Shown:
        return _changed(
            leg,
            height_mm=("height", self.length),
            leg_mm=("leg", self.length),
            rounds=int,
            shaped=bool,
        )


def _changed(value: Any, **shows: Show | tuple[str, Show]) -> Shown:
    """The named fields of `value` that differ from their defaults, each under its key as shown."""
    defaults = {field.name: field.default for field in fields(value)}
    table: Shown = {}
    for name, how in shows.items():
        key, show = how if isinstance(how, tuple) else (name, how)
        given = getattr(value, name)
        if given != defaults[name]:
            table[key] = show(given)
    return table


def _reads_as(read: Callable[[str], float], text: str, value: float) -> bool:
    """Whether `read` makes exactly `value` of the text; no reader takes an exponent (1e-07 cm)."""
    try:
        return read(text) == value
    except QuantityError:
        return False


def _if_any(key: str, content: Any) -> Shown:
    return {key: content} if content else {}


def _few(items: list[Any]) -> Any:
    return items[0] if len(items) == 1 else items


def _each(show: Show) -> Show:
    return lambda items: _few([show(item) for item in items])


def _counter(counter: Counter) -> Shown:
    return _changed(counter, counts=str, handle_turns_per_round=_number, restarts=bool)


def _cam(cam: CamNaming) -> Shown:
    return _changed(cam, word=str, larger_is_looser=bool, step=_number)


def _cam_slope(slope: CamSlope | None) -> Shown:
    return {} if slope is None else {"change": slope.change, "sd": slope.sd}


def _pace(own: OwnPace) -> int | float | Shown:
    pace = _number(own.value)
    return pace if own.socks == 1 else {"pace": pace, "socks": own.socks}


def _marks(machine: Machine) -> Shown:
    table: Shown = {}
    for default in DEFAULT_MARKS:
        mark = machine.mark(default.role)
        if mark != default:
            colour = {"colour": mark.colour} if mark.colour else {}
            key = default.role.replace(" ", "_")
            table[key] = {"name": mark.name, **colour} if colour else mark.name
    return table


def _cup(cup: CupGiven) -> Shown:
    return _changed(cup, kept=int, widening=str, first_raise=int)


def _heel(heel: HeelGiven) -> Shown:
    kind = _changed(heel, kind=str, deep_kept=int, wedge_rounds=int)
    return kind | _cup(heel.cup)


def _toe(toe: ToeGiven) -> Shown:
    table = _changed(toe, half=str, closing=str)
    if toe.cup is None:
        return table
    # A cup of the toe's own is one by having a key, even where all its values are the usual ones.
    return table | {"widening": str(toe.cup.widening)} | _cup(toe.cup)


def _number(value: float) -> int | float:
    return int(value) if value.is_integer() else value


def _grams(mass_g: float) -> str:
    return f"{_number(mass_g)} g"


def _shoe(shoe: ShoeSize) -> str:
    return f"{shoe.system} {_number(shoe.size)}"


def _share(share: float) -> str | float:
    text = f"{share * 100:.12g} %"
    return text if _reads_as(signed_share, text, share) else share
