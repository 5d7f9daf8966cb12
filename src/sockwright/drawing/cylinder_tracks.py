"""The rings that a picture of the cylinder is divided into, from the fixed shell inwards."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from sockwright.drawing.polar import Dial

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


def lay_tracks(size_mm: float, *, dial: bool, deep: bool) -> Tracks:
    """The rings of a picture `size_mm` wide, with one for dial needles and a second one for the
    outer limits where they are wanted."""
    t = max(SMALLEST_TYPE_MM, TYPE_SHARE * size_mm)
    edge = size_mm / 2
    bezel_outer = edge - 1.35 * t
    bezel_inner = bezel_outer - 1.3 * t
    numbers = bezel_inner - 1.05 * t
    carrier_outer = numbers - 0.95 * t
    carrier_inner = carrier_outer - 1.35 * t
    raised_outer = carrier_inner - 0.15 * t
    needle_outer = raised_outer - 0.9 * t
    needle_length = 1.55 * t
    dial_track = needle_outer - needle_length - 0.45 * t
    marks = dial_track - 0.5 * t if dial else needle_outer - needle_length - 0.25 * t
    mark_size = 1.25 * t
    letters = marks - mark_size - 0.65 * t
    deep_track = letters - 0.6 * t if deep else marks
    deep_letters = deep_track - mark_size - 0.65 * t
    band_outer = deep_letters - 0.8 * t
    return Tracks(
        size=size_mm,
        type=t,
        names=edge - 0.65 * t,
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
        band_inner=band_outer - 0.7 * t,
    )


def lay_small_tracks(size_mm: float, *, dial: bool, deep: bool) -> Tracks:
    """The rings of a small picture without the fixed ring round it, its type as large as that of
    a large one: numbers outermost, then carrier, needles and marks."""
    t = SMALL_TYPE_MM
    edge = size_mm / 2
    numbers = edge - 0.95 * t
    carrier_outer = numbers - 0.95 * t
    carrier_inner = carrier_outer - 1.15 * t
    raised_outer = carrier_inner - 0.1 * t
    needle_outer = raised_outer - 0.75 * t
    needle_length = 1.35 * t
    dial_track = needle_outer - needle_length - 0.4 * t
    marks = dial_track - 0.45 * t if dial else needle_outer - needle_length - 0.2 * t
    mark_size = 1.1 * t
    letters = marks - mark_size - 0.6 * t
    deep_track = letters - 0.55 * t if deep else marks
    deep_letters = deep_track - mark_size - 0.6 * t
    band_outer = deep_letters - 0.75 * t
    return Tracks(
        size=size_mm,
        type=t,
        names=edge,
        bezel_outer=edge,
        bezel_inner=edge,
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
        band_inner=band_outer - 0.7 * t,
    )
