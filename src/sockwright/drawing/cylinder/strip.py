"""The marking strip: every needle and mark along a paper strip that goes once round the needles.

Read from outside the cylinder with the needles above. Where forward is anticlockwise seen from
above, needle numbers then run from left to right; where it is clockwise, from right to left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, pi

from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.signs import RIGHT, UP, mark_symbol, numbered
from sockwright.drawing.base.svg import (
    circle,
    document,
    group,
    line,
    path,
    rectangle,
    segments_data,
)
from sockwright.drawing.base.svg import write as write_text
from sockwright.drawing.base.text import CAP_HEIGHT, text_box, text_width, without_overlaps
from sockwright.drawing.base.theme import Theme
from sockwright.machine import Direction
from sockwright.words import ENGLISH, Tongue, said

OVERLAP_MM = 5.0
MARGIN_MM = 4.0
STRIP_MM = 21.0
"""Height of the strip."""
TICK_MM, FIVE_MM = 3.6, 5.2
"""Lengths of a needle's tick and of every fifth one."""
MARK_TIP_MM, MARK_MM = 5.6, 3.8
LETTER_MM = 11.4
ASIDE_MM = 3.0
"""A letter stands under its bracket, but beside a wedge, which points to a gap: there the strip
may be cut, and no letter is cut through."""
NUMBER_MM = 14.8
BAND_MM = (16.6, 17.6)
"""The hatched band of the heel half: its upper and lower edge."""
TYPE_MM, SMALL_MM = 2.8, 2.3
CAPTION_IN_MM = 3.6


@dataclass(frozen=True)
class StripTile:
    """One piece of the strip on a document `width_mm` by `height_mm`.

    It shows the strip from `start_mm` to `end_mm`, measured along the strip from its left end, and
    `overlap_mm` more on the right, over which the next piece is laid. `left_mm` is where
    `start_mm` lies in the document.
    """

    svg: str
    start_mm: float
    end_mm: float
    overlap_mm: float
    left_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class _Strip:
    """The whole strip: its needles, its length round the needle circle and the way it is read."""

    needles: int
    length_mm: float
    rightward: bool
    marks: tuple[PlacedMark, ...]

    @property
    def pitch(self) -> float:
        return self.length_mm / self.needles

    def x(self, place: float) -> float:
        """Distance from the strip's left end of a place in needle numbers."""
        along = (place - 0.5) * self.pitch
        return along if self.rightward else self.length_mm - along

    def copies(self, place: float, start: float, end: float, slack: float) -> Iterator[float]:
        """Every x in start..end, and `slack` beyond, at which a place comes round again."""
        for turn in (-1, 0, 1):
            x = self.x(place) + turn * self.length_mm
            if start - slack <= x <= end + slack:
                yield x


