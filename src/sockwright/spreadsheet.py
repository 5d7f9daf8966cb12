"""Cells of tables that spreadsheets open, so that no text in them is taken for a formula.

A spreadsheet reckons what begins with one of SIGNS, or with a tab or line end before one. Some part
a line at its semicolons or tabs,
whatever was meant, so each place after such a sign counts as a beginning too. A `'` put there makes
it a text; `uncelled` takes it away again.
"""

from __future__ import annotations

import re

SIGNS = "=+-@\uff1d\uff0b\uff0d\uff20"
"""With what a formula begins, in letters of full width too."""

_BEGINNING = re.compile(rf"""(?P<before>(?:\A|[,;\t\r\n])[\s"]*)(?='*[{re.escape(SIGNS)}])""")
_BLANK_FIRST = re.compile(r"(?:\A|(?<=[,;\t\r\n]))(?='*[\t\r])")
_MARKED = re.compile(rf"""(?P<before>(?:\A|[,;\t\r\n])[\s"]*)'(?='*[{re.escape(SIGNS)}])""")
_MARKED_BLANK = re.compile(r"(?:\A|(?<=[,;\t\r\n]))'(?='*[\t\r])")


def cell(value: object) -> str:
    """The value as it stands in a cell; numbers are told as they are."""
    if not isinstance(value, str):
        return str(value)
    return _BEGINNING.sub(r"\g<before>'", _BLANK_FIRST.sub("'", value))


def uncelled(text: str) -> str:
    """The text that `cell` was given."""
    return _MARKED_BLANK.sub("", _MARKED.sub(r"\g<before>", text))
