"""A foot as later rooms see it: every measure with its sd, and whether it was measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sockwright.estimates import Estimate

Source = Literal["measured", "estimated"]

MEASURES = (
    "length",
    "ball_girth",
    "instep_girth",
    "heel_girth",
    "ankle_girth",
    "calf_girth",
    "foot_breadth",
    "heel_breadth",
    "ankle_bone_height",
)
"""The names of a foot's measures, in the order they are printed."""


@dataclass(frozen=True)
class FootMeasure:
    """One measure of a foot in mm, where it comes from and what should be said of it."""

    estimate: Estimate
    source: Source
    note: str = ""

    def as_data(self) -> dict[str, float | str]:
        """The measure as JSON-ready data."""
        return {**self.estimate.as_data(), "source": self.source, "note": self.note}


@dataclass(frozen=True)
class Foot:
    """A foot, all in mm.

    `length` heel to longest toe; `ball_girth` round the ball; `instep_girth` round the middle of
    the foot; `heel_girth` under the heel and over the bend of the ankle; `ankle_girth` the
    smallest above the ankle bones; `calf_girth` the largest; `foot_breadth` at the ball;
    `heel_breadth`; `ankle_bone_height` floor to the outer ankle bone. `notes` speak of the whole
    foot.
    """

    length: FootMeasure
    ball_girth: FootMeasure
    instep_girth: FootMeasure
    heel_girth: FootMeasure
    ankle_girth: FootMeasure
    calf_girth: FootMeasure
    foot_breadth: FootMeasure
    heel_breadth: FootMeasure
    ankle_bone_height: FootMeasure
    notes: tuple[str, ...] = ()

    def measures(self) -> dict[str, FootMeasure]:
        """The measures by their names, in the order of MEASURES."""
        return {name: getattr(self, name) for name in MEASURES}


def spoken(name: str) -> str:
    """A measure's name as it is said: "ball girth"."""
    return "foot length" if name == "length" else name.replace("_", " ")


def listed(names: list[str]) -> str:
    """Names of measures as a list in words: "foot length, ball girth and weight"."""
    words = [spoken(name) for name in names]
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
