"""A foot as later rooms see it: every measure with its sd, and whether it was measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sockwright.estimates import Estimate
from sockwright.words import Said, said
from sockwright.words import listed as listed_words

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


SPOKEN = {
    "length": said("foot length"),
    "ball_girth": said("ball girth"),
    "instep_girth": said("instep girth"),
    "heel_girth": said("heel girth"),
    "ankle_girth": said("ankle girth"),
    "calf_girth": said("calf girth"),
    "foot_breadth": said("foot breadth"),
    "heel_breadth": said("heel breadth"),
    "ankle_bone_height": said("ankle bone height"),
    "stature": said("stature"),
    "weight": said("weight"),
}
"""What they, and what else tells of a foot, are called in a sentence."""


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


def spoken(name: str) -> Said:
    """A measure's name as it is said: "ball girth"."""
    return SPOKEN.get(name) or said(name.replace("_", " "))


def listed(names: list[str]) -> Said:
    """Names of measures as a list in words: "foot length, ball girth and weight"."""
    return listed_words([spoken(name) for name in names])
