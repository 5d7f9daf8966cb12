"""The picture of the cylinder, seen from above: needles, carrier, marks, and the fixed ring."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from sockwright.drawing.base.geometry import clockwise, hours_of_length, outward, upright_turn
from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.signs import RIGHT, UP, Entry, arrow_head, lay_key, mark_symbol, shift
from sockwright.drawing.base.svg import (
    Point,
    circle,
    document,
    group,
    line,
    path,
    polygon_data,
    rectangle,
    segments_data,
    write,
)
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme, shortened, text_width
from sockwright.drawing.cylinder.moving import crowded_limits, draw_carrier, draw_halves, draw_marks
from sockwright.drawing.cylinder.needles import (
    Tracks,
    draw_dial,
    draw_needles,
    draw_numbers,
    lay_tracks,
)
from sockwright.drawing.cylinder.view import CylinderView, Needle
from sockwright.i18n import ENGLISH, N_, Locale
from sockwright.machine import HOURS, Turning, hours_apart
from sockwright.steps import Way

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


def draw_shell(view: CylinderView, tracks: Tracks, theme: Theme, words: Locale) -> str:
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


def draw_ring_names(view: CylinderView, tracks: Tracks, theme: Theme, words: Locale) -> str:
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


def ring_labels(view: CylinderView, tracks: Tracks, words: Locale) -> list[Label]:
    """The landmarks, each as near its hour as the others leave room for, then the operator at the
    nearest free place to six o'clock."""
    labels = [_label(mark.name, mark.hour, tracks) for mark in view.landmarks]
    labels = _apart(sorted(labels, key=lambda label: label.hour))
    you = _label(words.render("you"), OPERATOR_HOUR, tracks)
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


def _forward(view: CylinderView, tracks: Tracks, theme: Theme, words: Locale) -> str:
    """The word with an arrow the way that the turning part goes forward."""
    sense = view.sense if view.turning is Turning.CARRIER else -view.sense
    hour, size = forward_hour(view), tracks.type
    forward = words.render("forward")
    text = hours_of_length(text_width(forward, size) / 2 + 0.6 * size, tracks.names)
    arrow = hours_of_length(ARROW * size, tracks.names)
    name = Label(forward, hour - sense * arrow / 2, text)
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


def cylinder_svg(
    view: CylinderView,
    size_mm: float,
    theme: Theme = Theme.PRINT,
    words: Locale = ENGLISH,
    *,
    key: bool = True,
) -> str:
    """The view as a square picture `size_mm` wide, with a key below it unless `key` is False."""
    tracks = lay_tracks(size_mm, dial=bool(view.dial), deep=False)
    if crowded_limits(view, tracks):
        tracks = lay_tracks(size_mm, dial=bool(view.dial), deep=True)
    below = lay_key(tuple(_entries(view, tracks.type, theme, words)), size_mm, tracks.type)
    height = size_mm + (below.height + 0.8 * tracks.type if key else 0)
    body = (
        draw_shell(view, tracks, theme, words),
        draw_halves(view, tracks, theme, words),
        draw_dial(view, tracks, theme),
        draw_marks(view, tracks, theme),
        draw_numbers(view, tracks, theme),
        draw_needles(view, tracks, theme),
        draw_carrier(view, tracks, theme),
        below.svg(0, size_mm + 0.4 * tracks.type) if key else "",
    )
    title = words.render("Cylinder of {needles} needles, seen from above", needles=view.needles)
    return document(size_mm, height, title, describe(view, words), body, theme)


def describe(view: CylinderView, words: Locale) -> str:
    """The view in one line of words, for those who do not see it."""
    turning = view.turning is Turning.CARRIER
    carrier = N_("the carrier turns, the cylinder stands")
    cylinder = N_("the cylinder turns, the carrier stands")
    parts = [words.render(carrier if turning else cylinder), _carrier_words(view, words)]
    raised, out = words.render("raised"), words.render("out of its slot")
    for state, name in ((Needle.RAISED, raised), (Needle.OUT, out)):
        count = view.states.count(state)
        if count:
            parts.append(f"{name}: {count}")
    return "; ".join(parts)


def _carrier_words(view: CylinderView, words: Locale) -> str:
    where = words.render("carrier at the home gap")
    if view.gap:
        where = words.render("carrier past needle {needle}", needle=view.gap)
    if view.way is None:
        return where
    forward = view.way is Way.FORWARD
    way = words.render("next pass forward") if forward else words.render("next pass in reverse")
    return f"{where}, {way}"


