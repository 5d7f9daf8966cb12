"""What moves in a cylinder picture beside the needles: carrier, marks, the two halves."""

from __future__ import annotations

from math import hypot, pi

from sockwright.drawing.base.geometry import clockwise, hours_of_length, outward
from sockwright.drawing.base.signs import arrow_head, mark_symbol, shift
from sockwright.drawing.base.svg import Point, group, line, path, polygon_data, segments_data, write
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme, text_width, wrap
from sockwright.drawing.cylinder.needles import Tracks
from sockwright.drawing.cylinder.view import CylinderView
from sockwright.i18n import Locale
from sockwright.machine import HOURS, Turning
from sockwright.steps import Way

HATCH_APART = 0.42
"""Distance of hatch lines, in type sizes."""


TYPE_SHARES = (1.0, 0.85, 0.7)
"""Sizes of the names of the halves that are tried, in type sizes."""

LEAST_TYPE_MM = 1.85
"""On paper smaller type is not read at half an arm's length: 5.2 points."""

LIMITS_APART = 1.5
"""Least distance of outer limits from the others on one ring, in heights of a mark."""


def crowded_limits(view: CylinderView, tracks: Tracks) -> bool:
    """Whether outer limits would run into their neighbours on the ring of the other marks."""
    outer = [mark.place for mark in view.marks if mark.role == "deep limits"]
    others = [mark.place for mark in view.marks if mark.role != "deep limits"]
    apart = min((abs(a - b) for a in outer for b in others), default=view.needles)
    return apart * 2 * pi * tracks.marks / view.needles < LIMITS_APART * tracks.mark_size


