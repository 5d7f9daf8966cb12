"""Texts that mislead nobody: which signs one may hold, and how one stands in a cell of a table.

The one rule for names, titles, notes and whatever else people write, wherever it comes in. What is
allowed is told by Unicode's general categories: every sign but controls (Cc), halves of characters
(Cs), unassigned places (Cn) and the signs that turn the direction of the text around them (U+202A
to U+202E, U+2066 to U+2069). Blanks of any width, joiners, soft hyphens and the marks of direction
that stand alone (U+200E, U+200F) are parts of ordinary writing.

A spreadsheet reckons what begins with one of SIGNS, or with a tab or line end before one. Some part
a line at its semicolons or tabs, whatever was meant, so each place after such a sign counts as a
beginning too. `cell` puts a `'` there, which makes it a text; `uncelled` takes it away again.
"""

from __future__ import annotations

import re
from typing import Final
from unicodedata import category, normalize

NEVER: Final = ("Cc", "Cs", "Cn")
TURNING: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that let a text be read in another order than it is written in."""
LINES: Final = "\n\t"
"""Controls that a text of several lines may have."""
UNSEEN: Final = ("Cc", "Cf", "Zs", "Zl", "Zp")
"""Categories of signs that leave no ink."""

_ENDS_OF_LINES = re.compile("\r\n|[\r\x85\u2028\u2029]")

SIGNS = "=+-@\uff1d\uff0b\uff0d\uff20"
"""With what a formula begins, in letters of full width too."""

_BEGINNING = r"(?:\A|(?<=[,;\t\r\n]))"

_FORMULA = rf"""(?='*(?:[^\S\t\r\n]|")*[\t\r{re.escape(SIGNS)}])"""

_UNMARKED = re.compile(_BEGINNING + _FORMULA)
_MARKED = re.compile(f"{_BEGINNING}'{_FORMULA}")


def normal(text: str) -> str:
    """A text with letter and marks as one sign wherever there is one (Unicode's NFC)."""
    return normalize("NFC", text)


def normal_lines(text: str) -> str:
    """The same of a text of several lines, every end of a line a line feed."""
    return normal(_ENDS_OF_LINES.sub("\n", text))


def unprintable(text: str, *, lines: bool = False) -> str:
    """The first sign that no text may hold, as "U+202E"; "" if there is none.

    `lines` allows several lines, and tabs within them.
    """
    if text.isprintable():
        return ""
    allowed = LINES if lines else ""
    wrong = (sign for sign in text if sign not in allowed and not _may_stand(sign, lines))
    return next((f"U+{ord(sign):04X}" for sign in wrong), "")


def shown_safely(text: str, instead: str = "?") -> str:
    """The text on one line, with `instead` for each sign that could upset who reads or shows it."""
    if text.isprintable():
        return text
    return "".join(sign if _may_stand(sign, lines=False) else instead for sign in text)


def has_ink(text: str) -> bool:
    """Whether anything of the text is to be seen."""
    return any(category(sign) not in UNSEEN for sign in text)


def alike(text: str) -> str:
    """What two texts share that nobody can tell apart by what is seen: signs without ink left out,
    blanks of any kind one blank, signs of the same look one sign (Unicode's NFKC)."""
    seen = (sign for sign in text if category(sign) != "Cf")
    return " ".join(normalize("NFKC", "".join(seen)).split())


def _may_stand(sign: str, lines: bool) -> bool:
    kind = category(sign)
    if kind in ("Zl", "Zp"):
        return lines
    if kind == "Cn":
        return _is_picture(sign)
    return kind not in NEVER and sign not in TURNING


def _is_picture(sign: str) -> bool:
    """Whether Unicode keeps an unassigned place for pictures (emoji-data.txt): a telephone may know
    pictures that this program's Python does not know yet."""
    return "\U0001f000" <= sign <= "\U0001faff"


def cell(value: object) -> str:
    """The value as it stands in a cell; numbers are told as they are."""
    if not isinstance(value, str):
        return str(value)
    return _UNMARKED.sub("'", value)


def uncelled(text: str) -> str:
    """The text that `cell` was given."""
    return _MARKED.sub("", text)
