"""Yarn fineness in, from a number in any system with its plies or a ball band; out in tex."""

from __future__ import annotations

import re
from typing import NamedTuple

from sockwright.errors import QuantityError
from sockwright.facts import fact
from sockwright.i18n import N_, _
from sockwright.quantities.reading import (
    LENGTH_WORDS,
    MASS_WORDS,
    NUMBER,
    PART,
    factor,
    parse_number,
    parse_sum,
    shown,
    tidy,
)

PLIES_FIRST = ("worsted_count",)
"""The systems whose custom is plies/count."""


def check_plies(plies: object) -> int:
    """A whole number of plies from 1 to the most on sale, or QuantityError."""
    most = int(fact("constants", "most_plies").number)
    if isinstance(plies, int) and not isinstance(plies, bool) and 1 <= plies <= most:
        return plies
    raise QuantityError(
        _("{plies} is not a number of plies", plies=shown(plies)),
        _("write 1 to {most}", most=most),
    )


def count_tex(count: float, plies: int, system: str) -> float:
    """The tex of a yarn of `plies` strands, each of an indirect `count` > 0.

    An indirect count is divided by its plies; Nm 30/2 is Nm 15 is 66.7 tex.
    """
    return factor(f"1 / {system}", "tex") * plies / count


class Plied(NamedTuple):
    """The indirect number of one ply, and how many there are."""

    number: float
    plies: int


def split_plies(first: float, second: float, system: str, given: str) -> Plied:
    """What an indirect "first/second" says; QuantityError if it could be read both ways."""
    customary = (second, first) if system in PLIES_FIRST else (first, second)
    readings = [pair for pair in (customary, customary[::-1]) if _possible(*pair, system)]
    if not readings:
        raise QuantityError(
            _(
                "{given} has no number of plies or is too coarse either way round",
                given=shown(given),
            ),
            _('write the count and the plies, such as "Nm 30/2" or "2/24 NeK"'),
        )
    count, plies = readings[0]
    if len(readings) > 1 and plies > count:
        raise QuantityError(
            _(
                "{given} may be {plies:g} plies of {count:g} or {count:g} plies of {plies:g}",
                given=shown(given),
                plies=plies,
                count=count,
            ),
            _("give the number of one ply, and the plies apart from it"),
        )
    return Plied(count, int(plies))


def _possible(count: float, plies: float, system: str) -> bool:
    if not plies.is_integer() or not 1 <= plies <= fact("constants", "most_plies").number:
        return False
    coarsest = fact("constants", "coarsest_tex").number
    return count > 0 and count_tex(count, int(plies), system) <= coarsest


DIRECT_WORDS = {
    "tex": "tex",
    "dtex": "decitex",
    "den": "denier",
    "denier": "denier",
    "d": "denier",
}
INDIRECT_WORDS = {
    "nm": "metric_count",
    "ne": "cotton_count",
    "nec": "cotton_count",
    "nek": "worsted_count",
    "new": "worsted_count",
    "nel": "linen_count",
    "nes": "yorkshire_skein_count",
}
"""What may be written for each system, in lower case."""

_RIGHT = _('write it as on the label, such as "100 g / 420 m", "250 tex", "Nm 30/2" or "2/24 NeK"')
_BAND = re.compile(rf"({PART})[ ]*(?:[/=:,–—-]|\bper\b)[ ]*({PART}|[a-z]+)")
_DECIMALS = 9
_ABOUT = re.compile(r"(?:\bca\b|\bapprox\b|\babout\b|~|≈)\.?[ ]*")
_WORD = r"(d?tex|den|denier|d|n[a-z]{1,2})\.?"
_COUNT = r"([0-9]*[.,][0-9]+|[0-9]+)(?:[ ]*/[ ]*([0-9]+))?"
_WORD_FIRST = re.compile(rf"{_WORD}[ ]*[:=]?[ ]*{_COUNT}(?:[ ]*x[ ]*([0-9]+))?", re.IGNORECASE)
_WORD_LAST = re.compile(rf"{_COUNT}[ ]*{_WORD}(?:[ ]*x[ ]*([0-9]+))?", re.IGNORECASE)
_RESULTANT = re.compile(
    r"R[ ]*([0-9]*[.,][0-9]+|[0-9]+)[ ]*(d?tex)(?:[ ]*/[ ]*([0-9]+))?", re.IGNORECASE
)


def parse_fineness_tex(text: object, plies: int | None = None) -> float:
    """The tex of a whole yarn from its number or its ball band.

    Reads "250 tex", "2500 dtex", "2250 den", "12.5 tex x 2", "2250 D", "R 238 tex/4", "Nm 4",
    "Nm 30/2", "Ne 20/2", "2/24 NeK", "NeL 20", "100 g / 420 m", "4 oz = 425 yd" and
    "400 yd per 100 g". `plies` is for labels that number the single strand; a ball band and a
    resultant tex ("R") are of the whole yarn, whatever its plies.
    Raises QuantityError for what it cannot read, what is ambiguous, and what cannot be knitted.
    """
    clean = tidy(text, _RIGHT)
    strands = None if plies is None else check_plies(plies)
    band = _BAND.fullmatch(_ABOUT.sub("", clean.lower()))
    resultant = _RESULTANT.fullmatch(clean)
    if band:
        tex = _band_tex(band[1], band[2], clean)
    elif resultant:
        tex = _resultant_tex(resultant[1], resultant[2], resultant[3], strands, clean)
    else:
        tex = _number_tex(clean, strands)
    return _knittable(round(tex, _DECIMALS), clean)


