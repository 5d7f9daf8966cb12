"""The typefaces that sheets and pages are set in, with their licences: their letters and widths.

Atkinson Hyperlegible Next holds its subsets latin and latin-ext without the marks that combine with
letters, so that a letter it lacks is taken whole from Noto Sans and not put together. Noto Sans has
the common letters too, since in drawings a text is set in one face alone: its subsets vietnamese,
cyrillic, cyrillic-ext, greek, greek-ext and latin, and the letters of latin-ext up to U+02AF and
from 1E00 to 1EFF. They are the subsets that Fontsource publishes
(both 5.3.0), weights 400 and 700, merged in this order with fontTools; Noto Sans without hints and
glyph names.

`widths.json` has, for each face, stretches of letters that follow each other: the code point of the
first, and the width of each in thousandths of the font size. `docs/refresh.py` reads it out of the
faces with fontTools.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

FAMILIES = ("AtkinsonHyperlegibleNext", "NotoSans")
REGULAR, BOLD = "Regular", "Bold"
WEIGHTS = (REGULAR, BOLD)
FACES = tuple(f"{family}-{weight}" for family in FAMILIES for weight in WEIGHTS)


@cache
def _tables() -> Mapping[str, list[tuple[int, list[int]]]]:
    text = files(__name__).joinpath("widths.json").read_text("utf-8")
    tables: dict[str, list[tuple[int, list[int]]]] = json.loads(text)
    return tables


@cache
def widths(face: str) -> Mapping[int, int]:
    """How wide a face sets each letter it has, by code point, in thousandths of the font size."""
    runs = _tables()[face]
    return {first + place: width for first, run in runs for place, width in enumerate(run)}


@cache
def widest(weight: str) -> Mapping[int, int]:
    """Width of each shipped letter in that family of a weight which sets it wider."""
    first, second = (widths(f"{family}-{weight}") for family in FAMILIES)
    return {**first, **{point: max(width, first.get(point, 0)) for point, width in second.items()}}


@cache
def shipped_letters() -> frozenset[int]:
    """Code points that some shipped family has in both weights."""
    return frozenset.intersection(*(frozenset(widest(weight)) for weight in WEIGHTS))
