"""Names beside the points of a plot, where nothing else stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from sockwright.drawing.base.svg import Point, write
from sockwright.drawing.base.theme import CAP_HEIGHT, Box, Theme, shortened, text_width
from sockwright.drawing.curve.axes import Area

BESIDE_MM = 2.2
"""A name stands this far from the middle of its point."""

AIR_MM = 0.5
HALO_MM = 0.8

SHARES = (0.5, 0.3)
"""How much of the plot's width a name may take, and how much where that finds no place."""


@dataclass(frozen=True)
class Label:
    """A text that has its place: the left end of its baseline, and the box that it fills."""

    words: str
    at: Point
    box: Box


def write_label(label: Label, size: float, fill: str, theme: Theme, *, bold: bool = False) -> str:
    """A text with paper round its letters, which keeps lines that pass behind it away from them."""
    return write(
        label.at,
        label.words,
        size,
        bold=bold,
        fill=fill,
        stroke=theme.paper,
        stroke_width=HALO_MM,
        stroke_linejoin="round",
        paint_order="stroke",
    )


def label_at(left: float, middle: float, words: str, size: float, *, bold: bool = False) -> Label:
    """A text from `left` on, its capitals centred on the height `middle`."""
    width = text_width(words, size, bold=bold)
    box = Box(left + width / 2, middle, width + 2 * AIR_MM, size + AIR_MM)
    return Label(words, (left, middle + CAP_HEIGHT * size / 2), box)


def place_beside(
    point: Point,
    words: str,
    size: float,
    area: Area,
    taken: Sequence[Box],
    avoided: Sequence[Box] = (),
    reach: float = 0.0,
) -> Label | None:
    """The name of a point beside it, within the area and clear of what is `taken`, and of what is
    `avoided` too if that can be; cut short where that helps, None if there is no place at all.

    `reach` is how far the point's error goes up and down, mm.
    """
    for share in SHARES:
        shorter = shortened(words, size, area.width * share)
        free = [
            label
            for label in _candidates(point, shorter, size, reach)
            if _within(label.box, area) and not _hits(label.box, taken)
        ]
        if free:
            return next((one for one in free if not _hits(one.box, avoided)), free[0])
    return None


def _candidates(point: Point, words: str, size: float, reach: float) -> Iterator[Label]:
    """To the right below the point, where a curve that rises leaves room, then all round it."""
    x, y = point
    width, drop = text_width(words, size), max(0.9 * size, 1.4)
    right, left, centred = x + BESIDE_MM, x - BESIDE_MM - width, x - width / 2
    far = max(reach, BESIDE_MM) + 0.7 * size
    for start, middle in (
        (right, y + drop),
        (left, y - drop),
        (right, y - drop),
        (left, y + drop),
        (right, y),
        (left, y),
        (centred, y + far),
        (centred, y - far),
        (right, y + 2 * drop),
        (left, y - 2 * drop),
        (right, y - 2 * drop),
        (left, y + 2 * drop),
    ):
        yield label_at(start, middle, words, size)


def _within(box: Box, area: Area) -> bool:
    across = area.left < box.x - box.width / 2 and box.x + box.width / 2 < area.right + AIR_MM
    return across and area.top < box.y - box.height / 2 and box.y + box.height / 2 < area.bottom


def _hits(box: Box, others: Iterable[Box]) -> bool:
    return any(box.overlaps(other) for other in others)
