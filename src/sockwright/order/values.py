"""The kinds of plain values in an order: texts, numbers, choices, quantities within limits."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from datetime import date, datetime
from difflib import get_close_matches
from enum import StrEnum
from math import isfinite
from typing import Any

from sockwright.errors import QuantityError
from sockwright.order.limits import Limits, limits
from sockwright.order.reader import Value, shown, what_is
from sockwright.quantities import parse_length_mm, parse_mass_g, parse_share, parse_weight_kg

LONGEST_TEXT = 200
"""Characters of a name or a title: more would not fit on any sheet."""

_UNPRINTABLE = ("Cc", "Cs", "Zl", "Zp")
_NUMBER_AND_UNIT = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*([A-Za-z]+)\s*")
_CLOCK = re.compile(r"(1[0-2]|0?[0-9]):([0-5][0-9])")
_SLIPS = ((0.1, None), (1.0, "mm"), (1.0, "cm"), (1.0, "m"), (1.0, "in"), (10.0, None))
"""What a slip of the pen does to a length: a digit too many, another unit, a digit too few."""
_CM_PER_INCH = 2.54


def text(expects: str, empty: bool = False) -> Value:
    """A line of text, outer blanks removed; `empty` allows none at all."""

    def convert(given: object) -> str:
        line = _as_text(given, expects)
        if not line and not empty:
            raise QuantityError("is empty", f"give {expects}")
        if len(line) > LONGEST_TEXT:
            raise QuantityError(f"has {len(line)} characters", f"{LONGEST_TEXT} are the most")
        if any(unicodedata.category(char) in _UNPRINTABLE for char in line):
            raise QuantityError("holds a line break or a control character", f"give {expects}")
        return line

    return Value(expects, convert)


def yes_or_no() -> Value:
    """true or false."""

    def convert(given: object) -> bool:
        if isinstance(given, bool):
            return given
        raise QuantityError(f"is {what_is(given)}", "give true or false, without quotes")

    return Value("true or false", convert)


def choice(kinds: type[StrEnum] | tuple[str, ...]) -> Value:
    """One of a few words, capitals or not; a StrEnum's member, or the word itself."""
    members: dict[str, Any] = {str(kind): kind for kind in kinds}
    by_word = {word.casefold(): kind for word, kind in members.items()}
    expects = _listed([f'"{word}"' for word in members])

    def convert(given: object) -> Any:
        word = " ".join(_as_text(given, expects).casefold().replace("_", " ").split())
        if word in by_word:
            return by_word[word]
        close = get_close_matches(word[:80], by_word, n=1)
        meant = f'did you mean "{by_word[close[0]]}"? Give ' if close else "give "
        raise QuantityError(f"{shown(str(given))} is not known here", meant + expects)

    return Value(expects, convert)


def number(name: str, expects: str = "a number") -> Value:
    """A number within the limits `name`."""
    within = limits(name)

    def convert(given: object) -> float:
        return _within(_as_number(given, within), within)

    return Value(f"{expects}, {within}", convert)


def whole(name: str, expects: str = "a whole number") -> Value:
    """A whole number within the limits `name`."""
    within = limits(name)

    def convert(given: object) -> int:
        value = _as_number(given, within)
        if not value.is_integer():
            raise QuantityError(f"{value:g} is not a whole number", f"give {within}")
        return int(_within(value, within))

    return Value(f"{expects}, {within}", convert)


def length(name: str, longer_than: str) -> Value:
    """A length in mm within the limits `name`; `longer_than` ends "is longer than ..."."""
    return _quantity(parse_length_mm, "a length", name, ("shorter", "longer"), longer_than)


def mass(name: str, heavier_than: str) -> Value:
    """A mass in g within the limits `name`; `heavier_than` ends "is heavier than ..."."""
    return _quantity(parse_mass_g, "a mass", name, ("lighter", "heavier"), heavier_than)


def weight(name: str, heavier_than: str) -> Value:
    """A person's weight in kg within the limits `name`."""
    return _quantity(parse_weight_kg, "a weight", name, ("lighter", "heavier"), heavier_than)


