"""The texts of the bench page's data, put together as its script puts them together."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sockwright.i18n import locale_of


def text_of(data: Mapping[str, Any], places: list[int], extra: Mapping[int, int] = {}) -> str:
    """The sentences at these places, with `extra` rounds more by instruction."""
    return " ".join(sentence(data, place, extra) for place in places)


def sentence(data: Mapping[str, Any], place: int, extra: Mapping[int, int] = {}) -> str:
    """One sentence, with `extra` rounds more by instruction."""
    one = data["sentences"][place]
    pieces = [one] if isinstance(one, str) else one
    return "".join(
        piece if isinstance(piece, str) else _figure(data["language"], piece, extra)
        for piece in pieces
    )


def _figure(language: str, piece: list[Any], extra: Mapping[int, int]) -> str:
    value, each, by = piece
    total = value + each * sum(extra.get(number, 0) for number in by)
    return locale_of(language).numeral(f"{total:.10g}")
