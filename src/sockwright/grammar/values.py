"""The kinds of plain values in an order: texts, numbers, choices, quantities within limits."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from difflib import get_close_matches
from enum import StrEnum
from math import isfinite
from typing import Any

from sockwright.errors import QuantityError
from sockwright.facts import table
from sockwright.grammar.bounds import Limits, limits
from sockwright.grammar.declare import Value, WrittenAs, give, it_is, shown
from sockwright.i18n import N_, Message, _, listed
from sockwright.i18n.printable import has_ink, normal, normal_lines, unprintable
from sockwright.quantities import parse_length_mm, parse_mass_g, parse_share, parse_weight_kg

LONGEST_TEXT = 200
"""Characters of a name or a title: more would not fit on any sheet."""

LONGEST_NOTE = 20_000
"""Characters of a note: some pages."""

_HEX = re.compile(r"#[0-9a-fA-F]{6}")
_NUMBER_AND_UNIT = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*([A-Za-z]+)\s*")
_CLOCK = re.compile(r"(1[0-2]|0?[0-9]):([0-5][0-9])")
_SLIPS = ((0.1, None), (1.0, "mm"), (1.0, "cm"), (1.0, "m"), (1.0, "in"), (10.0, None))
"""What a slip of the pen does to a length: a digit too many, another unit, a digit too few."""
_CM_PER_INCH = 2.54
SHORT_OR_LONG = (N_("{given} is too short"), N_("{given} is too long"))
LIGHT_OR_HEAVY = (N_("{given} is too light"), N_("{given} is too heavy"))
"""What is wrong with a quantity below its limits and above them."""


def text(expects: str, empty: bool = False, known: tuple[str, ...] = ()) -> Value:
    """A line of text in composed letters, outer blanks removed; `empty` allows none at all."""

    def convert(given: object) -> str:
        line = normal(_as_text(given, expects))
        if not has_ink(line) and not (empty and not line):
            raise QuantityError(_("is empty"), give(expects))
        return _sound(line, LONGEST_TEXT, expects)

    return Value(expects, convert, known=known)


def prose(expects: str) -> Value:
    """Text of several lines in composed letters, outer blanks removed, its lines ended our way."""

    def convert(given: object) -> str:
        lines = normal_lines(given).strip() if isinstance(given, str) else ""
        if isinstance(given, str) and not has_ink(lines):
            raise QuantityError(_("is empty"), give(expects))
        return lines_of(given, expects).strip()

    return Value(expects, convert, WrittenAs.LINES)


def lines_of(given: object, expects: str) -> str:
    """Lines of text in composed letters, just as they stand; QuantityError for what is none."""
    if not isinstance(given, str):
        raise QuantityError(it_is(given), give(expects))
    return _sound(normal_lines(given), LONGEST_NOTE, expects, lines=True)


def _sound(text: str, most: int, expects: str, *, lines: bool = False) -> str:
    """The text, if it is not too long and each of its signs may stand in a text."""
    if len(text) > most:
        raise QuantityError(
            _("has {count} characters", count=len(text)), _("{most} are the most", most=most)
        )
    if sign := unprintable(text, lines=lines):
        if not lines and not unprintable(text, lines=True):
            raise QuantityError(_("holds a line break or a tab"), give(expects))
        wrong = _("holds the sign {sign}, which no text may have", sign=sign)
        raise QuantityError(wrong, _("leave it out"))
    return text


def colour() -> Value:
    """A colour that can be drawn: a name of `facts/colours.toml`, "#RRGGBB", or "" for none."""
    known = tuple(table("colours"))
    expects = _('a colour by its name, such as "red", or as "#rrggbb"')

    def convert(given: object) -> str:
        name = " ".join(_as_text(given, expects).split())
        if name.casefold() in known:
            return name.casefold()
        if not name or _HEX.fullmatch(name):
            return name
        names = tuple(_(one) for one in known)
        raise QuantityError(
            _("{given} is not a colour Sockwright knows", given=shown(name)),
            _('give it as "#rrggbb" or by one of these names: {names}', names=names),
        )

    return Value(expects, convert, known=known)


def yes_or_no() -> Value:
    """true or false."""

    def convert(given: object) -> bool:
        if isinstance(given, bool):
            return given
        raise QuantityError(it_is(given), _("give true or false, without quotes"))

    return Value(_("true or false"), convert, WrittenAs.YES_OR_NO)


def choice(kinds: type[StrEnum] | tuple[str, ...]) -> Value:
    """One of a few words, capitals or not; a StrEnum's member, or the word itself."""
    members: dict[str, Any] = {str(kind): kind for kind in kinds}
    by_word = {word.casefold(): kind for word, kind in members.items()}
    expects = listed([f'"{word}"' for word in members], "or")

    def convert(given: object) -> Any:
        word = " ".join(_as_text(given, expects).casefold().replace("_", " ").split())
        if word in by_word:
            return by_word[word]
        close = get_close_matches(word[:80], by_word, n=1)
        right = give(expects)
        if close:
            meant = str(by_word[close[0]])
            right = _('did you mean "{meant}"? Give {expects}', meant=meant, expects=expects)
        raise QuantityError(_("{given} is unknown", given=shown(str(given))), right)

    return Value(expects, convert, words=tuple(members))


