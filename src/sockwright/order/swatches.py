"""The swatches of an order and every reading taken of them: [[swatch]]."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from sockwright.errors import QuantityError
from sockwright.facts import fact
from sockwright.grammar.bounds import limits
from sockwright.grammar.declare import Fields, Key, Many, Place, Table, Value, give, it_is, shown
from sockwright.grammar.values import (
    check_within,
    choice,
    day,
    length,
    mass,
    number,
    text,
    whole,
    yes_or_no,
)
from sockwright.i18n import _, by_units
from sockwright.order.model import (
    YARN_ROLES,
    Count,
    Fabric,
    Pull,
    RoundsLength,
    State,
    Stretch,
    SwatchGiven,
    Unravelled,
    Weighed,
)
from sockwright.quantities import parse_length_mm

_COUNT = re.compile(
    r"([0-9]+(?:[.,][0-9]+)?) *(?:wales?|courses?|stitches|rows|loops)? *"
    r"(?:\bin\b|\bover\b|\bper\b|\bacross\b|/) *(.+)"
)
READINGS = (
    "wales",
    "courses",
    "unravelled",
    "weighed",
    "flat_width",
    "rounds_length",
    "stretch",
)
"""The readings of which a swatch must hold one at least, the easiest first."""


def count_over(density: str) -> Value:
    """So many wales or courses over a length, within the limits `density`."""
    expects = by_units(
        _('a count and the length it was counted over, such as "32 in 10 cm"'),
        **{"in": _('a count and the length it was counted over, such as "32 over 4 in"')},
    )

    def convert(given: object) -> Count:
        if not isinstance(given, str):
            raise QuantityError(it_is(given), give(expects))
        found = _COUNT.fullmatch(" ".join(given.casefold().split()))
        if found is None:
            raise QuantityError(
                _("{given} is not a count", given=shown(given)),
                give(expects),
            )
        span = found[2] if found[2][0].isdigit() or found[2][0] in ".,½¼¾" else f"1 {found[2]}"
        count = Count(float(found[1].replace(",", ".")), parse_length_mm(span))
        check_within(count.span_mm, limits("count_span"), _("the length in mm counted over"))
        per_cm, within = count.number / count.span_mm * 10, limits(density)
        # A slip of the decimal point gives ten times too many or too few.
        factor = next((slip for slip in (10, 0.1) if within.holds(per_cm * slip)), None)
        rest = given.strip()[len(found[1]) :]
        guess = _("did you mean {slip}?", slip=f"{count.number * factor:g}{rest}") if factor else ""
        counted = _("wales") if density == "wales_per_cm" else _("courses")
        check_within(per_cm, within, _("the count of {what} in 1 cm", what=counted), guess)
        check_within(count.number, limits("count_number"), _("the number counted"))
        return count

    return Value(expects, convert)


def _check_amount(fields: Fields) -> None:
    """A reading says of how many rounds or loops it is, once."""
    fields.at_most_one("rounds", "loops")
    if not fields.given & {"rounds", "loops"}:
        fields.place.say(_("does not say for how much"), _("give rounds (whole ones) or loops"))


_SO_MUCH = (
    Key("rounds", number("reading_rounds"), "how many rounds of the tube", "as loops say"),
    Key("loops", number("loops"), "how many loops, for a piece that is not whole rounds", "rounds"),
)


def _stretch(fields: Fields) -> Stretch:
    stretch = Stretch(**fields.values)
    ratio = stretch.stretched_mm / stretch.relaxed_mm
    if not limits("stretch_ratio").holds(ratio):
        fields.say(
            "stretched",
            _("is {ratio:.3g} times the relaxed width", ratio=ratio),
            _("it should be {limits} times", limits=limits("stretch_ratio")),
        )
    return stretch


_UNRAVELLED = Table(
    'a table such as { rounds = 10, length = "7.9 m" }',
    (
        *_SO_MUCH,
        Key(
            "length",
            length("yarn_length"),
            "of the unravelled yarn, pulled just straight",
            needed=True,
            field="length_mm",
            label="Length of yarn",
        ),
    ),
    lambda fields: fields,
    _check_amount,
)
_WEIGHED = Table(
    'a table such as { rounds = 40, mass = "9.1 g" }',
    (
        *_SO_MUCH,
        Key(
            "mass",
            mass("piece_mass"),
            "of the piece",
            needed=True,
            field="mass_g",
        ),
    ),
    lambda fields: fields,
    _check_amount,
)
_ROUNDS_LENGTH = Table(
    'a table such as { rounds = 40, length = "9.6 cm" }',
    (
        Key("rounds", number("reading_rounds"), "how many rounds of the tube", needed=True),
        Key(
            "length",
            length("rounds_length"),
            "from the first to the last of them",
            needed=True,
            field="length_mm",
            label="Their length",
        ),
    ),
    lambda fields: RoundsLength(**fields.values),
)
_STRETCH = Table(
    'a table such as { relaxed = "10 cm", stretched = "18 cm", pull = "firm" }',
    (
        Key(
            "relaxed",
            length("stretch_width"),
            "width of the piece lying free",
            needed=True,
            field="relaxed_mm",
            label="Lying free",
        ),
        Key(
            "stretched",
            length("stretch_width"),
            "width of the same piece in a firm pull of both hands",
            needed=True,
            field="stretched_mm",
            label="Pulled with both hands",
        ),
        Key(
            "pull",
            choice(Pull),
            "how it was pulled: firm, as far as it goes, or gentle, which counts as a least only",
            "not said: as gentle",
            label="How it was pulled",
        ),
    ),
    _stretch,
)

_KEYS = (
    Key("name", text("a name"), "what you call the swatch", '"swatch" and its number'),
    Key("state", choice(State), "the state of the fabric when you measured it", needed=True),
    Key("needles", whole("needles"), "needles of the cylinder it was knitted on", needed=True),
    Key("yarn", choice(YARN_ROLES), "which of the order's yarns it was knitted with", "main"),
    Key("fabric", choice(Fabric), "what was knitted: plain, or a rib, hem or mock rib", "plain"),
    Key("cam", number("cam"), "the stitch-cam setting", "not noted", label="Cam setting"),
    Key(
        "weight_hung",
        mass("weight_hung"),
        "what pulled it down on the machine",
        "not noted",
        field="weight_hung_g",
        label="Weight hung on",
    ),
    Key(
        "felted",
        yes_or_no(),
        "whether washing has felted it",
        "false",
        label="It has felted",
    ),
    Key("date", day(), "when it was knitted", "not noted", label="Knitted on"),
    Key(
        "ruler",
        length("ruler"),
        "the ruler's smallest division",
        by_units(_("1 mm"), **{"in": _("0.04 in")}),
        field="ruler_mm",
        label="Division of the ruler",
    ),
    Key(
        "balance",
        mass("balance"),
        "the scale's smallest step",
        "1 g",
        field="balance_g",
        label="Step of the scale",
    ),
    Key(
        "wales",
        Many(count_over("wales_per_cm"), "readings"),
        "wales counted across a length",
        "none",
        more="One more count of wales",
    ),
    Key(
        "courses",
        Many(count_over("courses_per_cm"), "readings"),
        "courses counted along a length",
        "none",
        more="One more count of courses",
    ),
    Key(
        "unravelled",
        Many(_UNRAVELLED, "readings"),
        "yarn unravelled from it",
        "none",
        label="Unravelled yarn",
        more="One more unravelled piece",
    ),
    Key(
        "weighed",
        Many(_WEIGHED, "readings"),
        "a weighed piece",
        "none",
        label="Weighed pieces",
        more="One more weighed piece",
    ),
    Key(
        "flat_width",
        Many(length("flat_width"), "readings"),
        "width of the whole tube laid flat",
        "none",
        field="flat_widths_mm",
        label="Width laid flat",
        more="One more width",
    ),
    Key(
        "rounds_length",
        Many(_ROUNDS_LENGTH, "readings"),
        "length of so many rounds",
        "none",
        label="Length of rounds",
        more="One more length",
    ),
    Key(
        "stretch",
        Many(_STRETCH, "readings"),
        "how far it stretches in width",
        "none",
        more="One more stretch",
    ),
)


def _check_readings(fields: Fields) -> None:
    if not fields.given & set(READINGS):
        fields.place.say(
            _("holds no reading"),
            _("give at least one of {readings}", readings=READINGS),
        )


def _build(fields: Fields) -> SwatchGiven | None:
    values: dict[str, Any] = {"name": "", **fields.values}
    needles = values["needles"]
    for name, kind in (("unravelled", Unravelled), ("weighed", Weighed)):
        readings = [_in_loops(reading, needles, kind) for reading in values.get(name, ())]
        if None in readings:
            return None
        values[name] = tuple(readings)
    swatch = SwatchGiven(**values)
    _check_loops(swatch, fields.place)
    _check_swapped(swatch, fields)
    return swatch


def _check_swapped(swatch: SwatchGiven, fields: Fields) -> None:
    """Lying free, plain fabric has more courses than wales; a rib, or the machine's pull, may undo
    that."""
    if (
        swatch.fabric is not Fabric.PLAIN
        or swatch.state is State.ON_MACHINE
        or not swatch.wales
        or not swatch.courses
    ):
        return
    per_wale = _per_mm(swatch.courses) / _per_mm(swatch.wales)
    if per_wale < fact("order_limits", "courses_per_wale_least").number:
        fields.say(
            "wales",
            _("has more wales than courses; plain knitting has more courses"),
            _("have you swapped them?"),
        )


def _per_mm(counts: tuple[Count, ...]) -> float:
    """The count in 1 mm, the mean of several."""
    return sum(count.number / count.span_mm for count in counts) / len(counts)


def _in_loops(reading: Fields, needles: int, kind: Callable[..., Any]) -> Any:
    """The reading by its loops: every needle makes one loop a round. None if that is wrong."""
    values = dict(reading.values)
    rounds = values.pop("rounds", None)
    loops = values.pop("loops", None if rounds is None else rounds * needles)
    return None if loops is None else kind(loops=loops, **values)


def _check_loops(swatch: SwatchGiven, place: Place) -> None:
    for i, unravelled in enumerate(swatch.unravelled, 1):
        loop_mm = unravelled.length_mm / unravelled.loops
        _note(
            place.at("unravelled").item(i),
            loop_mm,
            "loop_length",
            _("the length in mm of a loop"),
        )
    for i, weighed in enumerate(swatch.weighed, 1):
        loop_g = weighed.mass_g / weighed.loops
        _note(place.at("weighed").item(i), loop_g, "loop_mass", _("the mass in g of a loop"))


def _note(place: Place, value: float, name: str, what: str) -> None:
    try:
        check_within(value, limits(name), what)
    except QuantityError as error:
        place.say(error.wrong, error.right)


SWATCH = Many(
    Table("a table with the readings of a swatch", _KEYS, _build, _check_readings), "swatches"
)
"""The swatches, in the file's order; None for one whose problems are noted."""