def _entries(view: CylinderView, size: float, theme: Theme, words: Locale) -> Iterator[Entry]:
    stroke = partial(sample_stroke, ink=theme.ink, core=theme.ink, size=size)
    if view.now:
        one, many = N_("now: needle {needles}"), N_("now: needles {needles}")
        text = words.render(one if len(view.now) == 1 else many, needles=spans(view.now))
        yield Entry(partial(stroke, ink=theme.act, core=theme.act), text, fill=theme.act)
    fill = view.yarn_paint if view.yarn else theme.paper
    yield Entry(partial(_block, fill=fill, ink=theme.ink, size=size), _carrier_words(view, words))
    yield from _mark_entries(view, size, theme, words)
    yield Entry(partial(hatched, size=size, theme=theme), words.render("heel half"))
    shown = set(view.states)
    if Needle.RAISED in shown:
        yield Entry(stroke, words.render("in work"))
        yield Entry(partial(stroke, core=theme.paper), words.render("raised"))
    if Needle.OUT in shown:
        yield Entry(partial(sample_dot, radius=0.14 * size), words.render("out of its slot"))
    if view.dial:
        yield Entry(partial(sample_dot, radius=0.26 * size), words.render("dial needle in work"))


def sample_stroke(at: Point, ink: str, core: str, size: float) -> str:
    """A needle, hollow where its core is not of its ink."""
    x, y = at
    whole = line((x, y - 0.5 * size), (x, y + 0.5 * size), stroke=ink, stroke_width=0.32 * size)
    if core == ink:
        return whole
    ends = ((x, y - 0.42 * size), (x, y + 0.42 * size))
    return whole + line(*ends, stroke=core, stroke_width=0.14 * size)


def _block(at: Point, fill: str, ink: str, size: float) -> str:
    corner = (at[0] - 0.45 * size, at[1] - 0.45 * size)
    width = 0.9 * size
    return rectangle(corner, width, width, fill=fill, stroke=ink, stroke_width=0.13 * size)


def sample_dot(at: Point, radius: float) -> str:
    """A needle out of its slot, or a dial needle."""
    return circle(at, radius)


def _mark_entries(view: CylinderView, size: float, theme: Theme, words: Locale) -> Iterator[Entry]:
    for role in dict.fromkeys(mark.role for mark in view.marks):
        marks = [mark for mark in view.marks if mark.role == role]
        place = mark_words(marks, view.needles, words)
        sample = partial(mark_sample, marks=marks, size=size, theme=theme)
        yield Entry(sample, f"{words.named(marks[0].name)}, {place}", marks[0].letter)


def mark_words(marks: list[PlacedMark], needles: int, words: Locale) -> str:
    """Where the marks of one role stand, in words."""
    if len(marks) == 2:
        first, last = (int(mark.place) for mark in marks)
        return words.render("at needles {first} and {last}", first=first, last=last)
    gap = int(marks[0].place)
    if gap == 0:
        return words.render("before needle {needle}", needle=1)
    return words.render("between {first} and {last}", first=gap, last=gap + 1)


def mark_sample(at: Point, marks: list[PlacedMark], size: float, theme: Theme) -> str:
    """The mark, or both marks of a pair facing each other, centred on a point."""
    height = 0.95 * size
    apart = (0.55 if marks[0].role == "deep limits" else 0.75) * size
    offsets = (0.0,) if len(marks) == 1 else (-apart, apart)
    return "".join(
        mark_symbol(mark, shift(at, (RIGHT, aside), (UP, height / 2)), height, theme)
        for mark, aside in zip(marks, offsets, strict=True)
    )


def hatched(at: Point, size: float, theme: Theme) -> str:
    """A sample of the hatching of the heel half."""
    strokes = (
        line(
            (at[0] + (place - 0.35) * size, at[1] + 0.35 * size),
            (at[0] + (place + 0.35) * size, at[1] - 0.35 * size),
        )
        for place in (-0.75, -0.375, 0.0, 0.375, 0.75)
    )
    return group(strokes, stroke=theme.muted, stroke_width=0.18)


def spans(numbers: tuple[int, ...]) -> str:
    """Rising numbers as "1–5, 9"."""
    runs: list[list[int]] = []
    for one in numbers:
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs)
