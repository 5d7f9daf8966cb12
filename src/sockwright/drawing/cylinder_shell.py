"""What stands still round the needles: the clock ring, its landmarks, the operator, the way
forward."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sockwright.drawing.cylinder_tracks import Tracks
from sockwright.drawing.lettering import CAP_HEIGHT, shortened, text_width
from sockwright.drawing.polar import clockwise, hours_of_length, outward, upright_turn
from sockwright.drawing.shapes import arrow_head, shift
from sockwright.drawing.svg import circle, group, path, polygon_data, segments_data, write
from sockwright.drawing.theme import Theme
from sockwright.drawing.view import CylinderView
from sockwright.drawing.words import Words
from sockwright.machine.model import Turning
from sockwright.machine.places import HOURS, hours_apart

OPERATOR_HOUR = 6.0
FORWARD_HOURS = (12.0, 1.5, 10.5, 3.0, 9.0, 4.5, 7.5)
"""Where the arrow forward may stand, best first."""
ARROW = 4.0
"""Length of the arrow forward, in type sizes."""
LONGEST_NAME = 0.5
"""A name outside the ring is cut short where it is longer than this share of the picture."""
ROUNDS_OF_MOVING = 40
"""How often crowded landmarks are moved apart; a handful needs a few."""


@dataclass(frozen=True)
class Label:
    """A text that follows the ring about `hour`, covering `spread` hours to each side."""

    words: str
    hour: float
    spread: float


def draw_shell(view: CylinderView, tracks: Tracks, theme: Theme, words: Words) -> str:
    """The fixed ring with its hours, and round it landmarks, operator and the way forward."""
    return group(
        (
            _ring(tracks, theme),
            _hours(tracks, theme),
            *(_pointer(tracks, mark.hour, theme) for mark in view.landmarks),
            *(_name(label, tracks, theme.ink) for label in ring_labels(view, tracks, words)),
            _forward(view, tracks, theme, words),
        )
    )


def draw_ring_names(view: CylinderView, tracks: Tracks, theme: Theme, words: Words) -> str:
    """The landmarks and the operator alone, without the fixed ring they stand round."""
    return group(_name(label, tracks, theme.ink) for label in ring_labels(view, tracks, words))


def _ring(tracks: Tracks, theme: Theme) -> str:
    middle = (tracks.bezel_outer + tracks.bezel_inner) / 2
    width = tracks.bezel_outer - tracks.bezel_inner
    centre = tracks.face.centre
    edges = (circle(centre, r) for r in (tracks.bezel_outer, tracks.bezel_inner))
    return circle(centre, middle, fill="none", stroke=theme.tint, stroke_width=width) + group(
        edges, fill="none", stroke=theme.muted, stroke_width=0.18
    )


def _hours(tracks: Tracks, theme: Theme) -> str:
    """Figures at the quarters of the clock face and ticks at the other hours."""
    face, size = tracks.face, tracks.type * 0.86
    middle = (tracks.bezel_outer + tracks.bezel_inner) / 2
    short = (tracks.bezel_outer - tracks.bezel_inner) * 0.22
    figures = []
    for hour in range(1, HOURS + 1):
        x, y = face.at(middle, hour)
        at = (x, y + CAP_HEIGHT * size / 2)
        figures.append(write(at, str(hour), size, anchor="middle", fill=theme.muted))
    halves = segments_data(
        face.spoke(middle - short / 2, middle + short / 2, hour + 0.5) for hour in range(HOURS)
    )
    return group(figures) + path(halves, stroke=theme.muted, stroke_width=0.25)


def _pointer(tracks: Tracks, hour: float, theme: Theme) -> str:
    """The triangle that marks a landmark on the outer edge of the ring, pointing inward."""
    size = 0.42 * tracks.type
    tip = tracks.face.at(tracks.bezel_outer - size, hour)
    away, along = outward(hour), clockwise(hour)
    base = shift(tip, (away, 1.5 * size))
    corners = (tip, shift(base, (along, 0.75 * size)), shift(base, (along, -0.75 * size)))
    return path(polygon_data(corners), fill=theme.ink)


def ring_labels(view: CylinderView, tracks: Tracks, words: Words) -> list[Label]:
    """The landmarks, each as near its hour as the others leave room for, then the operator at the
    nearest free place to six o'clock."""
    labels = [_label(mark.name, mark.hour, tracks) for mark in view.landmarks]
    labels = _apart(sorted(labels, key=lambda label: label.hour))
    you = _label(words.you, OPERATOR_HOUR, tracks)
    tries = [OPERATOR_HOUR + way * step / 10 for step in range(40) for way in (1, -1)]
    free = (hour for hour in tries if all(_clear(hour, you, label) for label in labels))
    return [*labels, replace(you, hour=next(free, OPERATOR_HOUR))]


