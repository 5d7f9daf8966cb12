"""Plied yarn numbers: which number of "30/2" or "2/24" is the plies.

Cotton and metric counts are mostly written count/plies (Nm 30/2), worsted ones plies/count
(2/24 NeK), and labels do both. A reading stands only if its plies are few and whole and its yarn
is not too coarse to be knitted. Where both stand, the customary one is taken if its plies are the
smaller number, and otherwise neither.
"""

from __future__ import annotations

from sockwright.errors import QuantityError
from sockwright.facts import fact
from sockwright.quantities.numbers import shown
from sockwright.quantities.units import factor
from sockwright.words import said

PLIES_FIRST = ("worsted_count",)
"""The systems whose custom is plies/count."""


def check_plies(plies: object) -> int:
    """A whole number of plies from 1 to the most on sale, or QuantityError."""
    most = int(fact("constants", "most_plies").number)
    if isinstance(plies, int) and not isinstance(plies, bool) and 1 <= plies <= most:
        return plies
    raise QuantityError(
        said("{plies} is not a number of plies", plies=shown(plies)),
        said("say 1 to {most}", most=most),
    )


def count_tex(count: float, plies: int, system: str) -> float:
    """The tex of a yarn of `plies` strands, each of an indirect `count` > 0.

    An indirect count is divided by its plies; Nm 30/2 is Nm 15 is 66.7 tex.
    """
    return factor(f"1 / {system}", "tex") * plies / count


def split_plies(first: float, second: float, system: str, given: str) -> tuple[float, int]:
    """(count, plies) of an indirect "first/second"; QuantityError if it could be read both ways."""
    customary = (second, first) if system in PLIES_FIRST else (first, second)
    readings = [pair for pair in (customary, customary[::-1]) if _possible(*pair, system)]
    if not readings:
        raise QuantityError(
            said(
                "{given} has no number of plies or is too coarse either way round",
                given=shown(given),
            ),
            said('write the count and the plies, such as "Nm 30/2" or "2/24 NeK"'),
        )
    count, plies = readings[0]
    if len(readings) > 1 and plies > count:
        raise QuantityError(
            said(
                "{given} may be {plies:g} plies of {count:g} or {count:g} plies of {plies:g}",
                given=shown(given),
                plies=plies,
                count=count,
            ),
            said("give the number of one ply, and the plies apart from it"),
        )
    return count, int(plies)


def _possible(count: float, plies: float, system: str) -> bool:
    if not plies.is_integer() or not 1 <= plies <= fact("constants", "most_plies").number:
        return False
    coarsest = fact("constants", "coarsest_tex").number
    return count > 0 and count_tex(count, int(plies), system) <= coarsest
