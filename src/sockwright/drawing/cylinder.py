"""The picture of the cylinder, seen from above: needles, carrier, marks, and the fixed ring."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from sockwright.drawing.cylinder_moving import (
    crowded_limits,
    draw_carrier,
    draw_halves,
    draw_marks,
)
from sockwright.drawing.cylinder_needles import draw_dial, draw_needles, draw_numbers
from sockwright.drawing.cylinder_shell import draw_shell
from sockwright.drawing.cylinder_tracks import lay_tracks
from sockwright.drawing.key import Entry, lay_key
from sockwright.drawing.places import PlacedMark
from sockwright.drawing.shapes import RIGHT, UP, mark_symbol, shift
from sockwright.drawing.svg import Point, circle, document, group, line, rectangle
from sockwright.drawing.theme import Theme
from sockwright.drawing.view import CylinderView, Needle
from sockwright.drawing.words import ENGLISH, Words
from sockwright.machine.model import Turning
from sockwright.steps import Way


def cylinder_svg(
    view: CylinderView,
    size_mm: float,
    theme: Theme = Theme.PRINT,
    words: Words = ENGLISH,
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
    title = words.fill(words.cylinder, needles=view.needles)
    return document(size_mm, height, title, describe(view, words), body, theme)


def describe(view: CylinderView, words: Words) -> str:
    """The view in one line of words, for those who do not see it."""
    turning = view.turning is Turning.CARRIER
    parts = [words.carrier_turns if turning else words.cylinder_turns, _carrier_words(view, words)]
    for state, name in ((Needle.RAISED, words.raised), (Needle.OUT, words.out)):
        count = view.states.count(state)
        if count:
            parts.append(f"{name}: {count}")
    return "; ".join(parts)


def _carrier_words(view: CylinderView, words: Words) -> str:
    where = words.fill(words.carrier_past, needle=view.gap) if view.gap else words.carrier
    if view.way is None:
        return where
    return f"{where}, {words.next_forward if view.way is Way.FORWARD else words.next_reverse}"


def _entries(view: CylinderView, size: float, theme: Theme, words: Words) -> Iterator[Entry]:
    stroke = partial(sample_stroke, ink=theme.ink, core=theme.ink, size=size)
    if view.now:
        phrase = words.now_one if len(view.now) == 1 else words.now
        text = words.fill(phrase, needles=spans(view.now))
        yield Entry(partial(stroke, ink=theme.act, core=theme.act), text, fill=theme.act)
    fill = view.yarn_paint if view.yarn else theme.paper
    yield Entry(partial(_block, fill=fill, ink=theme.ink, size=size), _carrier_words(view, words))
    yield from _mark_entries(view, size, theme, words)
    yield Entry(partial(hatched, size=size, theme=theme), words.heel_half)
    shown = set(view.states)
    if Needle.RAISED in shown:
        yield Entry(stroke, words.working)
        yield Entry(partial(stroke, core=theme.paper), words.raised)
    if Needle.OUT in shown:
        yield Entry(partial(sample_dot, radius=0.14 * size), words.out)
    if view.dial:
        yield Entry(partial(sample_dot, radius=0.26 * size), words.dial_working)


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


def _mark_entries(view: CylinderView, size: float, theme: Theme, words: Words) -> Iterator[Entry]:
    for role in dict.fromkeys(mark.role for mark in view.marks):
        marks = [mark for mark in view.marks if mark.role == role]
        place = mark_words(marks, view.needles, words)
        sample = partial(mark_sample, marks=marks, size=size, theme=theme)
        yield Entry(sample, f"{words.name(marks[0].name)}, {place}", marks[0].letter)


def mark_words(marks: list[PlacedMark], needles: int, words: Words) -> str:
    """Where the marks of one role stand, in words."""
    if len(marks) == 2:
        first, last = (int(mark.place) for mark in marks)
        return words.fill(words.at_needles, first=first, last=last)
    gap = int(marks[0].place)
    if gap == 0:
        return words.fill(words.before, needle=1)
    return words.fill(words.between, first=gap, last=gap + 1)


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
