"""The needles of a cylinder picture: strokes, numbers, and the dial's needles inside them."""

from __future__ import annotations

from collections.abc import Iterator

from sockwright.drawing.cylinder_tracks import Tracks
from sockwright.drawing.lettering import CAP_HEIGHT, text_box, text_width, without_overlaps
from sockwright.drawing.svg import circle, group, line, path, segments_data, write
from sockwright.drawing.theme import Theme
from sockwright.drawing.view import CylinderView, Needle

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


def number_labels(view: CylinderView, tracks: Tracks) -> Iterator[tuple[int, tuple[float, float]]]:
    """Needles to be numbered, with the middle of their number: 1 and every fifth, or every tenth
    where that would crowd; none that would touch one named before."""
    size = tracks.type
    wanted = [1, *numbered(view.needles, _spacing(view, tracks), size)]
    places = [tracks.face.at(tracks.numbers, view.hour(needle)) for needle in wanted]
    boxes = [text_box(place, str(n), size) for place, n in zip(places, wanted, strict=True)]
    keep = without_overlaps(boxes)
    for needle, place, free in zip(wanted, places, keep, strict=True):
        if free:
            yield needle, place


def numbered(needles: int, five_apart_mm: float, size_mm: float) -> list[int]:
    """Multiples of five, or of ten where five needles are too narrow for a number and air."""
    longest = str(needles)
    room = max(1.45 * text_width(longest, size_mm), text_box((0.0, 0.0), longest, size_mm).width)
    crowded = five_apart_mm < room
    step = 10 if crowded else 5
    return list(range(step, needles + 1, step))


def _spacing(view: CylinderView, tracks: Tracks) -> float:
    radius_share = tracks.numbers / (tracks.needle_outer - tracks.needle_length / 2)
    return 5 * tracks.pitch(view.needles) * radius_share


def draw_numbers(view: CylinderView, tracks: Tracks, theme: Theme) -> str:
    """The numbers of the needles, with a tick from each to its needle."""
    face, size = tracks.face, tracks.type
    labels = list(number_labels(view, tracks))
    texts = [
        write(
            (x, y + CAP_HEIGHT * size / 2),
            str(needle),
            size,
            anchor="middle",
            bold=needle == 1,
        )
        for needle, (x, y) in labels
    ]
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
