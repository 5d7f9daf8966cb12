"""Shoe sizes as makers write them: "EU 42", "US women 8 1/2", "Mondopoint 265"."""

from __future__ import annotations

import re

from sockwright.errors import QuantityError
from sockwright.order.limits import limits
from sockwright.order.model import ShoeSize, ShoeSystem
from sockwright.order.reader import Value, give, it_is, shown
from sockwright.order.values import check_within
from sockwright.words import said

_SIZE = re.compile(r"([a-z ]+?) *([0-9]{1,3}(?:[.,][0-9]{1,20})?)(?: *(1/2|½|1/3|2/3))?")
_PARTS = {"": 0.0, "1/2": 0.5, "½": 0.5, "1/3": 1 / 3, "2/3": 2 / 3}
_BY_WORD = {system.value.casefold(): system for system in ShoeSystem}
_EXPECTS = said(
    'a shoe size with its system, such as "EU 42", "UK 8", "US men 9.5", "US women 8", '
    '"Mondopoint 265", "EU child 28", "UK child 10" or "US child 11"'
)


def shoe_size() -> Value:
    """A shoe size in one of the systems of `ShoeSystem`."""
    return Value(_EXPECTS, _convert)


def _convert(given: object) -> ShoeSize:
    if not isinstance(given, str):
        raise QuantityError(it_is(given), give(_EXPECTS))
    found = _SIZE.fullmatch(" ".join(given.casefold().split()))
    system = _BY_WORD.get(found[1].strip()) if found else None
    if found is None or system is None:
        raise QuantityError(
            said("{given} is not a shoe size", given=shown(given)),
            give(_EXPECTS),
        )
    size = float(found[2].replace(",", ".")) + _PARTS[found[3] or ""]
    within = limits("shoe_" + system.value.lower().replace(" ", "_"))
    what = said("the size {given}", given=shown(given))
    return ShoeSize(
        system,
        check_within(
            size,
            within,
            what,
            said("{system} sizes are {within}", system=system, within=within.words),
        ),
    )
