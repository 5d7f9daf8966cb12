"""How wide a text is: an estimate good enough to keep labels from running into each other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

NARROW, WIDE = "ijlI1!.,:;'|()[] -/tfr·", "mwMWO0QGHNDU@%±"
NARROW_EM, USUAL_EM, WIDE_EM = 0.36, 0.60, 0.80
"""Widths as shares of the font size, a little above the means of the three classes in Atkinson
Hyperlegible Next, so that a fallback font fits too."""
BOLD = 1.06
CAP_HEIGHT = 0.67
"""Height of capitals and figures as a share of the font size (Atkinson Hyperlegible Next)."""


def text_width(words: str, size_mm: float, *, bold: bool = False) -> float:
    """Estimated width in mm of `words` set in `size_mm`."""
    em = sum(
        NARROW_EM if sign in NARROW else WIDE_EM if sign in WIDE else USUAL_EM for sign in words
    )
    return em * size_mm * (BOLD if bold else 1.0)


def wrap(words: str, size_mm: float, width_mm: float) -> list[str]:
    """The words in lines no wider than `width_mm`, broken at spaces only."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


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
    """The box of an upright text centred on a point, with a little air."""
    return Box(*centre, text_width(words, size_mm) + 0.25 * size_mm, 0.95 * size_mm)


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
