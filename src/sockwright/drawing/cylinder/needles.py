"""The needles of a cylinder picture: strokes, numbers, and the dial's needles inside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from typing import Any, NamedTuple

from sockwright.drawing.base.geometry import Dial
from sockwright.drawing.base.signs import numbered
from sockwright.drawing.base.svg import Point, circle, group, line, path, segments_data, write
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme, text_box, without_overlaps
from sockwright.drawing.cylinder.view import CylinderView, Needle

SMALLEST_TYPE_MM = 2.2
"""Type below this (about 6 point) is not read at a bench."""
SMALL_TYPE_MM = 2.3
"""Type in a small picture (6.5 point)."""
TYPE_SHARE = 0.031
"""Size of the type as a share of the picture's width."""


@dataclass(frozen=True)
class Tracks:
    """Radii of the rings of a square picture `size` mm wide, and the size of its type, mm."""

    size: float
    type: float
    names: float
    bezel_outer: float
    bezel_inner: float
    numbers: float
    carrier_outer: float
    carrier_inner: float
    raised_outer: float
    needle_outer: float
    needle_length: float
    dial: float
    marks: float
    mark_size: float
    letters: float
    deep: float
    deep_letters: float
    band_outer: float
    band_inner: float

    @property
    def face(self) -> Dial:
        """The clock face all rings lie on."""
        return Dial((self.size / 2, self.size / 2))

    @property
    def needle_inner(self) -> float:
        """Inner end of a needle in work."""
        return self.needle_outer - self.needle_length

    @property
    def lift(self) -> float:
        """How far a raised needle is drawn outward."""
        return self.raised_outer - self.needle_outer

    def pitch(self, needles: int) -> float:
        """Distance between needles at their middle, mm."""
        return 2 * pi * (self.needle_outer - self.needle_length / 2) / needles


@dataclass(frozen=True)
class _Spacing:
    """Distances between neighbouring rings, in heights of type."""

    carrier_height: float
    to_raised: float
    to_working: float
    needle_length: float
    to_dial: float
    dial_to_marks: float
    to_marks: float
    mark_size: float
    to_letters: float
    to_deep: float
    to_band: float
    band_height: float


LARGE = _Spacing(1.35, 0.15, 0.9, 1.55, 0.45, 0.5, 0.25, 1.25, 0.65, 0.6, 0.8, 0.7)
SMALL = _Spacing(1.15, 0.1, 0.75, 1.35, 0.4, 0.45, 0.2, 1.1, 0.6, 0.55, 0.75, 0.7)


def lay_tracks(size_mm: float, *, dial: bool, deep: bool) -> Tracks:
    """The rings of a picture `size_mm` wide, with one for dial needles and a second one for the
    outer limits where they are wanted."""
    t = max(SMALLEST_TYPE_MM, TYPE_SHARE * size_mm)
    edge = size_mm / 2
    bezel_outer = edge - 1.35 * t
    bezel_inner = bezel_outer - 1.3 * t
    shell = (edge - 0.65 * t, bezel_outer, bezel_inner)
    return _inside(size_mm, t, shell, bezel_inner - 1.05 * t, LARGE, dial=dial, deep=deep)


def lay_small_tracks(size_mm: float, *, dial: bool, deep: bool) -> Tracks:
    """The rings of a small picture without the fixed ring round it, its type as large as that of
    a large one: numbers outermost, then carrier, needles and marks."""
    t = SMALL_TYPE_MM
    edge = size_mm / 2
    return _inside(size_mm, t, (edge, edge, edge), edge - 0.95 * t, SMALL, dial=dial, deep=deep)


def _inside(
    size_mm: float,
    t: float,
    shell: tuple[float, float, float],
    numbers: float,
    space: _Spacing,
    *,
    dial: bool,
    deep: bool,
) -> Tracks:
    """All rings from the numbers inward, for type `t` high; `shell` are the radii of the names and
    of the fixed ring's edges."""
    names, bezel_outer, bezel_inner = shell
    carrier_outer = numbers - 0.95 * t
    carrier_inner = carrier_outer - space.carrier_height * t
    raised_outer = carrier_inner - space.to_raised * t
    needle_outer = raised_outer - space.to_working * t
    needle_length = space.needle_length * t
    inner = needle_outer - needle_length
    dial_track = inner - space.to_dial * t
    marks = dial_track - space.dial_to_marks * t if dial else inner - space.to_marks * t
    mark_size = space.mark_size * t
    letters = marks - mark_size - space.to_letters * t
    deep_track = letters - space.to_deep * t if deep else marks
    deep_letters = deep_track - mark_size - space.to_letters * t
    band_outer = deep_letters - space.to_band * t
    return Tracks(
        size=size_mm,
        type=t,
        names=names,
        bezel_outer=bezel_outer,
        bezel_inner=bezel_inner,
        numbers=numbers,
        carrier_outer=carrier_outer,
        carrier_inner=carrier_inner,
        raised_outer=raised_outer,
        needle_outer=needle_outer,
        needle_length=needle_length,
        dial=dial_track,
        marks=marks,
        mark_size=mark_size,
        letters=letters,
        deep=deep_track,
        deep_letters=deep_letters,
        band_outer=band_outer,
        band_inner=band_outer - space.band_height * t,
    )