def _knittable(tex: float, given: str) -> float:
    low, high = (fact("constants", name).number for name in ("finest_tex", "coarsest_tex"))
    if low <= tex <= high:
        return tex
    wrong = N_("{given} is too coarse for a sock machine")
    if tex < low:
        wrong = N_("{given} is too fine for a sock machine")
    raise QuantityError(
        _(wrong, given=shown(given)),
        _("a whole yarn, all its plies together, has {low:g} to {high:g} tex", low=low, high=high),
    )


def number_in(tex: float, system: str) -> float:
    """The number of a yarn of `tex` in one of the systems of `facts/yarn_systems.toml`."""
    if system in DIRECT_WORDS.values():
        return tex * factor("tex", system)
    return factor("1 / tex", system) / tex


def _band_tex(one: str, other: str, given: str) -> float:
    """Fineness from a mass and a length, in either order; "yd/lb" has no second number."""
    if not other[0].isdigit() and other[0] not in ".,":
        other = f"1 {other}"
    mass, length = (one, other) if _unit(one) in MASS_WORDS else (other, one)
    if _unit(mass) not in MASS_WORDS or _unit(length) not in LENGTH_WORDS:
        raise QuantityError(_("{given} is not a mass and a length", given=shown(given)), _RIGHT)
    grams = parse_sum(mass, MASS_WORDS, "gram", _RIGHT)
    metres = parse_sum(length, LENGTH_WORDS, "metre", _RIGHT)
    if not grams or not metres:
        raise QuantityError(_("{given} has a zero in it", given=shown(given)), _RIGHT)
    return 1000.0 * grams / metres


def _resultant_tex(
    number: str, word: str, plies: str | None, given: int | None, text: str
) -> float:
    """The tex of the whole plied yarn as it stands: R 238 tex/4 is four plies of 238 tex in all."""
    if plies is not None:
        _agreed(_whole_plies(plies), given, text)
    value = parse_number(number, _RIGHT)
    if not value:
        raise QuantityError(_("{text} has a zero in it", text=shown(text)), _RIGHT)
    return value * factor(DIRECT_WORDS[word.lower()], "tex")


def _unit(part: str) -> str:
    return re.sub(rf"^{NUMBER}[ ]*", "", part).rstrip(".")


def _number_tex(text: str, plies: int | None) -> float:
    first, last = _WORD_FIRST.fullmatch(text), _WORD_LAST.fullmatch(text)
    if first:
        word, number, divided, times = first.groups()
    elif last:
        number, divided, word, times = last.groups()
    else:
        raise QuantityError(
            _("{text} is not a yarn number or a ball band", text=shown(text)), _RIGHT
        )
    value = parse_number(number, _RIGHT)
    if not value:
        raise QuantityError(_("{text} has a zero in it", text=shown(text)), _RIGHT)
    if word.lower() in DIRECT_WORDS:
        return _direct_tex(value, DIRECT_WORDS[word.lower()], divided, times, plies, text)
    system = _indirect_system(word, text)
    if times is not None:
        raise QuantityError(
            _("{text} multiplies a count", text=shown(text)), _('write its plies as "30/2"')
        )
    if divided is None:
        return count_tex(value, plies or 1, system)
    count, strands = split_plies(value, float(divided), system, text)
    return count_tex(count, _agreed(strands, plies, text), system)


def _direct_tex(
    value: float,
    system: str,
    divided: str | None,
    times: str | None,
    plies: int | None,
    text: str,
) -> float:
    """A direct number is multiplied by its plies: 12.5 tex x 2 is 25 tex."""
    if divided is not None:
        raise QuantityError(
            _("{text} divides a number that grows with the yarn", text=shown(text)),
            _('write the strand and the plies, such as "12.5 tex x 2"'),
        )
    strands = plies or 1 if times is None else _agreed(_whole_plies(times), plies, text)
    return value * factor(system, "tex") * strands


def _whole_plies(text: str) -> int:
    # Three digits at most: int() of a very long text is an error of its own.
    return check_plies(int(text) if len(text) <= 3 else text)


def _agreed(read: int, given: int | None, text: str) -> int:
    if given is not None and given != read:
        raise QuantityError(
            _(
                "{text} has {read} plies, but {given} are given beside it",
                text=shown(text),
                read=read,
                given=given,
            ),
            _("write the plies once"),
        )
    return read


def _indirect_system(word: str, text: str) -> str:
    if word.lower() == "nek" and word != "NeK":
        raise QuantityError(
            _(
                "{text}: {word} is cotton in some books (hanks of 840 yd in a pound) and "
                "worsted in others (hanks of 560 yd)",
                text=shown(text),
                word=word,
            ),
            _('write "NeK" for worsted and "Ne" for cotton, or give length and mass'),
        )
    if word.lower() not in INDIRECT_WORDS:
        raise QuantityError(
            _("{text}: {word} is not a known yarn system", text=shown(text), word=shown(word)),
            _RIGHT,
        )
    return INDIRECT_WORDS[word.lower()]