def share(name: str | None = None) -> Value:
    """A share such as "10 %" or 0.10 within the limits `name` (None: 0 to 1), maybe negative."""
    within = limits(name) if name else Limits("share", 0.0, 1.0, "1")
    expects = f"a share, {_percent(within.least)} to {_percent(within.most)}"

    def convert(given: object) -> float:
        if isinstance(given, bool) or not isinstance(given, str | int | float):
            raise QuantityError(f"is {what_is(given)}", f"give {expects}")
        value = signed_share(given)
        if within.holds(value):
            return value
        raise QuantityError(f"{_percent(value)} is out of range", f"give {expects}")

    return Value(expects, convert)


def hour() -> Value:
    """An hour of the clock face, 0 to 12, as a number or as "9:30"."""
    within = limits("hour")
    expects = 'an hour on a clock face, such as 4 or "9:30"'

    def convert(given: object) -> float:
        if isinstance(given, str):
            clock = _CLOCK.fullmatch(given.strip())
            if clock is None:
                raise QuantityError(f"{shown(given)} is not an hour", f"give {expects}")
            return _on_the_face(int(clock[1]) + int(clock[2]) / 60.0)
        value = _as_number(given, within)
        if not within.least <= value < within.most:
            raise QuantityError(f"{value:g} is not on a clock face", f"give {expects}")
        return _on_the_face(value)

    return Value(expects, convert)


def day() -> Value:
    """A date, kept as the text "2025-11-03"."""
    expects = "a date such as 2025-11-03"

    def convert(given: object) -> str:
        if isinstance(given, date) and not isinstance(given, datetime):
            return given.isoformat()
        try:
            return date.fromisoformat(_as_text(given, expects)).isoformat()
        except ValueError as error:
            raise QuantityError(f"is {what_is(given)}", f"give {expects}") from error

    return Value(expects, convert)


def check_within(value: float, within: Limits, what: str, right: str = "") -> float:
    """The value, or QuantityError saying that `what` is out of its limits."""
    if within.holds(value):
        return value
    raise QuantityError(f"{what} is {value:.4g}", right or f"it should be {within}")


def _quantity(
    parse: Callable[[object], float], kind: str, name: str, words: tuple[str, str], than: str
) -> Value:
    within = limits(name)
    expects = f"{kind}, {within}"

    def convert(given: object) -> float:
        if not isinstance(given, str):
            wrong = f"is {what_is(given)}"
            raise QuantityError(wrong, f"write it in quotes with its unit: give {expects}")
        value = parse(given)
        if within.holds(value):
            return value
        guess = likely_length(given, within.holds) if parse is parse_length_mm else None
        right = f"did you mean {guess}?" if guess else f"give {expects}"
        raise QuantityError(
            f"{' '.join(given.split())} is {words[value > within.least]} than {than}", right
        )

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
        raise QuantityError(f"is {what_is(given)}", f"give {expects}, in quotes")
    return given.strip()


def _as_number(given: object, within: Limits) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise QuantityError(f"is {what_is(given)}", f"give a number without quotes, {within}")
    if not isfinite(given) if isinstance(given, float) else abs(given) > 1e15:
        raise QuantityError("is a number beyond all measure", f"give {within}")
    return float(given)


def _within(value: float, within: Limits) -> float:
    if within.holds(value):
        return value
    raise QuantityError(f"{value:g} is out of range", f"give {within}")


def signed_share(given: str | int | float) -> float:
    """A share that may be negative, such as "-5 %"; QuantityError if it is none."""
    if isinstance(given, str):
        line = given.strip().replace("\u2212", "-")
        return -parse_share(line[1:]) if line.startswith("-") else parse_share(line)
    return -parse_share(-given) if given < 0 else parse_share(given)


def _on_the_face(value: float) -> float:
    return value - 12.0 if value > 12.0 else value


def _percent(value: float) -> str:
    return f"{value * 100:.4g} %"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