def number(name: str, expects: str = _("a number")) -> Value:
    """A number within the limits `name`."""
    within = limits(name)

    def convert(given: object) -> float:
        return _within(_as_number(given, within), within)

    expects = _("{what}, {within}", what=_(expects), within=within.words)
    return Value(expects, convert, WrittenAs.NUMBER)


def whole(name: str, expects: str = _("a whole number")) -> Value:
    """A whole number within the limits `name`."""
    within = limits(name)

    def convert(given: object) -> int:
        value = _as_number(given, within)
        if not value.is_integer():
            raise QuantityError(
                _("{value:g} is not a whole number", value=value),
                give(within.words),
            )
        return int(_within(value, within))

    expects = _("{what}, {within}", what=_(expects), within=within.words)
    return Value(expects, convert, WrittenAs.NUMBER)


def length(name: str) -> Value:
    """A length in mm within the limits `name`."""
    return _quantity(parse_length_mm, _("a length"), name, SHORT_OR_LONG)


def mass(name: str) -> Value:
    """A mass in g within the limits `name`."""
    return _quantity(parse_mass_g, _("a mass"), name, LIGHT_OR_HEAVY)


def weight(name: str) -> Value:
    """A person's weight in kg within the limits `name`."""
    return _quantity(parse_weight_kg, _("a weight"), name, LIGHT_OR_HEAVY)


def share(name: str | None = None) -> Value:
    """A share such as "10 %" or 0.10 within the limits `name` (None: 0 to 1), maybe negative."""
    within = limits(name) if name else Limits("share", 0.0, 1.0, "1")
    expects = _(
        "a share, {least} to {most}", least=_percent(within.least), most=_percent(within.most)
    )

    def convert(given: object) -> float:
        if isinstance(given, bool) or not isinstance(given, str | int | float):
            raise QuantityError(it_is(given), give(expects))
        value = signed_share(given)
        if within.holds(value):
            return value
        raise QuantityError(
            _("{value} is out of range", value=_percent(value)),
            give(expects),
        )

    return Value(expects, convert, WrittenAs.NUMBER_OR_TEXT)


def hour() -> Value:
    """An hour of the clock face, 0 to 12, as a number or as "9:30"."""
    within = limits("hour")
    expects = _('an hour on a clock face, such as 4 or "9:30"')

    def convert(given: object) -> float:
        if isinstance(given, str):
            clock = _CLOCK.fullmatch(given.strip())
            if clock is None:
                raise QuantityError(
                    _("{given} is not an hour", given=shown(given)),
                    give(expects),
                )
            return _on_the_face(int(clock[1]) + int(clock[2]) / 60.0)
        value = _as_number(given, within)
        if not within.least <= value < within.most:
            raise QuantityError(
                _("{value:g} is not on a clock face", value=value),
                give(expects),
            )
        return _on_the_face(value)

    return Value(expects, convert, WrittenAs.NUMBER_OR_TEXT)


