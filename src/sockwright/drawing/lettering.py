"""How wide a text is: an estimate good enough to keep labels from running into each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from unicodedata import combining, east_asian_width

NARROW, WIDE = "ijlI1!.,:;'|()[] -/tfr·", "mwMWO0QGHNDU@%±…"
NARROW_EM, USUAL_EM, WIDE_EM = 0.36, 0.60, 0.80
"""Widths as shares of the font size, a little above the means of the three classes in Atkinson
Hyperlegible Next, so that a fallback font fits too."""
FIGURE_EM = 0.66
"""Width of the widest figure, bold too (Atkinson Hyperlegible Next): a face with figures of one
width gives it to every figure."""
FULL_EM = 1.0
"""Width of the scripts that are set in squares."""
ELLIPSIS = "…"
AIR_EM = 0.25
"""Air around a label."""
BOLD = 1.06
CAP_HEIGHT = 0.67
"""Height of capitals and figures as a share of the font size (Atkinson Hyperlegible Next)."""


@lru_cache(4096)
def text_width(words: str, size_mm: float, *, bold: bool = False) -> float:
    """Estimated width in mm of `words` set in `size_mm`."""
    return sum(map(_em, words)) * size_mm * (BOLD if bold else 1.0)


def _em(sign: str) -> float:
    if sign in NARROW:
        return NARROW_EM
    if sign in WIDE:
        return WIDE_EM
    return FULL_EM if east_asian_width(sign) in "WF" else USUAL_EM


def wrap(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm` as far as breaks at spaces can do it."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def wrap_close(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm`; a word wider than that is broken too."""
    pieces = (piece for word in words.split() for piece in _pieces(word, size_mm, width_mm))
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
    width = FIGURE_EM * len(words) * size_mm if words.isdigit() else text_width(words, size_mm)
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
