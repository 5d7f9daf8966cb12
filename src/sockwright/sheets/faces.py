"""The shipped typefaces and the letters they have."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from functools import cache
from importlib.resources import files

FAMILIES = ("AtkinsonHyperlegibleNext", "NotoSans")
WEIGHTS = ("Regular", "Bold")
BY_SEGMENTS = 4
"""Format of the table of letters that is read here (OpenType, cmap, format 4)."""


@cache
def shipped_letters() -> frozenset[int]:
    """Code points that some shipped family has in both weights."""
    return frozenset.union(*map(letters_of_family, FAMILIES))


@cache
def letters_of_family(family: str) -> frozenset[int]:
    """Code points that a shipped family has in both weights."""
    return frozenset.intersection(*(letters_of(f"{family}-{weight}.ttf") for weight in WEIGHTS))


def letters_of(file: str) -> frozenset[int]:
    """Code points of a shipped TrueType file, read from its table of letters.

    Source: OpenType specification, "cmap - Character to Glyph Index Mapping Table".
    """
    font = files("sockwright.fonts").joinpath(file).read_bytes()
    (tables,) = struct.unpack_from(">H", font, 4)
    records = (struct.unpack_from(">4s4xII", font, 12 + 16 * place) for place in range(tables))
    start, length = next((start, length) for tag, start, length in records if tag == b"cmap")
    cmap = font[start : start + length]
    (subtables,) = struct.unpack_from(">H", cmap, 2)
    places = (struct.unpack_from(">I", cmap, 8 + 8 * number)[0] for number in range(subtables))
    return frozenset(
        point
        for place in places
        if struct.unpack_from(">H", cmap, place)[0] == BY_SEGMENTS
        for point in _by_segments(cmap[place:])
    )


def _by_segments(table: bytes) -> Iterator[int]:
    """Code points of a table of format 4: stretches of code points, each with how it finds its
    glyphs. A stretch may have holes: code points of glyph 0, which stands for "none"."""
    (twice,) = struct.unpack_from(">H", table, 6)
    ends, starts, deltas, offsets = 14, 16 + twice, 16 + 2 * twice, 16 + 3 * twice
    for segment in range(0, twice, 2):
        first, last = _number(table, starts + segment), _number(table, ends + segment)
        delta, offset = _number(table, deltas + segment), _number(table, offsets + segment)
        for point in range(first, last + 1):
            glyph = point
            if offset:
                glyph = _number(table, offsets + segment + offset + 2 * (point - first))
            if (glyph + delta) % 0x10000 and (glyph or not offset):
                yield point


def _number(table: bytes, place: int) -> int:
    return int.from_bytes(table[place : place + 2])
