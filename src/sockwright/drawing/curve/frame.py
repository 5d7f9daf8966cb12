"""Grid, ticks, numbers and words round a plot of loops by settings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sockwright.drawing.base.svg import group, path, segments_data, write
from sockwright.drawing.base.theme import (
    CAP_HEIGHT,
    Theme,
    shortened,
    text_box,
    text_width,
    without_overlaps,
)
from sockwright.drawing.curve.axes import Axes
from sockwright.drawing.curve.handle import Handle
from sockwright.i18n import N_, Locale
from sockwright.machine import CamNaming

TYPE_MM = 3.4
LINE_MM = 0.2

TITLES = {"mm": N_("length of a loop, mm"), "in": N_("length of a loop, in")}
LEFT_RIGHT = {
    True: (N_("tighter"), N_("looser, {word} of the stitch cam"), N_("looser")),
    False: (N_("looser"), N_("tighter, {word} of the stitch cam"), N_("tighter")),
}
"""What the smaller and the larger settings do, the latter with what they are called, and bare."""


@dataclass(frozen=True)
class Frame:
    """The frame of a plot whose loops are told in `unit` ("mm" or "in"), for a cam whose settings
    go by `step`."""

    axes: Axes
    handle: Handle
    cam: CamNaming
    step: float
    unit: str
    theme: Theme
    words: Locale

    def svg(self) -> str:
        """Lines across, ticks below, and all that is written."""
        area, axes, theme = self.axes.area, self.axes, self.theme
        loops, settings = list(axes.loops()), list(axes.settings(self.step))
        across = segments_data(
            ((area.left, axes.y(mm)), (area.right, axes.y(mm))) for mm, _ in loops
        )
        ticks = segments_data(
            ((axes.x(cam), area.bottom), (axes.x(cam), area.bottom + (1.6 if told else 1.0)))
            for cam, told in settings
        )
        foot = segments_data([((area.left, area.bottom), (area.right, area.bottom))])
        lines = (
            path(across, stroke=theme.faint, stroke_width=LINE_MM, fill="none"),
            path(foot + ticks, stroke=theme.ink, stroke_width=1.5 * LINE_MM, fill="none"),
        )
        told = [cam for cam, is_told in settings if is_told]
        texts = (*self._loops(loops), *self._settings(told), *self._titles())
        return group((*lines, group(texts, fill=theme.muted)))

    def _loops(self, loops: list[tuple[float, str]]) -> Iterator[str]:
        for mm, told in loops:
            at = (self.axes.area.left - 1.5, self.axes.y(mm) + CAP_HEIGHT * TYPE_MM / 2)
            if not self.handle.hides(at):
                yield write(at, self.words.numeral(told), TYPE_MM, anchor="end")

    def _settings(self, settings: list[float]) -> Iterator[str]:
        """The settings' numbers, but for those that the handle's own hides."""
        base = self.handle.base
        figures = [self.words.numeral(f"{cam:g}") for cam in settings]
        area, middle = self.axes.area, base - CAP_HEIGHT * TYPE_MM / 2
        centres = [
            (area.below(self.axes.x(cam), text_width(told, TYPE_MM)), middle)
            for cam, told in zip(settings, figures, strict=True)
        ]
        boxes = (text_box(*both, TYPE_MM) for both in zip(centres, figures, strict=True))
        free = without_overlaps((self.handle.number.box, *boxes))[1:]
        for (x, _), told, shown in zip(centres, figures, free, strict=True):
            if shown:
                yield write((x, base), told, TYPE_MM, anchor="middle")

    def _titles(self) -> Iterator[str]:
        area, words = self.axes.area, self.words
        title = words.render(TITLES[self.unit])
        yield write((area.right, area.top - 2), title, TYPE_MM, anchor="end")
        left, named, bare = LEFT_RIGHT[self.cam.larger_is_looser]
        smaller, base = words.render(left), self.handle.base + 1.55 * TYPE_MM
        room = area.width - text_width(smaller, TYPE_MM) - TYPE_MM
        usual = self.cam.word == CamNaming().word
        word = words.render("numbers") if usual else self.cam.word
        larger = words.render(named, word=shortened(word, TYPE_MM, room / 3))
        if text_width(larger, TYPE_MM) > room:
            larger = words.render(bare)
        yield write((area.left, base), smaller, TYPE_MM)
        yield write((area.right, base), larger, TYPE_MM, anchor="end")
