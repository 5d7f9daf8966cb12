"""Small pictures of the cylinder to stand in a row, and one key for all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.signs import Entry, lay_key
from sockwright.drawing.base.svg import document
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.moving import crowded_limits, draw_carrier, draw_halves, draw_marks
from sockwright.drawing.cylinder.needles import (
    NOW_WIDER,
    SMALL_TYPE_MM,
    Tracks,
    draw_dial,
    draw_needles,
    draw_numbers,
    lay_small_tracks,
)
from sockwright.drawing.cylinder.picture import (
    describe,
    hatched,
    mark_sample,
    mark_words,
    sample_dot,
    sample_stroke,
)
from sockwright.drawing.cylinder.view import CylinderView, Needle
from sockwright.i18n import ENGLISH, Locale

KEY_TYPE_MM = 1.15 * SMALL_TYPE_MM
MARKS_TYPE_MM = 3.0


def small_cylinder_svg(
    view: CylinderView, size_mm: float, theme: Theme = Theme.PRINT, words: Locale = ENGLISH
) -> str:
    """The view as a square picture `size_mm` wide (40 mm or more), to be placed at that size:
    needles, carrier and marks, without the fixed ring and its landmarks."""
    tracks = _tracks(view, size_mm)
    body = (
        draw_halves(view, tracks, theme, words) if tracks.band_inner > 0 else "",
        draw_dial(view, tracks, theme),
        draw_marks(view, tracks, theme),
        draw_numbers(view, tracks, theme),
        draw_needles(view, tracks, theme),
        draw_carrier(view, tracks, theme),
    )
    title = words.render("Cylinder of {needles} needles, seen from above", needles=view.needles)
    return document(size_mm, size_mm, title, describe(view, words), body, theme)


def _tracks(view: CylinderView, size_mm: float) -> Tracks:
    tracks = lay_small_tracks(size_mm, dial=bool(view.dial), deep=False)
    if crowded_limits(view, tracks):
        return lay_small_tracks(size_mm, dial=bool(view.dial), deep=True)
    return tracks


def small_key_svg(
    views: Sequence[CylinderView],
    size_mm: float,
    width_mm: float,
    theme: Theme = Theme.PRINT,
    words: Locale = ENGLISH,
) -> str:
    """One key, `width_mm` wide, for all that pictures of `views`, `size_mm` wide, show."""
    key = lay_key(tuple(_entries(views, size_mm, theme, words)), width_mm, KEY_TYPE_MM)
    title = words.render("What the pictures of the cylinder show")
    return document(width_mm, key.height, title, title, (key.svg(0, 0),), theme)


def marks_key_svg(
    marks: Sequence[PlacedMark],
    needles: int,
    width_mm: float,
    theme: Theme = Theme.PRINT,
    words: Locale = ENGLISH,
) -> str:
    """A key of the marks alone, in one narrow column."""
    entries = tuple(_mark_entries(marks, needles, MARKS_TYPE_MM, theme, words))
    key = lay_key(entries, width_mm, MARKS_TYPE_MM)
    title = words.render("What the marks are")
    return document(width_mm, key.height, title, title, (key.svg(0, 0),), theme)


def _mark_entries(
    marks: Sequence[PlacedMark], needles: int, size: float, theme: Theme, words: Locale
) -> Iterator[Entry]:
    for role in dict.fromkeys(mark.role for mark in marks):
        alike = [mark for mark in marks if mark.role == role]
        sample = partial(mark_sample, marks=alike, size=size, theme=theme)
        yield Entry(
            sample,
            f"{words.named(alike[0].name)}, {_where(alike, needles, words)}",
            alike[0].letter,
        )


def _entries(
    views: Sequence[CylinderView], size_mm: float, theme: Theme, words: Locale
) -> Iterator[Entry]:
    size = KEY_TYPE_MM
    yield from _mark_entries(views[0].marks, views[0].needles, size, theme, words)
    if any(_tracks(view, size_mm).band_inner > 0 for view in views):
        yield Entry(partial(hatched, size=size, theme=theme), words.render("heel half"))
    stroke = partial(sample_stroke, size=size)
    shown = {state for view in views for state in view.states}
    yield Entry(partial(stroke, ink=theme.ink, core=theme.ink), words.render("in work"))
    if Needle.RAISED in shown:
        yield Entry(
            partial(stroke, ink=theme.ink, core=theme.paper),
            words.render("raised: hollow, further out"),
        )
    if any(view.now for view in views):
        wider = partial(sample_stroke, size=NOW_WIDER * size)
        yield Entry(
            partial(wider, ink=theme.act, core=theme.paper), words.render("touched next: wider")
        )
    if Needle.OUT in shown:
        yield Entry(partial(sample_dot, radius=0.14 * size), words.render("out of its slot"))
    if any(view.dial for view in views):
        yield Entry(partial(sample_dot, radius=0.26 * size), words.render("dial needle in work"))


def _where(marks: list[PlacedMark], needles: int, words: Locale) -> str:
    """Where the marks of one role stand, as shortly as can be."""
    if len(marks) == 2:
        return words.render(
            "{first} and {last}", first=int(marks[0].place), last=int(marks[1].place)
        )
    return mark_words(marks, needles, words)