MOST_STROKE = 0.4
"""Widest a needle is drawn, in type sizes."""
STROKE_OF_PITCH = 0.42
"""Stroke of a needle as a share of the distance between needles."""


def stroke_width(view: CylinderView, tracks: Tracks) -> float:
    """How wide a needle is drawn, mm."""
    return min(MOST_STROKE * tracks.type, STROKE_OF_PITCH * tracks.pitch(view.needles))


def draw_needles(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """Every slot: a solid stroke for a needle in work, a hollow one further out for a raised
    needle, a dot for an empty slot. Needles to be touched now are drawn in the accent."""
    width = stroke_width(view, tracks)
    now = set(view.now)
    strokes = (
        _needle(view, tracks, needle, NOW_WIDER * width, theme.act, theme)
        if needle in now
        else _needle(view, tracks, needle, width, theme.ink, theme)
        for needle in range(1, view.needles + 1)
    )
    return group(strokes)


NOW_WIDER = 1.5
"""A needle to be touched now is drawn wider too, so that it is found without its colour."""


def _needle(
    view: CylinderView, tracks: Tracks, needle: int, width: float, ink: str, theme: Theme
) -> str:
    face, hour = tracks.face, view.hour(needle)
    state = view.states[needle - 1]
    if state is Needle.OUT:
        middle = tracks.needle_outer - tracks.needle_length / 2
        return circle(face.at(middle, hour), max(0.6 * width, 0.2), fill=ink)
    if state is Needle.WORKING:
        ends = face.spoke(tracks.needle_inner, tracks.needle_outer, hour)
        return line(*ends, stroke=ink, stroke_width=width)
    ends = face.spoke(tracks.needle_inner + tracks.lift, tracks.raised_outer, hour)
    hollow = line(*ends, stroke=ink, stroke_width=width)
    inset = width * 0.28
    core = face.spoke(tracks.needle_inner + tracks.lift + inset, tracks.raised_outer - inset, hour)
    return hollow + line(*core, stroke=theme.paper, stroke_width=width - 2 * inset)


class NumberLabel(NamedTuple):
    """A needle that is numbered, and the middle of its number."""

    needle: int
    middle: Point


def number_labels(view: CylinderView, tracks: Tracks) -> Iterator[NumberLabel]:
    """Needles to be numbered, with the middle of their number: 1 and every fifth, or every tenth
    where that would crowd; none that would touch one named before."""
    size = tracks.type
    wanted = [1, *numbered(view.needles, _spacing(view, tracks), size)]
    places = [tracks.face.at(tracks.numbers, view.hour(needle)) for needle in wanted]
    boxes = [text_box(place, str(n), size) for place, n in zip(places, wanted, strict=True)]
    keep = without_overlaps(boxes)
    for needle, place, free in zip(wanted, places, keep, strict=True):
        if free:
            yield NumberLabel(needle, place)


def _spacing(view: CylinderView, tracks: Tracks) -> float:
    radius_share = tracks.numbers / (tracks.needle_outer - tracks.needle_length / 2)
    return 5 * tracks.pitch(view.needles) * radius_share


def write_number(needle: int, middle: Point, size: float, **attributes: Any) -> str:
    """The number of a needle about the `middle` of its place."""
    x, y = middle
    base = (x, y + CAP_HEIGHT * size / 2)
    return write(base, str(needle), size, anchor="middle", bold=needle == 1, **attributes)


def draw_numbers(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """The numbers of the needles, with a tick from each to its needle."""
    face, size = tracks.face, tracks.type
    labels = list(number_labels(view, tracks))
    texts = [write_number(needle, middle, size) for needle, middle in labels]
    ticks = segments_data(
        face.spoke(tracks.needle_outer + 0.15 * size, tracks.raised_outer, view.hour(needle))
        for needle, _ in labels
        if view.states[needle - 1] is not Needle.RAISED
    )
    return path(ticks, stroke=theme.faint, stroke_width=0.2) + group(texts)


def draw_dial(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """The ribber's needles: a dot in work, a small ring where the slot is empty."""
    pitch = tracks.pitch(view.needles) * tracks.dial / tracks.needle_outer
    radius = min(0.26 * tracks.type, 0.36 * pitch)
    return group(
        circle(
            tracks.face.at(tracks.dial, view.hour(place)),
            radius,
            fill=theme.ink if works else theme.paper,
            stroke=theme.ink if works else theme.muted,
            stroke_width=0.15,
        )
        for place, works in view.dial
    )
