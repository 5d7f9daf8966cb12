"""What a TOML text may hold at most, found out before it is parsed.

A parser keeps every prefix of a dotted key, so that 180 kB of dots take 10 GB; no other part of a
text costs it more than a moment once keys, brackets and values are bounded. Strings and comments
are set aside by TOML's own rules. Where a string does not end, the parser stops too, and so does
the look at what follows it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from sockwright.order.sizes import most
from sockwright.words import Said, said

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


@dataclass(frozen=True)
class Beyond:
    """A limit that a text goes beyond: its name in the table of sizes, and what is told of it."""

    limit: str
    wrong: Said
    right: Said


def beyond(text: str) -> Beyond | None:
    """The first limit that the text goes beyond; None where it may be parsed."""
    if len(text) > most("order_bytes"):
        return Beyond(
            "order_bytes",
            said("is far too large for an order"),
            said("give a text of {most} kB at most", most=most("order_bytes") // 1000),
        )
    bare = _STRING_OR_COMMENT.sub(_emptied, text)
    return next(iter([*_too_many(bare), *_too_deep(bare), *_too_long(bare)]), None)


def _emptied(found: re.Match[str]) -> str:
    """A string as one sign, on as many lines as it had; a comment as nothing."""
    token = found[0]
    return "" if token.startswith("#") else '"' + "\n" * token.count("\n")


def _too_many(bare: str) -> Iterator[Beyond]:
    values = sum(bare.count(sign) for sign in "=,[{")
    if values > most("values"):
        yield Beyond(
            "values",
            said("holds {count} values", count=values),
            said("{most} are the most in one file", most=most("values")),
        )


def _too_deep(bare: str) -> Iterator[Beyond]:
    depth, deepest = 0, most("nesting")
    for bracket in _BRACKET.finditer(bare):
        depth = depth + 1 if bracket[0] in "[{" else max(depth - 1, 0)
        if depth > deepest:
            yield Beyond(
                "nesting",
                said(
                    "line {line} has brackets within brackets more than {most} deep",
                    line=_line(bare, bracket.start()),
                    most=deepest,
                ),
                said("nest less"),
            )
            return


def _too_long(bare: str) -> Iterator[Beyond]:
    most_parts, most_characters = most("key_parts"), most("word_characters")
    for piece in _PIECE.finditer(bare):
        text, line = piece[0], piece.start()
        if text.count(".") >= most_parts:
            wrong = said(
                "line {line} has a key of {parts} parts",
                line=_line(bare, line),
                parts=text.count(".") + 1,
            )
            right = said("a key has {most} parts at most", most=most_parts)
            yield Beyond("key_parts", wrong, right)
            return
        longest = len(text) if len(text) <= most_characters else _longest_word(text)
        if longest > most_characters:
            wrong = said(
                "line {line} has a key or a number of {count} characters",
                line=_line(bare, line),
                count=longest,
            )
            yield Beyond(
                "word_characters", wrong, said("give {most} at most", most=most_characters)
            )
            return


def _longest_word(text: str) -> int:
    return max(map(len, _ENDS_OF_WORDS.split(text)))


def _line(bare: str, position: int) -> int:
    return bare.count("\n", 0, position) + 1
