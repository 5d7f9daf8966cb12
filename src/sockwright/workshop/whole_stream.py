"""The JSON of a workshop's file, taken apart item by item within bounds.

Python's own reader makes 20 bytes of objects out of each byte of `[],[],...`. So the text is first
walked from bracket to bracket, strings skipped, without making anything; then each item is read by
itself and let go of.
"""

from __future__ import annotations

import json
import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from typing import Any, NoReturn

from sockwright.i18n import Message, _

MOST_BYTES = 32_000_000
"""Larger than a workshop of many years; whatever is larger was picked by mistake."""

MOST_ITEM_BYTES = 4_000_000
"""One thing with all it ever was."""

MOST_ITEMS = 200_000
"""Things and entries of logs in all."""

MOST_NESTING = 16
MOST_BRACKETS = 400_000
"""Tables and arrays in all: an entry of a log is one, a version of a pair a dozen."""

MOST_VALUES = 2_000_000
"""Values in all, counted by their commas."""

_NEXT_BRACKET = re.compile(rb'(?:[^"\[\]{}]++|"(?:[^"\\]++|\\.)*+")*+([\[\]{}])', re.DOTALL)
_STRING = re.compile(rb'"(?:[^"\\]++|\\.)*+"', re.DOTALL)
_PLAIN = re.compile(rb'[^\s,\[\]{}"]++')
_BLANKS = re.compile(rb"[ \t\r\n]*+")
_MARK = b"\xef\xbb\xbf"


class NotJson(ValueError):
    """A text that is no JSON object."""


class TooMuch(ValueError):
    """A file beyond one of the limits above: its name, what is wrong, what would be right."""

    def __init__(self, limit: str, wrong: Message, right: Message) -> None:
        super().__init__(wrong)
        self.limit, self.wrong, self.right = limit, wrong, right


@dataclass(frozen=True)
class Items:
    """The items of an array of the file, by where each begins and ends."""

    data: bytes
    places: array[int]

    def __iter__(self) -> Iterator[Any]:
        """Each item, read when it is asked for; NotJson for one that is none."""
        for at in range(0, len(self.places), 2):
            yield value_of(self.data[self.places[at] : self.places[at + 1]])


def outline(data: bytes) -> dict[str, Items | bytes]:
    """What stands in the file's object by its keys: arrays as `Items`, all else unread.

    Raises NotJson, and TooMuch for what is beyond the limits.
    """
    if len(data) > MOST_BYTES:
        raise TooMuch(
            "MOST_BYTES",
            _("is far too large for a workshop"),
            _("give an exported workshop, {most} MB at most", most=MOST_BYTES // 1_000_000),
        )
    return _Walk(data).all()


def value_of(text: bytes) -> Any:
    """One JSON value; NotJson where it is none."""
    try:
        return _DECODER.decode(text.decode("utf-8"))
    except (ValueError, RecursionError) as error:
        raise NotJson(str(error)) from error


class _Walk:
    """One way through a text, from sign to sign."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.at = len(_MARK) if data.startswith(_MARK) else 0
        self.brackets = 0
        self.values = 0

    def all(self) -> dict[str, Items | bytes]:
        found: dict[str, Items | bytes] = {}
        self.expect(b"{")
        if not self.comes(b"}"):
            while True:
                key = self.key()
                self.expect(b":")
                found[key] = self.items() if self.sign() == b"[" else self.data[slice(*self.one())]
                if not self.comes(b","):
                    break
            self.expect(b"}")
        if self.sign():
            raise NotJson("goes on after its end")
        return found

    def key(self) -> str:
        self.sign()
        found = _STRING.match(self.data, self.at)
        if found is None:
            raise NotJson("has no key")
        self.at = found.end()
        return str(value_of(found[0]))

    def items(self) -> Items:
        places = array("Q")
        self.expect(b"[")
        if not self.comes(b"]"):
            while True:
                places.extend(self.one())
                if len(places) > 2 * MOST_ITEMS:
                    raise _too_many("MOST_ITEMS", MOST_ITEMS)
                if not self.comes(b","):
                    break
            self.expect(b"]")
        return Items(self.data, places)

    def one(self) -> tuple[int, int]:
        """Where the next value begins and ends; it is passed over."""
        sign, start = self.sign(), self.at
        if sign in (b"[", b"{"):
            self.at = self.closed(start)
        else:
            found = (_STRING if sign == b'"' else _PLAIN).match(self.data, start)
            if found is None:
                raise NotJson("lacks a value")
            self.at = found.end()
        self.values += self.data.count(b",", start, self.at) + 1
        if self.at - start > MOST_ITEM_BYTES:
            raise TooMuch(
                "MOST_ITEM_BYTES",
                _("holds an entry of more than {most} MB", most=MOST_ITEM_BYTES // 1_000_000),
                _("give an exported workshop"),
            )
        if self.values > MOST_VALUES:
            raise _too_many("MOST_VALUES", MOST_VALUES)
        return start, self.at

    def closed(self, start: int) -> int:
        """Where the array or object that begins at `start` ends."""
        at, depth = start, 0
        while True:
            found = _NEXT_BRACKET.match(self.data, at)
            if found is None:
                raise NotJson("is not closed")
            at = found.end()
            if found[1] in b"]}":
                depth -= 1
                if not depth:
                    return at
                continue
            depth, self.brackets = depth + 1, self.brackets + 1
            if depth > MOST_NESTING:
                raise TooMuch(
                    "MOST_NESTING",
                    _("has brackets within brackets more than {most} deep", most=MOST_NESTING),
                    _("give an exported workshop"),
                )
            if self.brackets > MOST_BRACKETS:
                raise _too_many("MOST_BRACKETS", MOST_BRACKETS)

    def sign(self) -> bytes:
        """The next sign that is no blank, not passed over; empty at the end."""
        found = _BLANKS.match(self.data, self.at)
        assert found is not None  # it matches nothing, too
        self.at = found.end()
        return self.data[self.at : self.at + 1]

    def comes(self, sign: bytes) -> bool:
        """Whether the next sign is this one; passes over it."""
        if self.sign() != sign:
            return False
        self.at += 1
        return True

    def expect(self, sign: bytes) -> None:
        if not self.comes(sign):
            raise NotJson(f"lacks {sign.decode()}")


def _too_many(limit: str, most: int) -> TooMuch:
    return TooMuch(
        limit,
        _("holds more than {most} entries or values", most=most),
        _("give an exported workshop"),
    )


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _finite(digits: str) -> float:
    """A number of the file; one too large for a computer ("1e999") would be endless."""
    value = float(digits)
    if not isfinite(value):
        raise ValueError(f"{digits} is no number")
    return value


_DECODER = json.JSONDecoder(parse_constant=_refuse_constant, parse_float=_finite)
