"""What a finished sock, washed and dry, reads of its fabric: the size of it over the wales, courses
or loops that it is known to have."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import isfinite, log

from sockwright.estimates import rectangular_sd
from sockwright.facts import fact

MM_PER_KM = 1e6


class Component(StrEnum):
    """What a reading tells of: the width of a wale, the height of a course, the yarn in a loop."""

    WALE = "wale"
    COURSE = "course"
    LOOP = "loop"


COMPONENTS = tuple(Component)


@dataclass(frozen=True)
class SockReading:
    """One reading of a finished sock.

    `fabric` is the place of its fabric among those learnt about, `value` the logarithm of wale,
    course or loop in mm, `variance` that of `value` from ruler, balance and laying flat alone.
    A loop is always weighed: it reads ln loop + the relative error of its yarn's fineness.
    `sock` numbers the sock; readings of one component of one sock share its scatter.
    `confirmed` says that the maker was asked about the reading and stands by it.
    ValueError for a value that is not finite or a variance that is not above zero.
    """

    fabric: int
    component: Component
    value: float
    variance: float
    sock: int
    confirmed: bool = False

    def __post_init__(self) -> None:
        if not (isfinite(self.value) and isfinite(self.variance) and self.variance > 0):
            raise ValueError(
                f"sock {self.sock}, {self.component}: {self.value} with variance {self.variance} "
                "is no reading: a finite value and a variance above zero are"
            )


def read_course(
    fabric: int, sock: int, length_mm: float, courses: float, half_width_mm: float
) -> SockReading:
    """A foot's or a plain leg's length over its courses; `half_width_mm` that of the ruler's error.

    Courses of a foot: heel rows a side + foot rounds + toe rows a side.
    """
    return _laid_flat(fabric, Component.COURSE, sock, length_mm, courses, half_width_mm)


def read_wale(
    fabric: int, sock: int, flat_width_mm: float, needles: int, half_width_mm: float
) -> SockReading:
    """The width of the flattened tube, half its girth, over half its needles."""
    return _laid_flat(fabric, Component.WALE, sock, flat_width_mm, needles / 2, half_width_mm)


def read_loop(
    fabric: int, sock: int, mass_g: float, loops: float, tex: float, half_width_g: float
) -> SockReading:
    """The mass of a sock over its loops as the dry run counts them, wraps and tucks as their share
    of a loop; `tex` that of the label, g/km, `half_width_g` that of the balance's error."""
    value = log(mass_g * MM_PER_KM / (tex * loops))
    variance = (rectangular_sd(half_width_g) / mass_g) ** 2
    return SockReading(fabric, Component.LOOP, value, variance, sock)


def _laid_flat(
    fabric: int, component: Component, sock: int, size_mm: float, count: float, half_width_mm: float
) -> SockReading:
    ruler = rectangular_sd(half_width_mm) / size_mm
    variance = ruler**2 + fact("learning", "flat_relative_sd").number ** 2
    return SockReading(fabric, component, log(size_mm / count), variance, sock)


def pooled(readings: Iterable[SockReading]) -> tuple[SockReading, ...]:
    """One reading for each component of each sock in each of its fabrics, in order of appearance.

    The mean of several by weight, as they share the scatter of that sock; confirmed if all are.
    """
    same: dict[tuple[int, int, Component], list[SockReading]] = {}
    for each in readings:
        same.setdefault((each.sock, each.fabric, each.component), []).append(each)
    return tuple(each[0] if len(each) == 1 else _mean(each) for each in same.values())


def _mean(readings: list[SockReading]) -> SockReading:
    weight = sum(1 / each.variance for each in readings)
    first = readings[0]
    value = sum(each.value / each.variance for each in readings) / weight
    confirmed = all(each.confirmed for each in readings)
    return SockReading(first.fabric, first.component, value, 1 / weight, first.sock, confirmed)
