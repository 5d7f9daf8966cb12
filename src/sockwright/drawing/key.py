"""The key under a drawing: a symbol and what it means, in as many columns as fit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sockwright.drawing.lettering import CAP_HEIGHT, text_width, wrap_close
from sockwright.drawing.svg import Point, group, write

LINE = 1.4
"""Height of a line, in type sizes."""
SYMBOL = 3.4
"""Room for a symbol, in type sizes."""
BETWEEN = 1.0
"""Space between columns, in type sizes."""
NARROWEST = 14.0
"""Narrowest column, in type sizes."""
WORTHWHILE = 0.8
"""Another column must bring the height down to this share."""


@dataclass(frozen=True)
class Entry:
    """A line of a key: `draw` draws the symbol centred on a point; `fill` colours the words."""

    draw: Callable[[Point], str]
    words: str
    bold: str = ""
    fill: str | None = None


@dataclass(frozen=True)
class Key:
    """A key laid out to a width: its drawing is made by `svg`, its height is known before."""

    rows: tuple[tuple[Entry, tuple[str, ...], float, float], ...]
    size: float
    height: float

    def svg(self, left: float, top: float) -> str:
        """The key with its top left corner at a point."""
        parts = []
        for entry, lines, x, y in self.rows:
            parts += self._entry(entry, lines, left + x, top + y)
        return group(parts)

    def _entry(self, entry: Entry, lines: tuple[str, ...], x: float, y: float) -> list[str]:
        size = self.size
        middle = y + LINE * size / 2
        parts = [entry.draw((x + SYMBOL * size / 2, middle))]
        at = x + SYMBOL * size + 0.3 * size
        base = middle + CAP_HEIGHT * size / 2
        if entry.bold:
            parts.append(write((at, base), entry.bold, size, bold=True, fill=entry.fill))
            at += _bold_width(entry, size)
        for row, words in enumerate(lines):
            parts.append(write((at, base + row * LINE * size), words, size, fill=entry.fill))
        return parts


def _bold_width(entry: Entry, size: float) -> float:
    return (
        max(text_width(entry.bold, size, bold=True) + 0.45 * size, 1.2 * size)
        if entry.bold
        else 0.0
    )


def lay_key(entries: Sequence[Entry], width_mm: float, size_mm: float) -> Key:
    """The entries within `width_mm`, in one column or, where that saves much height, in two or
    three, filled from top to bottom."""
    best = _columns(entries, 1, width_mm, size_mm)
    for columns in (2, 3):
        if width_mm / columns >= NARROWEST * size_mm:
            other = _columns(entries, columns, width_mm, size_mm)
            best = other if other.height < WORTHWHILE * best.height else best
    return best


def _columns(entries: Sequence[Entry], columns: int, width: float, size: float) -> Key:
    column = (width + BETWEEN * size) / columns
    room = column - (BETWEEN + SYMBOL + 0.3) * size
    lines = [
        tuple(wrap_close(e.words, size, room - _bold_width(e, size))) or ("",) for e in entries
    ]
    most = -(-sum(map(len, lines)) // columns)
    rows = []
    place, done, tallest = 0, 0, 0
    for entry, words in zip(entries, lines, strict=True):
        if done and done + len(words) > most and place < columns - 1:
            place, done = place + 1, 0
        rows.append((entry, words, place * column, done * LINE * size))
        done += len(words)
        tallest = max(tallest, done)
    return Key(tuple(rows), size, tallest * LINE * size)


def no_symbol(at: Point) -> str:
    """Nothing: for an entry that is words alone."""
    return ""
