"""The machine of an order: the table [machine], or a machine file of the same keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sockwright.errors import OrderError
from sockwright.grammar.declare import WRONG, Either, Fields, Key, Many, Names, Place, Table, shown
from sockwright.grammar.values import (
    choice,
    colour,
    day,
    hour,
    length,
    number,
    share,
    text,
    whole,
    yes_or_no,
)
from sockwright.i18n import _, joined, listed
from sockwright.machine import (
    DEFAULT_MARKS,
    CamNaming,
    CamSlope,
    Counter,
    Counting,
    Cylinder,
    DialKind,
    Direction,
    HeelHalf,
    Landmark,
    Machine,
    Mark,
    OwnPace,
    Turning,
    resting_half,
)
from sockwright.order.document import read_document

NAMELESS = _("the machine")
"""What a machine without a name is called on the sheets."""

_CYLINDER = Table(
    "a table such as { needles = 60 }",
    (
        Key("needles", whole("needles"), "its needles", needed=True),
        Key(
            "diameter",
            length("cylinder_diameter"),
            "across the circle of the needles",
            "not known",
            field="diameter_mm",
        ),
        Key("dial", choice(DialKind), "the ribber's dial for it", "none"),
    ),
    lambda fields: Cylinder(**fields.values),
)

_COUNTER = Table(
    "a table of the row counter",
    (
        Key(
            "counts",
            choice(Counting),
            "what one count stands for",
            "rounds",
            label="The counter counts",
        ),
        Key(
            "handle_turns_per_round",
            number("handle_turns_per_round"),
            "turns of the handle that make one round",
            "1",
            label="Handle turns for a round",
        ),
        Key(
            "restarts",
            yes_or_no(),
            "whether you set it to zero at each section",
            "true",
            label="Set to zero at each section",
        ),
    ),
    lambda fields: Counter(**fields.values),
)

_CAM = Table(
    "a table of the stitch cam",
    (
        Key(
            "word",
            text("a word"),
            "what its settings are counted in, such as clicks",
            "number",
            label="Settings are counted in",
        ),
        Key(
            "larger_is_looser",
            yes_or_no(),
            "whether a larger setting makes larger loops",
            "true",
            label="Higher setting knits looser",
        ),
        Key(
            "step",
            number("cam_step"),
            "the smallest step its settings have, 1 for whole clicks",
            "not known",
            label="Smallest step of its settings",
        ),
    ),
    lambda fields: CamNaming(**fields.values),
)


_CAM_SLOPE = Table(
    "a table such as { change = 0.032, sd = 0.004 }",
    (
        Key(
            "change",
            share("cam_slope"),
            "by what share one setting more lengthens",
            needed=True,
            label="Longer by",
        ),
        Key("sd", share("cam_slope_sd"), "how sure that is, one sd", needed=True, label="How sure"),
    ),
    lambda fields: CamSlope(**fields.values),
)


_MARK_MEANINGS = {
    "home": "the gap or needle where every round begins",
    "halfway": "where the other half begins",
    "heel limits": "the needles that bound those left in work in the heel half",
    "instep limits": "the needles that bound those left in work in the instep half",
    "deep limits": "the wider pair, for a deep heel",
}


_MARK_LABELS = {
    "home": ("Home mark", "Home mark: name", "Home mark: colour"),
    "halfway": ("Halfway mark", "Halfway mark: name", "Halfway mark: colour"),
    "heel limits": ("Heel limits", "Heel limits: name", "Heel limits: colour"),
    "instep limits": ("Instep limits", "Instep limits: name", "Instep limits: colour"),
    "deep limits": ("Outer limits", "Outer limits: name", "Outer limits: colour"),
}
"""What a form calls a mark, its name and its colour."""


def _mark(default: Mark) -> Key:
    called, its_name, its_colour = _MARK_LABELS[default.role]
    named = Table(
        'a table such as { name = "red dot", colour = "red" }',
        (
            Key(
                "name",
                text("a name"),
                "what you call the mark",
                "Sockwright's name for it",
                label=its_name,
            ),
            Key("colour", colour(), "its colour, as it is drawn", "none", label=its_colour),
        ),
        lambda fields: replace(default, **fields.values),
    )
    plain = text("what you call the mark")
    one_word = replace(plain, convert=lambda given: replace(default, name=plain.convert(given)))
    key = default.role.replace(" ", "_")
    return Key(
        key,
        Either(one_word, named),
        _MARK_MEANINGS[default.role],
        f'"{default.name!s}"',
        field=default.role,
        label=called,
    )


_MARKS = Table(
    "a table of what you call the painted marks",
    tuple(_mark(mark) for mark in DEFAULT_MARKS),
    lambda fields: tuple(fields.get(mark.role, mark) for mark in DEFAULT_MARKS),
)

_LANDMARKS = Names(
    'landmarks and their hours, such as { "yarn mast" = 3 }',
    text("a name"),
    hour(),
    "landmarks",
    labels=("Landmark", "Clock position"),
)


_PACES = {
    "plain_rounds_per_minute": ("plain rounds you knit in a minute", "Plain rounds a minute"),
    "rib_rounds_per_minute": ("rounds of rib you knit in a minute", "Rounds of rib a minute"),
    "seconds_per_row": ("seconds a row of heel or toe takes you", "Seconds a row"),
    "seconds_per_loop_moved": ("seconds to move or hang a loop by hand", "Seconds a loop moved"),
    "seconds_per_change": ("seconds a change or a check takes you", "Seconds a change"),
    "seconds_per_graft": ("seconds to graft a stitch", "Seconds a stitch grafted"),
}
"""What each pace means, and what a form calls it, by its name in facts/pace.toml."""


def _pace(name: str) -> Key:
    plain = number(name)
    several = Table(
        "a table such as { pace = 42, socks = 3 }",
        (
            Key("pace", plain, "the mean of your socks", needed=True, label="Pace"),
            Key("socks", whole("pace_socks"), "how many socks it comes from", "1", label="Socks"),
        ),
        lambda fields: OwnPace(name, fields.values["pace"], fields.get("socks", 1)),
    )
    alone = replace(plain, convert=lambda given: OwnPace(name, plain.convert(given)))
    meaning, label = _PACES[name]
    return Key(name, Either(alone, several), meaning, "not counted", label=label)


_PACE = Table(
    "a table of your own paces",
    tuple(map(_pace, _PACES)),
    lambda fields: tuple(fields.values[name] for name in _PACES if name in fields.values),
)


def _cylinders() -> Many:
    needles = whole("needles", "its needles")
    plain = replace(needles, convert=lambda given: Cylinder(needles.convert(given)))
    return Many(Either(plain, _CYLINDER), "cylinders")


def _build(fields: Fields) -> Machine:
    values: dict[str, Any] = {"name": NAMELESS, **fields.values}
    values["landmarks"] = tuple(Landmark(*pair) for pair in values.get("landmarks", ()))
    machine = Machine(**values)
    needles = [cylinder.needles for cylinder in machine.cylinders]
    if not needles:
        fields.say("cylinders", _("is empty"), _("give the needles of one cylinder at least"))
    for twice in sorted({count for count in needles if needles.count(count) > 1}):
        fields.say(
            "cylinders",
            _("has {twice} needles twice", twice=twice),
            _("give each cylinder once"),
        )
    _check_heel_half(machine, fields)
    return machine


def _check_heel_half(machine: Machine, fields: Fields) -> None:
    """A turning cylinder rests with its home gap at the carrier: where the carrier stands is a
    landmark, that says on which side the heel half rests, and `heel_half` must agree."""
    given, half = fields.get("heel_half"), resting_half(machine)
    if given in (None, half):
        return
    rests = _("on neither side") if half is None else _("on the {side} side", side=_(half))
    fields.say(
        "heel_half",
        _(
            'is "{given}", but the cylinder rests with the home mark at the carrier, and then the '
            "heel half lies {rests}",
            given=given.value,
            rests=rests,
        ),
        _("leave it out, or correct the carrier's landmark"),
    )


MACHINE = Table(
    "a table with turns and cylinders, or with file",
    (
        Key("name", text("a name"), "what the machine is called on the sheets", f'"{NAMELESS!s}"'),
        Key(
            "turns",
            choice(Turning),
            "which part goes round when you crank",
            needed=True,
            label="What turns",
        ),
        Key(
            "cylinders",
            _cylinders(),
            "the needles of each cylinder you have",
            needed=True,
            more="One more cylinder",
        ),
        Key(
            "forward",
            choice(Direction),
            "which way the next needle to knit lies, seen from above, when you crank forward",
            "anticlockwise",
        ),
        Key(
            "heel_half",
            choice(HeelHalf),
            "the half that knits the heel, from where you stand",
            "near",
        ),
        Key(
            "serviced",
            day(),
            "the day of its last service: what was knitted before tells less of it",
            "not noted",
            label="Last serviced",
        ),
        Key("counter", _COUNTER, "the row counter", "counts rounds", label="Row counter"),
        Key("cam", _CAM, "how stitch-cam settings are named", "by numbers", label="Stitch cam"),
        Key(
            "marks",
            _MARKS,
            "what you call the painted marks",
            "Sockwright's names",
            label="Painted marks",
        ),
        Key(
            "landmarks",
            _LANDMARKS,
            "fixed places on the shell and their hours, six being nearest you",
            "none",
            more="One more landmark",
        ),
        Key(
            "cam_slope",
            _CAM_SLOPE,
            "what one setting more of the stitch cam does to a loop, by swatches of other yarns",
            "by the order's own swatches",
            label="One setting more",
        ),
        Key("pace", _PACE, "your own pace on it, as you counted it", "a practised maker's"),
    ),
    _build,
)

FILE = Key(
    "file",
    text("the path of a machine file"),
    "a file that holds the keys of [machine], by its path from the order's folder; "
    "instead of all other keys",
    "none",
)


@dataclass(frozen=True)
class MachinePart:
    """[machine], with the folders in which a machine file is looked for (none: no files)."""

    folders: tuple[Path, ...]

    @property
    def expects(self) -> str:
        """What to write."""
        return MACHINE.expects

    def read(self, given: object, place: Place) -> Any:
        """The `Machine`, or WRONG."""
        if not isinstance(given, Mapping) or FILE.name not in given:
            return MACHINE.read(given, place)
        beside = ", ".join(place.at(key).path for key in given if key != FILE.name)
        if beside:
            place.at(FILE.name).say(
                _("cannot be used with {beside}", beside=beside),
                _(
                    "delete {beside} here, for the machine file says them, or else delete file",
                    beside=beside,
                ),
            )
        name = FILE.kind.read(given[FILE.name], place.at(FILE.name))
        return WRONG if name is WRONG else self._read_file(name, place)

    def _read_file(self, name: str, place: Place) -> Any:
        if not self.folders:
            place.at("file").say(
                _("names a file, but this order does not lie in a folder"),
                _("write the machine's keys into the order"),
            )
            return WRONG
        path = self._find(name)
        if path is None:
            place.at("file").say(
                _(
                    "{name} is not there; looked in {folders}",
                    name=shown(name),
                    folders=self._looked_in(),
                ),
                _("give the path of a machine file from one of these folders"),
            )
            return WRONG
        try:
            document = read_document(path, "machine")
        except OrderError as error:
            for problem in error.problems:
                place.at("file").say(joined(" ", (shown(name), problem.wrong)), problem.right)
            return WRONG
        return MACHINE.read(document, Place(path.name, place.problems))

    def _find(self, name: str) -> Path | None:
        """The first file of that name in the folders; else what is no file there, if anything."""
        places = [folder / name for folder in self.folders]
        files = [place for place in places if place.is_file()]
        return next(iter(files or [place for place in places if place.exists()]), None)

    def _looked_in(self) -> str:
        first, *others = self.folders
        of_order = _("the order's folder") if first == Path() else shown(str(first))
        return listed([of_order, *(shown(str(folder)) for folder in others)])
