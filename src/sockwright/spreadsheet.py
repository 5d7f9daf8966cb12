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

_BEGINNING = r"(?:\A|(?<=[,;\t\r\n]))"
_FORMULA = rf"""(?='*(?:[^\S\t\r\n]|")*[\t\r{re.escape(SIGNS)}])"""
_UNMARKED = re.compile(_BEGINNING + _FORMULA)
_MARKED = re.compile(f"{_BEGINNING}'{_FORMULA}")


def cell(value: object) -> str:
    """The value as it stands in a cell; numbers are told as they are."""
    if not isinstance(value, str):
        return str(value)
    return _UNMARKED.sub("'", value)


def uncelled(text: str) -> str:
    """The text that `cell` was given."""
    return _MARKED.sub("", text)
