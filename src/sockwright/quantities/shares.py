"""Shares in: "10 %", "0.1" or 0.1, all 0.10."""

from __future__ import annotations

import re

from sockwright.errors import QuantityError
from sockwright.quantities.numbers import parse_number, shown, tidy
from sockwright.words import said

_RIGHT = said('say a share from 0 to 100 %, such as "10 %" or 0.10')
_PERCENT = re.compile(r"(.*?)[ ]*(?:%|percent|per cent|pct)")


def parse_share(given: object) -> float:
    """A share 0..1 from "10 %", "10%", "0.1" or the number 0.1.

    Raises QuantityError for a bare number above 1 (which may be per cent), more than 100 %, a
    negative share, and what is no number.
    """
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise QuantityError(said("{given} is not a share", given=shown(given)), _RIGHT)
    if not isinstance(given, str):
        return _checked(float(given), given) if -1 < given <= 1 else _refuse(given)
    text = tidy(given, _RIGHT).lower()
    percent = _PERCENT.fullmatch(text)
    if percent:
        return _checked(parse_number(percent[1], _RIGHT) / 100.0, given)
    return _checked(parse_number(text, _RIGHT), given)


def _checked(share: float, given: object) -> float:
    return share if 0.0 <= share <= 1.0 else _refuse(given)


def _refuse(given: object) -> float:
    raise QuantityError(
        said("{given} is not between 0 and 1, that is 0 to 100 %", given=shown(given)), _RIGHT
    )