def draw_marks(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """Every mark inside its needle or gap, with its letter further in."""
    parts = []
    for mark in view.marks:
        hour = view.hour(mark.place)
        deep = mark.role == "deep limits"
        tip = tracks.face.at(tracks.deep if deep else tracks.marks, hour)
        way = clockwise(hour)
        along = (view.sense * way[0], view.sense * way[1])
        parts.append(mark_symbol(mark, tip, tracks.mark_size, theme, outward(hour), along))
        letters = tracks.deep_letters if deep else tracks.letters
        # Too near the middle, the letters of a pair would run into each other.
        if letters >= tracks.type:
            at = tracks.face.at(letters, hour)
            parts.append(_centred(mark.letter, at, tracks.type, bold=True))
    return group(parts)


def _centred(words: str, at: Point, size: float, *, bold: bool = False) -> str:
    return write((at[0], at[1] + CAP_HEIGHT * size / 2), words, size, anchor="middle", bold=bold)


def draw_halves(view: CylinderView, tracks: Tracks, theme: Theme, words: Locale) -> str:
    """The heel half hatched in a band, a centre line between the halves, and their names."""
    return draw_band(view, tracks, theme) + group(half_names(view, tracks, words))


def draw_band(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """The heel half hatched in a band, and a centre line between the halves."""
    face = tracks.face
    start, end = view.hour(0.5), view.hour(0.5) + view.sense * _hours(view, view.heel_needles)
    edges = group(
        (path(face.arc(r, start, end)) for r in (tracks.band_inner, tracks.band_outer)),
        fill="none",
        stroke=theme.muted,
        stroke_width=0.18,
    )
    hatch = path(_hatch(tracks, start, end), stroke=theme.muted, stroke_width=0.18)
    axis = group(
        (line(*face.spoke(0, tracks.band_outer, hour)) for hour in (start, end)),
        stroke=theme.muted,
        stroke_width=0.18,
        stroke_dasharray="2.4 0.6 0.5 0.6",
    )
    return edges + hatch + axis


def _hours(view: CylinderView, needles: float) -> float:
    return HOURS * needles / view.needles


def _hatch(tracks: Tracks, start: float, end: float) -> str:
    """Slanting lines across the band between two hours."""
    apart = hours_of_length(HATCH_APART * tracks.type, tracks.band_outer)
    lean = hours_of_length(tracks.band_outer - tracks.band_inner, tracks.band_outer)
    low, high = min(start, end), max(start, end)
    count = int((high - low - lean) / apart)
    first = low + (high - low - lean - count * apart) / 2
    face = tracks.face
    return segments_data(
        (
            face.at(tracks.band_inner, first + place * apart),
            face.at(tracks.band_outer, first + place * apart + lean),
        )
        for place in range(count + 1)
    )


def half_names(
    view: CylinderView, tracks: Tracks, words: Locale, least_mm: float = LEAST_TYPE_MM
) -> list[str]:
    """The names of the halves, each on its side of the centre, smaller where they are long, though
    never below `least_mm`; none where there is no room."""
    sizes = [share * tracks.type for share in TYPE_SHARES]
    tried = (_half_names(view, tracks, words, size) for size in sizes if size >= least_mm)
    return next(filter(None, tried), [])


def _half_names(view: CylinderView, tracks: Tracks, words: Locale, size: float) -> list[str]:
    middle = (view.heel_needles + 1) / 2
    radius = 0.52 * tracks.band_inner
    names = (
        (words.render("heel half"), view.hour(middle)),
        (words.render("instep half"), view.hour(middle) + 6),
    )
    parts = []
    for text, hour in names:
        lines = wrap(text, size, 0)
        width = max(text_width(one, size) for one in lines) / 2
        if hypot(width + radius, len(lines) * size / 2) > 1.25 * tracks.band_inner:
            return []
        x, y = tracks.face.at(radius, hour)
        drops = [(row - (len(lines) - 1) / 2) * 1.1 * size for row in range(len(lines))]
        each = zip(lines, drops, strict=True)
        parts.append("".join(_centred(one, (x, y + drop), size) for one, drop in each))
    return parts


def draw_carrier(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """The carrier at its gap in its yarn's colour, and an arrow the way of the next pass."""
    fill = view.yarn_paint if view.yarn else theme.paper
    return group((draw_way(view, tracks, theme), draw_block(view, tracks, fill, theme)))


def draw_way(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """An arrow the way of the next pass: away from the carrier if it turns, from the coming
    needles to it if the cylinder does. Nothing where no pass follows."""
    if view.way is None:
        return ""
    hour, size = view.carrier_hour, tracks.type
    sense = view.sense if view.way is Way.FORWARD else -view.sense
    radius = (tracks.carrier_outer + tracks.carrier_inner) / 2
    length = 4.2 * size
    if view.turning is Turning.CYLINDER:
        hour_from = hour + sense * hours_of_length(length + 0.9 * size, radius)
        return _arc_arrow(tracks, radius, hour_from, -sense, length, theme)
    return _arc_arrow(tracks, radius, hour, sense, length, theme)


def _arc_arrow(
    tracks: Tracks, radius: float, start: float, sense: int, length: float, theme: Theme
) -> str:
    size = 1.15 * tracks.type
    end = start + sense * hours_of_length(length, radius)
    neck = end - sense * hours_of_length(0.85 * size, radius)
    way = clockwise(end - sense * hours_of_length(0.5 * size, radius))
    shaft = path(
        tracks.face.arc(radius, start, neck),
        fill="none",
        stroke=theme.ink,
        stroke_width=0.26 * tracks.type,
    )
    tip = tracks.face.at(radius, end)
    return shaft + arrow_head(tip, (sense * way[0], sense * way[1]), size, theme.ink)


def draw_block(view: CylinderView, tracks: Tracks, fill: str, theme: Theme) -> str:
    """The carrier: a block with a point to the gap it stands at."""
    hour = view.carrier_hour
    away, along = outward(hour), clockwise(hour)
    half = 0.62 * tracks.type
    tip = tracks.face.at(tracks.carrier_inner, hour)
    height = tracks.carrier_outer - tracks.carrier_inner
    shoulder = 0.45 * height
    corners = (
        tip,
        shift(tip, (away, shoulder), (along, half)),
        shift(tip, (away, height), (along, half)),
        shift(tip, (away, height), (along, -half)),
        shift(tip, (away, shoulder), (along, -half)),
    )
    return path(
        polygon_data(corners),
        fill=fill,
        stroke=theme.ink,
        stroke_width=0.13 * tracks.type,
        stroke_linejoin="round",
    )