def _clear(hour: float, label: Label, other: Label) -> bool:
    return hours_apart(hour, other.hour) >= label.spread + other.spread


def _label(text: str, hour: float, tracks: Tracks) -> Label:
    text = shortened(text, tracks.type, _room(hour, tracks))
    width = text_width(text, tracks.type) + 0.8 * tracks.type
    return Label(text, hour % HOURS, hours_of_length(width / 2, tracks.names))


def _room(hour: float, tracks: Tracks) -> float:
    """How long a text at `hour` outside the ring may be to stay within the picture, mm."""
    most = LONGEST_NAME * tracks.size
    half = tracks.size / 2 - CAP_HEIGHT * tracks.type / 2
    for away, along in zip(outward(hour), clockwise(hour), strict=True):
        # The text goes as far to one side as to the other: the nearer side decides.
        to_side = half - tracks.names * abs(away)
        if 2 * to_side < most * abs(along):
            most = 2 * to_side / abs(along)
    return most


def _apart(labels: list[Label]) -> list[Label]:
    """Neighbours that run into each other moved apart, each by half of what is missing."""
    labels = list(labels)
    for _ in range(ROUNDS_OF_MOVING if len(labels) > 1 else 0):
        for place in range(len(labels)):
            one, other = labels[place - 1], labels[place]
            # The last is the first's neighbour too, a whole turn on.
            apart = other.hour - one.hour + (0 if place else HOURS)
            missing = one.spread + other.spread - apart
            if missing > 0:
                labels[place - 1] = replace(one, hour=one.hour - missing / 2)
                labels[place] = replace(other, hour=other.hour + missing / 2)
    return labels


def _name(label: Label, tracks: Tracks, ink: str, *, bold: bool = False) -> str:
    size, hour = tracks.type, label.hour
    turn = upright_turn(hour)
    above = abs((hour % HOURS) * 360 / HOURS - turn) % 360 < 1
    drop = CAP_HEIGHT * size / 2
    at = tracks.face.at(tracks.names - (drop if above else -drop), hour)
    return write(at, label.words, size, anchor="middle", bold=bold, turn_degrees=turn, fill=ink)


def forward_hour(view: CylinderView) -> float:
    """Where the arrow forward stands: the first of FORWARD_HOURS with no landmark near."""
    taken = [OPERATOR_HOUR, *(mark.hour for mark in view.landmarks)]
    room = {hour: min(hours_apart(hour, other) for other in taken) for hour in FORWARD_HOURS}
    return next(
        (hour for hour in FORWARD_HOURS if room[hour] >= 2), max(room, key=room.__getitem__)
    )


def _forward(view: CylinderView, tracks: Tracks, theme: Theme, words: Words) -> str:
    """The word with an arrow the way that the turning part goes forward."""
    sense = view.sense if view.turning is Turning.CARRIER else -view.sense
    hour, size = forward_hour(view), tracks.type
    text = hours_of_length(text_width(words.forward, size) / 2 + 0.6 * size, tracks.names)
    arrow = hours_of_length(ARROW * size, tracks.names)
    name = Label(words.forward, hour - sense * arrow / 2, text)
    start = name.hour + sense * text
    end = start + sense * arrow
    tip = tracks.face.at(tracks.names, end)
    way = clockwise(end - sense * hours_of_length(0.5 * size, tracks.names))
    shaft_end = end - sense * hours_of_length(0.8 * size, tracks.names)
    shaft = path(
        tracks.face.arc(tracks.names, start, shaft_end),
        fill="none",
        stroke=theme.ink,
        stroke_width=0.12 * size,
    )
    head = arrow_head(tip, (sense * way[0], sense * way[1]), size, theme.ink)
    return _name(name, tracks, theme.ink) + shaft + head
