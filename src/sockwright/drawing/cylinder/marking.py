"""What the cylinder is marked by: a paper strip that goes once round the needles, and a disc as
wide as their circle, each with every needle and mark.

The strip is read from outside the cylinder with the needles above. Where forward is anticlockwise
seen from above, needle numbers then run from left to right; where it is clockwise, from right to
left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, pi

from sockwright.drawing.base.geometry import Dial, clockwise, outward
from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.signs import RIGHT, UP, mark_symbol, numbered
from sockwright.drawing.base.svg import (
    Point,
    circle,
    document,
    group,
    line,
    path,
    rectangle,
    segments_data,
    write,
)
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme, text_box, text_width, without_overlaps
from sockwright.i18n import ENGLISH, Locale, _
from sockwright.machine import HOURS, Direction, Machine, home_hour

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

RING_MARGIN_MM = 6.0

LETTERS_END_MM = FIVE_MM + MARK_MM + 4.1 * TYPE_MM
"""Ticks, numbers, marks and their letters take so much of the disc from its edge inward."""


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
    words: Locale = ENGLISH,
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
    words: Locale,
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
    title = words.render("Marking strip for {needles} needles", needles=strip.needles)
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
        write((x, base), str(n), TYPE_MM, anchor="middle", bold=n == 1)
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
            parts.append(write(at, mark.letter, TYPE_MM, anchor="middle", bold=True))
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


def _caption_words(strip: _Strip, place: int, tiles: int, words: Locale) -> str:
    return words.render(
        "{needles} needles · piece {tile} of {tiles} · {length} round the needles",
        needles=strip.needles,
        tile=place + 1,
        tiles=tiles,
        length=_("{value:.1f} mm", value=strip.length_mm),
    )


def _caption(
    strip: _Strip, place: int, tiles: int, span: tuple[float, float], theme: Theme, words: Locale
) -> str:
    start, end = span
    base = STRIP_MM - 1.0
    text = _caption_words(strip, place, tiles, words)
    caption = write((start + CAPTION_IN_MM, base), text, SMALL_MM, fill=theme.muted)
    after = (
        words.render("lay the beginning over this")
        if place + 1 == tiles
        else words.render("lay piece {tile} over this", tile=place + 2)
    )
    room = end - start - 2 * CAPTION_IN_MM - text_width(text, SMALL_MM)
    if text_width(after, SMALL_MM) > room:
        return caption
    at = (end - CAPTION_IN_MM, base)
    return caption + write(at, after, SMALL_MM, anchor="end", fill=theme.muted)


def ring_svg(
    needles: int,
    diameter_mm: float,
    marks: tuple[PlacedMark, ...],
    machine: Machine,
    theme: Theme = Theme.PRINT,
    words: Locale = ENGLISH,
) -> str:
    """A disc of `diameter_mm`, seen from above and lying as the cylinder does at rest: a tick for
    every needle, numbers, the halves and the marks."""
    radius = diameter_mm / 2
    size = diameter_mm + 2 * RING_MARGIN_MM
    face = Dial((size / 2, size / 2))
    sense = 1 if machine.forward is Direction.CLOCKWISE else -1
    turn = _Turn(face, radius, home_hour(machine), sense, needles)
    title = words.render("Marking ring for {needles} needles", needles=needles)
    size_words = words.render(
        "{needles} needles · {diameter} across the needle circle",
        needles=needles,
        diameter=_("{value:g} mm", value=diameter_mm),
    )
    body = (
        circle(face.centre, radius, fill="none", stroke=theme.ink, stroke_width=0.2),
        turn.cross(theme),
        turn.ticks(theme),
        turn.numbers(),
        turn.marks(marks, theme),
        turn.names(size_words, theme, words),
    )
    return document(size, size, title, size_words, body, theme)


class _Turn:
    """Needle places on the disc."""

    def __init__(self, face: Dial, radius: float, home: float, sense: int, needles: int) -> None:
        self.face, self.radius, self.home = face, radius, home
        self.sense, self.needles = sense, needles

    def hour(self, place: float) -> float:
        return (self.home + self.sense * HOURS * (place - 0.5) / self.needles) % HOURS

    def ticks(self, theme: Theme) -> str:
        every = range(1, self.needles + 1)
        long = [n for n in every if n % 5 == 0 or n == 1]
        short = [n for n in every if n not in long]
        return group(
            (
                path(
                    segments_data(
                        self.face.spoke(self.radius - length, self.radius, self.hour(n))
                        for n in numbers
                    ),
                    stroke_width=width,
                )
                for numbers, length, width in ((short, TICK_MM, 0.25), (long, FIVE_MM, 0.4))
            ),
            stroke=theme.ink,
        )

    def cross(self, theme: Theme) -> str:
        """The line between the halves, as far as the marks' letters, and the middle."""
        ends = [
            self.face.at(self.radius - LETTERS_END_MM, self.hour(p))
            for p in (0.5, self.needles // 2 + 0.5)
        ]
        centre = self.face.centre
        lines = (line(centre, end, stroke_dasharray="4 1 1 1") for end in ends)
        return group(
            (*lines, circle(centre, 1.5, fill="none")), stroke=theme.muted, stroke_width=0.2
        )

    def numbers(self) -> str:
        radius = self.radius - FIVE_MM - 1.0 * TYPE_MM
        apart = 5 * 2 * pi * radius / self.needles
        wanted = [1, *numbered(self.needles, apart, TYPE_MM)]
        places = [self.face.at(radius, self.hour(n)) for n in wanted]
        boxes = [text_box(at, str(n), TYPE_MM) for at, n in zip(places, wanted, strict=True)]
        keep = without_overlaps(boxes)
        return group(
            _centred(str(n), at, bold=n == 1)
            for n, at, free in zip(wanted, places, keep, strict=True)
            if free
        )

    def marks(self, marks: tuple[PlacedMark, ...], theme: Theme) -> str:
        """The marks inside the numbers, each tied to the edge by a fine line."""
        tip = self.radius - FIVE_MM - 2.5 * TYPE_MM
        parts = []
        for mark in marks:
            hour = self.hour(mark.place)
            way = clockwise(hour)
            along = (self.sense * way[0], self.sense * way[1])
            at = self.face.at(tip, hour)
            if not mark.facing:
                ends = self.face.spoke(self.radius - FIVE_MM, self.radius, hour)
                parts.append(
                    line(*ends, stroke=theme.ink, stroke_width=0.25, stroke_dasharray="0.8 0.5")
                )
            parts.append(mark_symbol(mark, at, MARK_MM, theme, outward(hour), along))
            letter = self.face.at(tip - MARK_MM - 0.8 * TYPE_MM, hour)
            parts.append(_centred(mark.letter, letter, bold=True))
        return group(parts)

    def names(self, said: str, theme: Theme, words: Locale) -> str:
        middle = (self.needles // 2 + 1) / 2
        x, y = self.face.at(0.35 * self.radius, self.hour(middle))
        other = self.face.at(0.35 * self.radius, self.hour(middle) + HOURS / 2)
        base = self.face.at(0.14 * self.radius, self.hour(middle))
        return (
            _centred(words.render("heel half"), (x, y))
            + _centred(words.render("instep half"), other)
            + write(base, said, TYPE_MM * 0.85, anchor="middle", fill=theme.muted)
        )


def _centred(words: str, at: Point, *, bold: bool = False) -> str:
    base = (at[0], at[1] + CAP_HEIGHT * TYPE_MM / 2)
    return write(base, words, TYPE_MM, anchor="middle", bold=bold)
