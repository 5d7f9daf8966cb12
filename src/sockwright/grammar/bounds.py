"""What an order may hold and say at most and at least, from the tables of facts.

The bounds of a TOML text are found out before it is parsed: a parser keeps every prefix of a dotted
key, so that 180 kB of dots take 10 GB; no other part of a text costs it more than a moment once
keys, brackets and values are bounded. Strings and comments are set aside by TOML's own rules. Where
a string does not end, the parser stops too, and so does the look at what follows it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil, floor

from sockwright.facts import fact, table
from sockwright.facts.feet import foot_ranges
from sockwright.i18n import N_, Message, _, by_units, numeral

TOO_MANY = N_("has {count} entries")
"""What is wrong with a list that is longer than its limit; a template."""

AT_MOST = N_("{most} are the most")
"""What would be right; a template."""

LONG_MM = 3000
"""From here on lengths are shown in metres or yards."""

_STRING_OR_COMMENT = re.compile(
    r'''
    """(?:[^"\\]|\\.|"(?!""))*+(?:"{3,5}|\\?\Z)
    |\'\'\'(?:[^']|'(?!\'\'))*+(?:'{3,5}|\Z)
    |"(?:[^"\\\n]|\\[^\n])*+(?:"|.*)
    |'[^'\n]*+(?:'|.*)
    |\#[^\n]*+
    ''',
    re.VERBOSE | re.DOTALL,
)

_PIECE = re.compile(r"[^\n=,\[\]{}]+")
"""A key with all its parts, or a plain value."""

_ENDS_OF_WORDS = re.compile(r'[\s."]+')
_BRACKET = re.compile(r"[\[\]{}]")


def most(name: str) -> int:
    """The most of `name`; KeyError if the facts have none."""
    return int(fact("order_sizes", name).number)


@dataclass(frozen=True)
class Limits:
    """The range of one value, ends included, in `unit`; `name` as in the facts' table."""

    name: str
    least: float
    most: float
    unit: str

    def holds(self, value: float) -> bool:
        """Whether `value` lies in the range; never for a value that is not a number."""
        return self.least <= value <= self.most

    @property
    def words(self) -> Message:
        """The range in words."""
        return _(
            "{least} to {most}",
            least=_shown(self.least, self.unit, ceil),
            most=_shown(self.most, self.unit, floor),
        )

    def __str__(self) -> str:
        return str(self.words)


def limits(name: str) -> Limits:
    """The limits of `name`, a foot's measure too; KeyError if the facts have none."""
    facts = table("order_limits") | foot_ranges()
    least, most = facts[f"{name}_least"], facts[f"{name}_most"]
    return Limits(name, least.number, most.number, least.unit)


def _shown(value: float, unit: str, inward: Callable[[float], int]) -> Message:
    """The value as a maker writes it: longer lengths in cm or m, counts without a unit.

    Readers of inches get inches or yards, rounded `inward` so that they are within the range.
    """
    if unit != "mm":
        return _plain(value) if unit in ("1", "year") else _with(value, unit)
    times, small, large = (1000, "m", "yd") if value >= LONG_MM else (1, "mm", "in")
    usual = _with(value / 10, "cm") if 10 <= value < LONG_MM else _with(value / times, small)
    other = table("units")["yard" if large == "yd" else "inch"].number
    inches = inward(round(100 * value / other, 6)) / 100
    return by_units(usual, **{"in": _with(inches, large)})


def _with(value: float, unit: str) -> Message:
    return _("{value} {unit}", value=_plain(value), unit=unit)


def _plain(value: float) -> Message:
    """The number without an exponent."""
    return numeral(f"{value:.0f}" if value.is_integer() else f"{value:g}")


@dataclass(frozen=True)
class LimitExceeded:
    """A limit that a text exceeds: its name in the table of sizes, and the message for it."""

    limit: str
    wrong: Message
    right: Message


def beyond(text: str) -> LimitExceeded | None:
    """The first limit that the text goes beyond; None where it may be parsed."""
    if len(text) > most("order_bytes"):
        return LimitExceeded(
            "order_bytes",
            _("is far too large for an order"),
            _("give a text of {most} kB at most", most=most("order_bytes") // 1000),
        )
    bare = _STRING_OR_COMMENT.sub(_emptied, text)
    return next(iter([*_too_many(bare), *_too_deep(bare), *_too_long(bare)]), None)


def _emptied(found: re.Match[str]) -> str:
    """A string as one sign, on as many lines as it had; a comment as nothing."""
    token = found[0]
    return "" if token.startswith("#") else '"' + "\n" * token.count("\n")


def _too_many(bare: str) -> Iterator[LimitExceeded]:
    values = sum(bare.count(sign) for sign in "=,[{")
    if values > most("values"):
        yield LimitExceeded(
            "values",
            _("holds {count} values", count=values),
            _("{most} are the most in one file", most=most("values")),
        )


def _too_deep(bare: str) -> Iterator[LimitExceeded]:
    depth, deepest = 0, most("nesting")
    for bracket in _BRACKET.finditer(bare):
        depth = depth + 1 if bracket[0] in "[{" else max(depth - 1, 0)
        if depth > deepest:
            yield LimitExceeded(
                "nesting",
                _(
                    "line {line} has brackets within brackets more than {most} deep",
                    line=_line(bare, bracket.start()),
                    most=deepest,
                ),
                _("nest less"),
            )
            return


def _too_long(bare: str) -> Iterator[LimitExceeded]:
    most_parts, most_characters = most("key_parts"), most("word_characters")
    for piece in _PIECE.finditer(bare):
        text, line = piece[0], piece.start()
        if text.count(".") >= most_parts:
            wrong = _(
                "line {line} has a key of {parts} parts",
                line=_line(bare, line),
                parts=text.count(".") + 1,
            )
            right = _("a key has {most} parts at most", most=most_parts)
            yield LimitExceeded("key_parts", wrong, right)
            return
        longest = len(text) if len(text) <= most_characters else _longest_word(text)
        if longest > most_characters:
            wrong = _(
                "line {line} has a key or a number of {count} characters",
                line=_line(bare, line),
                count=longest,
            )
            yield LimitExceeded(
                "word_characters", wrong, _("give {most} at most", most=most_characters)
            )
            return


def _longest_word(text: str) -> int:
    return max(map(len, _ENDS_OF_WORDS.split(text)))


def _line(bare: str, position: int) -> int:
    return bare.count("\n", 0, position) + 1