def day() -> Value:
    """A date, kept as the text "2025-11-03"."""
    expects = _("a date such as 2025-11-03")

    def convert(given: object) -> str:
        if isinstance(given, date) and not isinstance(given, datetime):
            return given.isoformat()
        try:
            return date.fromisoformat(_as_text(given, expects)).isoformat()
        except ValueError as error:
            raise QuantityError(it_is(given), give(expects)) from error

    return Value(expects, convert, WrittenAs.DAY)


def check_within(value: float, within: Limits, what: str, right: str = "") -> float:
    """The value, or QuantityError saying that `what` is out of its limits."""
    if within.holds(value):
        return value
    raise QuantityError(
        _("{what} is {value:.4g}", what=what, value=value),
        right or _("it should be {within}", within=within.words),
    )


def _quantity(
    parse: Callable[[object], float], kind: str, name: str, wrong: tuple[str, str]
) -> Value:
    within = limits(name)
    expects = _("{what}, {within}", what=kind, within=within.words)

    def convert(given: object) -> float:
        if not isinstance(given, str):
            raise QuantityError(
                it_is(given),
                _("write it in quotes with its unit: give {expects}", expects=expects),
            )
        value = parse(given)
        if within.holds(value):
            return value
        guess = likely_length(given, within.holds) if parse is parse_length_mm else None
        right = _("did you mean {guess}?", guess=guess) if guess else give(expects)
        raise QuantityError(_(wrong[value > within.least], given=" ".join(given.split())), right)

    return Value(expects, convert)


def likely_length(given: str, fits: Callable[[float], bool]) -> str | None:
    """The length that a slip of the pen may have turned into the one given, if one `fits`.

    `fits` takes a length in mm. The last slip tried is that of turning cm into cm by 2.54.
    """
    found = _NUMBER_AND_UNIT.fullmatch(given)
    if found is None:
        return None
    number = float(found[1])
    guesses = [f"{number * factor:g} {unit or found[2]}" for factor, unit in _SLIPS]
    if found[2].lower() == "cm":
        guesses.append(f"{number / _CM_PER_INCH:.1f} cm")
    return next((guess for guess in guesses if _fits(guess, fits)), None)


def _fits(guess: str, fits: Callable[[float], bool]) -> bool:
    try:
        return fits(parse_length_mm(guess))
    except QuantityError:
        return False


def _as_text(given: object, expects: str) -> str:
    if not isinstance(given, str):
        raise QuantityError(
            it_is(given),
            _("give {expects}, in quotes", expects=_(expects)),
        )
    return given.strip()


def _as_number(given: object, within: Limits) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise QuantityError(
            it_is(given),
            _("give a number without quotes, {within}", within=within.words),
        )
    if not isfinite(given) if isinstance(given, float) else abs(given) > 1e15:
        raise QuantityError(_("is a number beyond all measure"), give(within.words))
    return float(given)


def _within(value: float, within: Limits) -> float:
    if within.holds(value):
        return value
    raise QuantityError(_("{value:g} is out of range", value=value), give(within.words))


def signed_share(given: str | int | float) -> float:
    """A share that may be negative, such as "-5 %"; QuantityError if it is none."""
    if isinstance(given, str):
        line = given.strip().replace("\u2212", "-")
        return -parse_share(line[1:]) if line.startswith("-") else parse_share(line)
    return -parse_share(-given) if given < 0 else parse_share(given)


def _on_the_face(value: float) -> float:
    return value - 12.0 if value > 12.0 else value


def _percent(value: float) -> Message:
    return _("{percent:.4g} %", percent=value * 100)
