"""What a kept thing has besides its document, as it may be written: references, status, log."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from unicodedata import category

from sockwright.errors import QuantityError
from sockwright.grammar.bounds import limits
from sockwright.grammar.declare import (
    WRONG,
    Fields,
    FieldType,
    Key,
    Place,
    Table,
    Value,
    WrittenAs,
    give,
    it_is,
)
from sockwright.grammar.values import choice, day, prose
from sockwright.i18n import _, either
from sockwright.machine import FEWEST_NEEDLES, MOST_NEEDLES
from sockwright.order.document import MOST_BYTES
from sockwright.order.model import YARN_ROLES
from sockwright.quantities import parse_mass_g
from sockwright.workshop.measured import MEASURED

PLANNED, BEING_MADE, MADE = "planned", "being made", "made"
STATUSES = (PLANNED, BEING_MADE, MADE)
STATUS_WORDS = {
    PLANNED: _("planned"),
    BEING_MADE: _("in progress"),
    MADE: _("finished"),
}
"""How a reader is told where a pair stands."""

LONGEST_MOMENT = 40
"""Characters of a moment: one with its time zone, to the microsecond, has fewer."""

MOST_ROUNDS = 5_000
"""Rounds a log may tell of: more than any sock has."""


def moment() -> Value:
    """A day with or without its time, kept as it was typed."""
    expects = _('a day, maybe with the time, such as "2025-11-03 19:20"')

    def convert(given: object) -> str:
        text = given if isinstance(given, str) else ""
        try:
            # Python takes any sign at all between day and time, half characters too.
            if len(text) > LONGEST_MOMENT or not (text.isascii() and text.isprintable()):
                raise ValueError(text)
            datetime.fromisoformat(text)
        except ValueError as error:
            raise QuantityError(it_is(given), give(expects)) from error
        return text

    return Value(expects, convert)


def rounds() -> Value:
    """Rounds counted."""
    expects = _("a whole number, 0 to {most}", most=MOST_ROUNDS)

    def convert(given: object) -> int:
        if isinstance(given, bool) or not isinstance(given, int):
            raise QuantityError(it_is(given), give(expects))
        if not 0 <= given <= MOST_ROUNDS:
            raise QuantityError(_("{given} is out of range", given=given), give(expects))
        return given

    return Value(expects, convert, WrittenAs.NUMBER)


def mass_left() -> Value:
    """What a yarn weighs after a sock: nothing, too."""
    most = limits("on_hand").most
    expects = _(
        'what the scale shows, such as "62 g", up to {most:g} g; "0 g" if it is used up', most=most
    )

    def convert(given: object) -> float:
        mass_g = parse_mass_g(given)
        if mass_g > most:
            raise QuantityError(_("is heavier than any stock of yarn"), give(expects))
        return mass_g

    return Value(expects, convert)


_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass(frozen=True)
class Nullable:
    """A value, or None for nothing."""

    one: FieldType

    @property
    def expects(self) -> str:
        """What to write."""
        return _("{what}, or nothing", what=_(self.one.expects))

    def read(self, given: object, place: Place) -> Any:
        """The value, None, or WRONG."""
        return None if given is None else self.one.read(given, place)


@dataclass(frozen=True)
class ArrayOf:
    """An array, each item of one kind; `limit` names the most in `facts/order_sizes.toml`."""

    one: FieldType
    limit: str = ""

    @property
    def expects(self) -> str:
        """What to write."""
        return _("an array, each {what}", what=_(self.one.expects))

    def read(self, given: object, place: Place) -> Any:
        """The items, those with problems too, for the problems are noted."""
        if not isinstance(given, list):
            place.say(it_is(given), give(self.expects))
            return ()
        if self.limit and place.holds_too_many(len(given), self.limit):
            return ()
        return tuple(self.one.read(item, place.item(i)) for i, item in enumerate(given, 1))


def whole(least: int, most: int) -> Value:
    """A whole number from `least` to `most`."""
    expects = _("a whole number, {least} to {most}", least=least, most=most)

    def convert(given: object) -> int:
        if isinstance(given, bool) or not isinstance(given, int):
            raise QuantityError(it_is(given), give(expects))
        if not least <= given <= most:
            raise QuantityError(_("is out of range"), give(expects))
        return given

    return Value(expects, convert)


def thing_id() -> Value:
    """The id of a thing, a UUID in small letters."""
    return _checked(_("an id"), lambda given: isinstance(given, str) and _ID.fullmatch(given))


def _checked(expects: str, holds: Callable[[object], object]) -> Value:
    def convert(given: object) -> object:
        if not holds(given):
            raise QuantityError(it_is(given), give(expects))
        return given

    return Value(expects, convert)


def _is_needles(given: object) -> bool:
    return type(given) is int and FEWEST_NEEDLES <= given <= MOST_NEEDLES


def _is_text(given: object) -> bool:
    """Whether it is a text of whole characters that a file, and every database, can hold."""
    if not isinstance(given, str) or len(given) > MOST_BYTES or "\0" in given:
        return False
    return not any(category(sign) == "Cs" for sign in given)


@dataclass(frozen=True)
class QuotedDay:
    """A day, kept as the text that it was typed as."""

    expects = _("a day in quotes")

    def read(self, given: object, place: Place) -> Any:
        """The text, or WRONG."""
        if not isinstance(given, str):
            place.say(it_is(given), give(self.expects))
            return WRONG
        return WRONG if day().read(given, place) is WRONG else given


def _as_read(fields: Fields) -> dict[str, Any]:
    return dict(fields.values)


LOG_ENTRY = Table(
    "a table of what happened",
    (
        Key("time", moment(), "when it was", needed=True),
        Key("sock", choice(("left", "right", "first", "second")), "which of the pair", "either"),
        Key("rounds", rounds(), "the rounds knitted so far", "not noted"),
        Key("deviation", prose("a text"), "what was done otherwise than planned", "none"),
        Key("note", prose("a text"), "what else is worth knowing", "none"),
    ),
    lambda fields: fields,
)

LEFT = Table(
    "a table of what each yarn weighs now",
    tuple(Key(role, mass_left(), "what is left of it", "not weighed") for role in YARN_ROLES),
    _as_read,
)

YARNS = Table(
    "a yarn for each role",
    tuple(Key(role, thing_id(), "its yarn", needed=role == "main") for role in YARN_ROLES),
    _as_read,
)
OF_A_PAIR: dict[str, FieldType] = {
    "design_id": Nullable(thing_id()),
    "yarns": YARNS,
    "swatches": ArrayOf(thing_id(), "swatches"),
    "needles": Nullable(
        _checked(
            _("needles, {fewest} to {most}", fewest=FEWEST_NEEDLES, most=MOST_NEEDLES),
            _is_needles,
        )
    ),
    "status": _checked(either(STATUSES), lambda given: given in STATUSES),
    "order_toml": _checked(_("the order as TOML"), _is_text),
    "log": ArrayOf(LOG_ENTRY, "log_entries"),
    "measured": Nullable(MEASURED),
    "left": Nullable(LEFT),
}
"""How the fields of a pair are written that are not a reference to one thing."""
