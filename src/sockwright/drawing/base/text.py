"""How wide a text is, by the widths of the shipped letters."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from string import digits
from unicodedata import combining, east_asian_width

from sockwright.fonts import BOLD, REGULAR, widest

LACKING_EM, FULL_EM = 0.6, 1.0
"""Widths, as shares of the font size, of letters that no shipped face has, and of those among them
that are set in squares."""
ELLIPSIS = "…"
AIR_EM = 0.25
"""Air around a label."""
CAP_HEIGHT = 0.67
"""Height of capitals and figures as a share of the font size (Atkinson Hyperlegible Next)."""


@lru_cache(4096)
def text_width(words: str, size_mm: float, *, bold: bool = False) -> float:
    """Width in mm of `words` set in `size_mm`, each letter in the shipped family that sets it
    wider: a text falls to the second where the first lacks one of its letters."""
    letters = widest(BOLD if bold else REGULAR)
    return sum(_em(sign, letters) for sign in words) * size_mm


def _em(sign: str, letters: Mapping[int, int]) -> float:
    width = letters.get(ord(sign))
    if width is not None:
        return width / 1000
    if combining(sign):
        return 0.0
    return FULL_EM if east_asian_width(sign) in "WF" else LACKING_EM


@cache
def figure_em() -> float:
    """Width of the widest figure, bold too: a face with figures of one width gives it to each."""
    return max(text_width(figure, 1.0, bold=bold) for figure in digits for bold in (False, True))


def wrap(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm` as far as breaks at spaces can do it."""
    lines: list[str] = []
    for word in str(words).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def wrap_close(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm`; a word wider than that is broken too."""
    pieces = (piece for word in str(words).split() for piece in _pieces(word, size_mm, width_mm))
    return wrap(" ".join(pieces), size_mm, width_mm)


def _pieces(word: str, size: float, width: float) -> Iterator[str]:
    """A word in pieces no wider than `width`, of two signs at least."""
    start, end = 0, 2
    while end < len(word) and text_width(word[start:], size) > width:
        longer = _piece(word, start, end + 1)
        if combining(word[end]) or text_width(longer, size) <= width:
            end += 1
            continue
        yield _piece(word, start, end)
        start, end = end, end + 2
    yield word[start:]


def _piece(word: str, start: int, end: int) -> str:
    """A piece of a word, with a hyphen where it ends between letters; beside a figure or a sign a
    hyphen would be read as one of the signs."""
    beside = word[end - 1 : end + 1]
    hyphen = len(beside) == 2 and all(map(_is_hyphened, beside))
    return word[start:end] + ("-" if hyphen else "")


def _is_hyphened(sign: str) -> bool:
    return sign.isalpha() and east_asian_width(sign) not in "WF"


def shortened(words: str, size_mm: float, width_mm: float) -> str:
    """The words, cut short with an ellipsis where they are wider than `width_mm`."""
    if text_width(words, size_mm) <= width_mm:
        return words
    fits = (
        words[:end].rstrip() + ELLIPSIS
        for end in range(len(words) - 1, 0, -1)
        if not combining(words[end])
    )
    return next((text for text in fits if text_width(text, size_mm) <= width_mm), ELLIPSIS)


@dataclass(frozen=True)
class Box:
    """An upright rectangle about its centre, mm."""

    x: float
    y: float
    width: float
    height: float

    def overlaps(self, other: Box) -> bool:
        """Whether two boxes share some area."""
        return (
            abs(self.x - other.x) < (self.width + other.width) / 2
            and abs(self.y - other.y) < (self.height + other.height) / 2
        )


def text_box(centre: tuple[float, float], words: str, size_mm: float) -> Box:
    """The box of an upright text centred on a point, with a little air; a number's is wide enough
    for any face and for bold."""
    width = figure_em() * len(words) * size_mm if words.isdigit() else text_width(words, size_mm)
    return Box(*centre, width + AIR_EM * size_mm, 0.95 * size_mm)


def without_overlaps(boxes: Iterable[Box]) -> list[bool]:
    """Which boxes to keep so that none overlaps: the earlier ones have precedence."""
    kept: list[Box] = []
    keep = []
    for box in boxes:
        free = not any(box.overlaps(other) for other in kept)
        keep.append(free)
        if free:
            kept.append(box)
    return keep
