"""Where needles, marks and the carrier stand, on a clock face seen from above.

Six o'clock is nearest the operator. On a machine whose cylinder turns the hours hold for the
cylinder's place of rest only, with the heel half on the side the profile names.
"""

from __future__ import annotations

from math import floor

from sockwright.machine.model import Direction, HeelHalf, Landmark, Machine, Turning

HOURS = 12
LANDMARK_WITHIN = 0.25
"""Hours within which a place is called by a landmark: a quarter of an hour is one needle of 48."""
CARRIER_WORD = "carrier"
"""A landmark with this word in its name is the fixed carrier of a cylinder-turning machine."""


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
