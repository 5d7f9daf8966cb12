"""The machine on the bench: its cylinders, the way it turns and what its user calls things."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import pi

from sockwright.words import said

FEWEST_NEEDLES = 24
MOST_NEEDLES = 200


class Turning(StrEnum):
    """Which part goes round when the crank is turned."""

    CARRIER = "carrier"
    CYLINDER = "cylinder"


class Direction(StrEnum):
    """The way the next needle to knit lies, seen from above, when cranking forward."""

    ANTICLOCKWISE = "anticlockwise"
    CLOCKWISE = "clockwise"


class HeelHalf(StrEnum):
    """Which half of the ring knits the heel: the one nearest the operator or the far one."""

    NEAR = "near"
    FAR = "far"


class Counting(StrEnum):
    """What one step of the user's row counter stands for."""

    ROUNDS = "rounds"
    HANDLE_TURNS = "handle turns"
    PASSES = "passes"


class DialKind(StrEnum):
    """How many dial needles the ribber has for the needles of the cylinder."""

    HALF = "half"
    TWO_THIRDS = "two-thirds"
    FULL = "full"


@dataclass(frozen=True)
class Counter:
    """The row counter: what it counts, how many handle turns make one round, and whether its
    user sets it to zero at each section (`restarts`) or lets it run on."""

    counts: Counting = Counting.ROUNDS
    handle_turns_per_round: float = 1.0
    restarts: bool = True


@dataclass(frozen=True)
class CamNaming:
    """How stitch-cam settings are named ("clicks", "lines", "turns", "number") and whether a
    larger one gives a larger loop."""

    word: str = said("number")
    larger_is_looser: bool = True


@dataclass(frozen=True)
class Cylinder:
    """A needle cylinder: needles, needle-circle diameter in mm if known, and its dial if any."""

    needles: int
    diameter_mm: float | None = None
    dial: DialKind | None = None

    @property
    def pitch_mm(self) -> float | None:
        """Distance from needle to needle along the needle circle, mm: pi x diameter / needles."""
        return None if self.diameter_mm is None else pi * self.diameter_mm / self.needles


MARK_ROLES = ("home", "halfway", "heel limits", "instep limits", "deep limits")


@dataclass(frozen=True)
class Mark:
    """A painted mark: which of MARK_ROLES it plays, what its user calls it, its colour."""

    role: str
    name: str
    colour: str = ""


@dataclass(frozen=True)
class Landmark:
    """A fixed place on the shell: its name and its hour on a clock face seen from above with
    six o'clock nearest the operator."""

    name: str
    hour: float


DEFAULT_MARKS = (
    Mark("home", said("home mark")),
    Mark("halfway", said("halfway mark")),
    Mark("heel limits", said("heel turn limits")),
    Mark("instep limits", said("instep turn limits")),
    Mark("deep limits", said("outer turn limits")),
)


@dataclass(frozen=True)
class Machine:
    """A machine profile."""

    name: str
    turns: Turning
    cylinders: tuple[Cylinder, ...]
    forward: Direction = Direction.ANTICLOCKWISE
    heel_half: HeelHalf = HeelHalf.NEAR
    counter: Counter = Counter()
    cam: CamNaming = CamNaming()
    marks: tuple[Mark, ...] = DEFAULT_MARKS
    landmarks: tuple[Landmark, ...] = ()

    def mark(self, role: str) -> Mark:
        """The user's mark for `role`, or our own name for it."""
        for mark in self.marks + DEFAULT_MARKS:
            if mark.role == role:
                return mark
        raise KeyError(role)