def strip_svgs(
    needles: int,
    diameter_mm: float,
    marks: tuple[PlacedMark, ...],
    forward: Direction,
    longest_mm: float = 190.0,
    theme: Theme = Theme.PRINT,
    words: Tongue = ENGLISH,
) -> tuple[StripTile, ...]:
    """The strip for a needle circle of `diameter_mm`, exactly pi x diameter long, as pieces on
    documents no wider than `longest_mm`. ValueError where that leaves nothing for a piece."""
    strip = _Strip(needles, pi * diameter_mm, forward is Direction.ANTICLOCKWISE, marks)
    most = int((longest_mm - 2 * MARGIN_MM - OVERLAP_MM) / strip.pitch + 1e-9)
    if most < 1:
        raise ValueError(f"no strip fits on {longest_mm} mm")
    tiles = ceil(needles / most)
    # Pieces end in gaps, so that no needle's tick is cut through.
    ends = [needles * place // tiles * strip.pitch for place in range(tiles + 1)]
    return tuple(
        _tile(strip, place, tiles, span, theme, words) for place, span in enumerate(pairwise(ends))
    )


def _tile(
    strip: _Strip,
    place: int,
    tiles: int,
    span: tuple[float, float],
    theme: Theme,
    words: Tongue,
) -> StripTile:
    start, end = span
    reach = end + OVERLAP_MM
    left = MARGIN_MM - start
    body = group(
        (
            _frame(start, end, reach, theme),
            _band(strip, start, reach, theme),
            _ticks(strip, start, reach, theme),
            _numbers(strip, start, reach),
            _marks(strip, start, reach, theme),
            _caption(strip, place, tiles, span, theme, words),
        ),
        transform=f"translate({left:.3f} {MARGIN_MM:.3f})",
    )
    width = end - start + OVERLAP_MM + 2 * MARGIN_MM
    height = STRIP_MM + 2 * MARGIN_MM
    title = words.tell("Marking strip for {needles} needles", needles=strip.needles)
    svg = document(width, height, title, _caption_words(strip, place, tiles, words), (body,), theme)
    return StripTile(svg, start, end, OVERLAP_MM, MARGIN_MM, width, height)


def _frame(start: float, end: float, reach: float, theme: Theme) -> str:
    """The line to cut along, the lap in a tint, and half a target on each end to lay together."""
    lap = rectangle((end, 0), reach - end, STRIP_MM, fill=theme.tint)
    cut = rectangle(
        (start, 0), reach - start, STRIP_MM, fill="none", stroke=theme.ink, stroke_width=0.2
    )
    joint = line(
        (end, 0), (end, STRIP_MM), stroke=theme.muted, stroke_width=0.2, stroke_dasharray="1.2 0.8"
    )
    targets = (_target(x, theme) for x in (start, end))
    return lap + cut + joint + "".join(targets)


def _target(x: float, theme: Theme) -> str:
    y = STRIP_MM - 1.8
    cross = segments_data((((x - 2, y), (x + 2, y)), ((x, y - 1.6), (x, y + 1.6))))
    return group(
        (circle((x, y), 1.1), path(cross)), fill="none", stroke=theme.ink, stroke_width=0.18
    )


def _ticks(strip: _Strip, start: float, reach: float, theme: Theme) -> str:
    """A tick for every needle, its middle exactly at the needle's place, down from the edge."""
    lengths: dict[float, list[float]] = {TICK_MM: [], FIVE_MM: []}
    for needle in range(1, strip.needles + 1):
        long = needle % 5 == 0 or needle == 1
        lengths[FIVE_MM if long else TICK_MM] += strip.copies(needle, start, reach, 0)
    return group(
        (
            path(
                segments_data(((x, 0), (x, length)) for x in sorted(places)),
                stroke_width=0.4 if length == FIVE_MM else 0.25,
            )
            for length, places in lengths.items()
        ),
        stroke=theme.ink,
    )


def _numbers(strip: _Strip, start: float, reach: float) -> str:
    base = NUMBER_MM + CAP_HEIGHT * TYPE_MM / 2
    wanted = [1, *numbered(strip.needles, 5 * strip.pitch, TYPE_MM)]
    places = [(x, n) for n in wanted for x in strip.copies(n, start, reach, 0.5 * TYPE_MM)]
    keep = without_overlaps(text_box((x, NUMBER_MM), str(n), TYPE_MM) for x, n in places)
    return group(
        write_text((x, base), str(n), TYPE_MM, anchor="middle", bold=n == 1)
        for (x, n), free in zip(places, keep, strict=True)
        if free
    )


def _marks(strip: _Strip, start: float, reach: float, theme: Theme) -> str:
    along = RIGHT if strip.rightward else (-RIGHT[0], RIGHT[1])
    parts = []
    for mark in strip.marks:
        for x in strip.copies(mark.place, start, reach, 0.2):
            parts.append(
                line((x, 0), (x, MARK_TIP_MM), stroke=theme.ink, stroke_width=0.5)
                if mark.facing
                else line(
                    (x, 0),
                    (x, MARK_TIP_MM),
                    stroke=theme.ink,
                    stroke_width=0.25,
                    stroke_dasharray="0.8 0.5",
                )
            )
            parts.append(mark_symbol(mark, (x, MARK_TIP_MM), MARK_MM, theme, UP, along))
            aside = (0.0, LETTER_MM) if mark.facing else (ASIDE_MM, MARK_TIP_MM + 0.7 * MARK_MM)
            at = (x + aside[0], aside[1] + CAP_HEIGHT * TYPE_MM / 2)
            parts.append(write_text(at, mark.letter, TYPE_MM, anchor="middle", bold=True))
    return group(parts)


def _band(strip: _Strip, start: float, reach: float, theme: Theme) -> str:
    """The heel half as a hatched band under its needles."""
    ends = sorted((strip.x(0.5), strip.x(strip.needles // 2 + 0.5)))
    top, bottom = BAND_MM
    parts = []
    for turn in (-1, 0, 1):
        low, high = (min(max(end + turn * strip.length_mm, start), reach) for end in ends)
        if high - low > 1:
            height = bottom - top
            count = int((high - low - height) / 1.2)
            strokes = segments_data(
                ((low + n * 1.2, bottom), (low + n * 1.2 + height, top)) for n in range(count + 1)
            )
            parts.append(rectangle((low, top), high - low, height, fill="none") + path(strokes))
    return group(parts, stroke=theme.muted, stroke_width=0.18)


def _caption_words(strip: _Strip, place: int, tiles: int, words: Tongue) -> str:
    return words.tell(
        "{needles} needles · piece {tile} of {tiles} · {length} round the needles",
        needles=strip.needles,
        tile=place + 1,
        tiles=tiles,
        length=said("{value:.1f} mm", value=strip.length_mm),
    )


def _caption(
    strip: _Strip, place: int, tiles: int, span: tuple[float, float], theme: Theme, words: Tongue
) -> str:
    start, end = span
    base = STRIP_MM - 1.0
    text = _caption_words(strip, place, tiles, words)
    caption = write_text((start + CAPTION_IN_MM, base), text, SMALL_MM, fill=theme.muted)
    after = (
        words.tell("lay the beginning over this")
        if place + 1 == tiles
        else words.tell("lay piece {tile} over this", tile=place + 2)
    )
    room = end - start - 2 * CAPTION_IN_MM - text_width(text, SMALL_MM)
    if text_width(after, SMALL_MM) > room:
        return caption
    at = (end - CAPTION_IN_MM, base)
    return caption + write_text(at, after, SMALL_MM, anchor="end", fill=theme.muted)
