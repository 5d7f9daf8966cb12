"""What is written down of a finished pair: how it fits, what it measures, how it was knitted."""

from __future__ import annotations

from sockwright.grammar.declare import Fields, Key, Table, give
from sockwright.grammar.values import choice, day, length, mass, number, prose, whole, yes_or_no
from sockwright.i18n import _
from sockwright.order.finished import ANSWERS, COUNTS
from sockwright.order.model import State

LENGTHS = ("foot", "leg", "height", "cuff", "flat_width", "leg_flat_width")
"""The lengths of one sock; of the pair's other sock some of them."""

_FOOT = Key("foot", length("length"), "from heel to toe", "not measured")
_LEG = Key("leg", length("leg_length"), "the leg alone, from cuff to heel", "not measured")
_FLAT = Key("flat_width", length("flat_width"), "the foot laid flat", "not measured")
_LEG_FLAT = Key("leg_flat_width", length("flat_width"), "the leg laid flat", "not measured")
_MASS = Key("mass", mass("sock_mass"), "what the sock weighs, dry", "not weighed")

SECOND = Table(
    "a table of the other sock's measures",
    (_FOOT, _LEG, _FLAT, _LEG_FLAT, _MASS),
    lambda fields: fields,
)

SIZES = (*LENGTHS, "mass", "second")
"""What tells nothing unless the state of the sock is told too."""


def _check(fields: Fields) -> None:
    if fields.given & set(SIZES) and "state" not in fields.given:
        fields.say("state", _("is missing"), give(choice(State).expects))


MEASURED = Table(
    "a table of the finished sock's measures",
    (
        Key("state", choice(State), "the state of the fabric, where anything is measured"),
        _FOOT,
        _LEG,
        Key("height", length("sock_height"), "from floor to top", "not measured"),
        Key("cuff", length("cuff_depth"), "the cuff as it is seen", "not measured"),
        _FLAT,
        _LEG_FLAT,
        _MASS,
        Key("date", day(), "when it was finished", "not noted"),
        Key("washes", whole("washes"), "how often it was washed and dried before", "1"),
        *COUNTS,
        Key("cam", number("cam"), "the stitch-cam setting of its foot", "as planned"),
        Key("second", SECOND, "the pair's other sock", "not measured"),
        Key("confirmed", yes_or_no(), "whether an odd measure was looked at again", "false"),
        Key("answers", ANSWERS, "how it fits its wearer", "not asked"),
        Key("worn", prose("a text"), "how it wears", "not noted"),
    ),
    lambda fields: fields,
    _check,
)
"""The measured sock is the first of the pair where `second` tells of the other."""
