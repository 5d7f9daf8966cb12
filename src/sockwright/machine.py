"""The machine on the bench: its cylinders, marks and landmarks, and where things stand on it.

Places are hours of a clock face seen from above, six o'clock nearest the operator. On a machine
whose cylinder turns they hold for its place of rest only, with the heel half on the side that the
profile names.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import floor, pi

from sockwright.i18n import _

FEWEST_NEEDLES = 24
MOST_NEEDLES = 200

MARK_ROLES = ("home", "halfway", "heel limits", "instep limits", "deep limits")
HOURS = 12

LANDMARK_WITHIN = 0.25
"""Hours within which a place is called by a landmark: a quarter of an hour is one needle of 48."""

CARRIER_WORD = "carrier"
"""A landmark with this word in its name is the fixed carrier of a cylinder-turning machine."""


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
    """How stitch-cam settings are named ("clicks", "lines", "turns", "number"), whether a larger
    one gives a larger loop, and the smallest `step` between two, None where it is not known."""

    word: str = _("number")
    larger_is_looser: bool = True
    step: float | None = None


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
    Mark("home", _("home mark")),
    Mark("halfway", _("halfway mark")),
    Mark("heel limits", _("heel turn limits")),
    Mark("instep limits", _("instep turn limits")),
    Mark("deep limits", _("outer turn limits")),
)


@dataclass(frozen=True)
class CamSlope:
    """What one setting more of a stitch cam does to a loop, as a share of it (below zero where it
    tightens), and the sd of that: known from all that was knitted on the machine."""

    change: float
    sd: float


@dataclass(frozen=True)
class OwnPace:
    """The maker's own pace on a machine: its `name` in facts/pace.toml, the mean over so many
    `socks` in that fact's unit (rounds a minute, or seconds each)."""

    name: str
    value: float
    socks: int = 1


@dataclass(frozen=True)
class Machine:
    """A machine profile. `serviced` is the day of its last service ("2025-09-20"), "" where that is
    not noted: what was knitted before it may hold no longer. `pace` has the kinds of work whose
    pace was counted on it, `cam_slope` what is known of its stitch cam by other yarns' swatches."""

    name: str
    turns: Turning
    cylinders: tuple[Cylinder, ...]
    forward: Direction = Direction.ANTICLOCKWISE
    heel_half: HeelHalf = HeelHalf.NEAR
    counter: Counter = Counter()
    cam: CamNaming = CamNaming()
    marks: tuple[Mark, ...] = DEFAULT_MARKS
    serviced: str = ""
    landmarks: tuple[Landmark, ...] = ()
    pace: tuple[OwnPace, ...] = ()
    cam_slope: CamSlope | None = None

    def mark(self, role: str) -> Mark:
        """The user's mark for `role`, or our own name for it."""
        for mark in self.marks + DEFAULT_MARKS:
            if mark.role == role:
                return mark
        raise KeyError(role)


def home_hour(machine: Machine) -> float:
    """Hour of the home gap, before needle 1: nine or three o'clock; where the carrier of a
    turning cylinder is known to stand, there.

    The heel half is knitted from the home gap on; going forward anticlockwise through six, or
    clockwise through twelve, it begins at nine.
    """
    carrier = fixed_carrier(machine)
    if carrier is not None:
        return carrier.hour
    anticlockwise = machine.forward is Direction.ANTICLOCKWISE
    return 9.0 if anticlockwise == (machine.heel_half is HeelHalf.NEAR) else 3.0


def resting_half(machine: Machine) -> HeelHalf | None:
    """On which side the heel half of a turning cylinder rests, the home gap at the carrier: as the
    profile says, or by the carrier's place where that is known; None where it lies neither near
    nor far."""
    carrier = fixed_carrier(machine)
    if carrier is None:
        return machine.heel_half
    way = -1.0 if machine.forward is Direction.ANTICLOCKWISE else 1.0
    apart = hours_apart(carrier.hour + way * HOURS / 4, HOURS / 2)
    if apart == HOURS / 4:
        return None
    return HeelHalf.NEAR if apart < HOURS / 4 else HeelHalf.FAR


def gap_hour(machine: Machine, needles: int, gap: int) -> float:
    """Hour (above 0, up to 12) of the gap after needle `gap` of `needles`; 0 is the home gap."""
    way = -1.0 if machine.forward is Direction.ANTICLOCKWISE else 1.0
    hour = (home_hour(machine) + way * HOURS * gap / needles) % HOURS
    return hour if hour > 0 else float(HOURS)


def whole_hours(hour: float) -> tuple[int, int]:
    """The whole hours (1 to 12) at or before `hour` and after it."""
    first = floor(hour) % HOURS
    return first or HOURS, first + 1


def hours_apart(a: float, b: float) -> float:
    """Hours between two places, the short way round (0 to 6)."""
    apart = abs(a - b) % HOURS
    return min(apart, HOURS - apart)


def landmark_at(machine: Machine, hour: float) -> Landmark | None:
    """The landmark nearest `hour` if it is within LANDMARK_WITHIN, else None."""
    near = [mark for mark in machine.landmarks if hours_apart(mark.hour, hour) <= LANDMARK_WITHIN]
    return min(near, key=lambda mark: hours_apart(mark.hour, hour), default=None)


def fixed_carrier(machine: Machine) -> Landmark | None:
    """The landmark where the carrier of a cylinder-turning machine stands, if the profile has one:
    the one with "carrier" in its name."""
    if machine.turns is Turning.CARRIER:
        return None
    named = (mark for mark in machine.landmarks if CARRIER_WORD in mark.name.casefold())
    return next(named, None)
