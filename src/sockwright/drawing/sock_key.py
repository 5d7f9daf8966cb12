"""The key under a drawn sock, and the note beside its toe."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import degrees

from sockwright.drawing.dimension import TYPE_MM, Dimension
from sockwright.drawing.key import Entry, no_symbol
from sockwright.drawing.lettering import text_width
from sockwright.drawing.plane import Outline
from sockwright.drawing.rounded import EVERY
from sockwright.drawing.sock_fabric import area_of_yarn, fold_sample, own_yarns
from sockwright.drawing.svg import Point, group, line, path, polygon_data, write
from sockwright.drawing.theme import Theme
from sockwright.drawing.words import Words
from sockwright.plan import Plan
from sockwright.quantities import format_pm
from sockwright.sock.cup import Cup
from sockwright.sock.sizing import HEM_KINDS

LEADING = 1.25
SAMPLE_MM = (3.0, 1.2)
"""Half the width and height of a sample."""


@dataclass(frozen=True)
class Note:
    """Lines of text to the right of `at`, centred on it."""

    at: Point
    lines: tuple[str, ...]

    def reach(self) -> Outline:
        """Points that the drawing must have room for."""
        wide = max(text_width(one, TYPE_MM) for one in self.lines)
        half = len(self.lines) * LEADING * TYPE_MM / 2
        return (self.at, (self.at[0] + wide, self.at[1] + half))

    def svg(self) -> str:
        """The lines as text."""
        x, y = self.at
        top = y - (len(self.lines) - 1) * LEADING / 2 * TYPE_MM + 0.34 * TYPE_MM
        return group(
            write((x, top + row * LEADING * TYPE_MM), one, TYPE_MM)
            for row, one in enumerate(self.lines)
        )


def cup_words(cup: Cup, words: Words) -> tuple[str, str]:
    """Rows and kept needles of a cup in words."""
    rows = words.fill(words.cup_rows, rows=cup.rows)
    return rows, words.fill(words.cup_keeps, kept=cup.kept, needles=cup.needles)


def sock_entries(
    plan: Plan, dimensions: Sequence[Dimension], theme: Theme, words: Words
) -> Iterator[Entry]:
    """What the lines and areas mean, and the counts that found no room beside their parts."""
    sizing, gauge = plan.sizing, plan.gauge
    turn = degrees(sizing.heel.turn(gauge.wale.value, gauge.course.value))
    for cup in sizing.heel.cups[-1:]:
        said = (*cup_words(cup, words), words.fill(words.cup_turn, degrees=round(turn)))
        yield Entry(partial(_gore_sample, theme=theme), f"{words.heel}: {', '.join(said)}")
    if not sizing.heel.cups:
        foot, height = (
            format_pm(one, plan.order.units)
            for one in (plan.fabric.foot_length, plan.fabric.leg_length)
        )
        here = words.fill(words.turns_here, foot=foot, height=height)
        yield Entry(partial(_fold_line_sample, theme=theme), here)
    yield Entry(partial(_line_sample, theme=theme), words.fill(words.every_ten, rounds=EVERY))
    for name, rounds in ((words.leg, sizing.leg_rounds), (words.cuff, sizing.cuff.rounds)):
        count = words.fill(words.rounds, rounds=rounds)
        if not _is_said(name, count, dimensions):
            yield Entry(no_symbol, f"{name}: {count}")
    if sizing.cuff.kind in HEM_KINDS:
        yield Entry(partial(fold_sample, theme=theme), words.fold)
    for part, role in own_yarns(plan).items():
        yarn = plan.order.yarn(role)
        name = {"cuff": words.cuff, "heel": words.heel, "toe": words.toe}[part]
        sample = partial(_area_sample, part=part, colour=yarn.colour, theme=theme)
        yield Entry(sample, words.fill(words.yarn_of, part=name, yarn=yarn.name))


def _is_said(name: str, count: str, dimensions: Sequence[Dimension]) -> bool:
    labels = (one.label for one in dimensions if one.label[0] == name)
    return any(count in line for label in labels for line in label)


def _gore_sample(at: Point, theme: Theme) -> str:
    x, y = at
    gore = line((x - 3, y), (x + 1, y), stroke=theme.ink, stroke_width=0.35)
    fold = line(
        (x + 1, y), (x + 3, y), stroke=theme.ink, stroke_width=0.3, stroke_dasharray="0.3 0.7"
    )
    return gore + fold


def _fold_line_sample(at: Point, theme: Theme) -> str:
    x, y = at
    ends = ((x - SAMPLE_MM[0], y), (x + SAMPLE_MM[0], y))
    return line(*ends, stroke=theme.ink, stroke_width=0.3, stroke_dasharray="0.3 0.7")


def _line_sample(at: Point, theme: Theme) -> str:
    half = SAMPLE_MM[0]
    ends = ((at[0] - half, at[1]), (at[0] + half, at[1]))
    return line(*ends, stroke=theme.faint, stroke_width=0.2)


def _area_sample(at: Point, part: str, colour: str, theme: Theme) -> str:
    x, y = at
    dx, dy = SAMPLE_MM
    box = ((x - dx, y - dy), (x + dx, y - dy), (x + dx, y + dy), (x - dx, y + dy))
    edge = path(polygon_data(box), fill="none", stroke=theme.ink, stroke_width=0.2)
    return area_of_yarn(box, part, colour, theme) + edge
