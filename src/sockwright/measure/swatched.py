"""The fabrics of one maker as their swatches leave them, all together: before any finished sock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sockwright.facts import fact
from sockwright.measure.finished import COMPONENTS

Array = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]

SIZES = len(COMPONENTS)
"""ln wale, ln course and ln loop of a fabric stand beside each other."""
NONE = -1


@dataclass(frozen=True, eq=False)
class Fabrics:
    """What swatches say of F fabrics of Y yarns, a fabric being a yarn on a cylinder at a cam
    setting, before or after a service.

    `mean` (3F + Y,) and `cov` (3F + Y, 3F + Y) are those of ln wale, ln course, ln loop (mm) of
    each fabric in turn, followed by the relative error of each yarn's fineness. `group` (F,)
    numbers the machine with its class of yarn, `yarn` (F,) the yarn; `before` (F,) is the same
    fabric before the last service, -1 where there was none. ValueError for other shapes or a
    number of no yarn or fabric.
    """

    mean: Array
    cov: Array
    group: Numbers
    yarn: Numbers
    before: Numbers

    def __post_init__(self) -> None:
        size, count = len(self.mean), len(self)
        if not len(self.group) == len(self.yarn) == len(self.before):
            raise ValueError(
                f"{count} groups, {len(self.yarn)} yarns and {len(self.before)} earlier fabrics: "
                "each fabric has one of each"
            )
        if self.cov.shape != (size, size) or self.yarns < 0:
            raise ValueError(
                f"mean {self.mean.shape} and covariance {self.cov.shape} of {count} fabrics: "
                "(3F + Y,) and (3F + Y, 3F + Y) are right"
            )
        if count and not (0 <= self.yarn.min() <= self.yarn.max() < self.yarns):
            raise ValueError(f"yarns {self.yarn.tolist()}: each is one of 0 to {self.yarns - 1}")
        if any(not NONE <= before < place for place, before in enumerate(self.before)):
            raise ValueError(f"{self.before.tolist()}: an earlier fabric comes earlier, or is -1")

    def __len__(self) -> int:
        return len(self.group)

    @property
    def yarns(self) -> int:
        """How many yarns there are, Y."""
        return len(self.mean) - SIZES * len(self)

    def places(self, fabric: int) -> list[int]:
        """Where its ln wale, ln course, ln loop and the error of its fineness stand in `mean`."""
        first = SIZES * fabric
        return [*range(first, first + SIZES), SIZES * len(self) + int(self.yarn[fabric])]

    def earlier(self, fabric: int) -> tuple[int, ...]:
        """The same fabric before its services, the last first."""
        found: list[int] = []
        place = int(self.before[fabric])
        while place != NONE:
            found.append(place)
            place = int(self.before[place])
        return tuple(found)


@dataclass(frozen=True, eq=False)
class Swatched:
    """What its own swatches say of one fabric: `mean` (4,) and `cov` (4, 4) of ln wale, ln course,
    ln loop (mm) and the relative error of its yarn's fineness; its group and its yarn."""

    mean: Array
    cov: Array
    group: int
    yarn: int


def together(swatched: Sequence[Swatched], fineness_sds: Sequence[float]) -> Fabrics:
    """Fabrics whose swatches have nothing in common but the fineness of their yarns.

    `fineness_sds` (Y,) are the relative sds of the yarns' fineness before any swatch; a yarn's
    fabrics each bring what they learnt of it, and all of them get the whole. ValueError if a
    swatch leaves a yarn less certain than it was.
    """
    count, yarns = len(swatched), len(fineness_sds)
    size = SIZES * count
    mean, cov = np.zeros(size + yarns), np.zeros((size + yarns, size + yarns))
    slopes = np.zeros((size, yarns))
    for yarn, sd in enumerate(fineness_sds):
        mean[size + yarn], cov[size + yarn, size + yarn] = _fineness(swatched, yarn, sd)
    for place, one in enumerate(swatched):
        own = slice(SIZES * place, SIZES * place + SIZES)
        known = one.cov[SIZES, SIZES]
        slope = one.cov[:SIZES, SIZES] / known if known > 0 else np.zeros(SIZES)
        slopes[own, one.yarn] = slope
        mean[own] = one.mean[:SIZES] + slope * (mean[size + one.yarn] - one.mean[SIZES])
        cov[own, own] = one.cov[:SIZES, :SIZES] - np.outer(slope, slope) * known
    fineness = cov[size:, size:]
    cov[:size, :size] += slopes @ fineness @ slopes.T
    cov[:size, size:] = slopes @ fineness
    cov[size:, :size] = cov[:size, size:].T
    groups = np.array([one.group for one in swatched], dtype=np.intp)
    its_yarn = np.array([one.yarn for one in swatched], dtype=np.intp)
    return Fabrics(mean, cov, groups, its_yarn, np.full(count, NONE, dtype=np.intp))


def _fineness(swatched: Sequence[Swatched], yarn: int, sd: float) -> tuple[float, float]:
    """Mean and variance of the error of a yarn's fineness, by all its fabrics: each brings what it
    knows beyond the `sd` that all of them began with."""
    if sd <= 0:
        return 0.0, 0.0
    precision, weighed = 1 / sd**2, 0.0
    for one in swatched:
        if one.yarn == yarn:
            known = float(one.cov[SIZES, SIZES])
            if not 0 < known <= sd**2 * (1 + 1e-9):
                raise ValueError(
                    f"the fineness of yarn {yarn} errs by {known**0.5:g} after a swatch and by "
                    f"{sd:g} before: it must be above zero and no larger"
                )
            precision += 1 / known - 1 / sd**2
            weighed += float(one.mean[SIZES]) / known
    return weighed / precision, 1 / precision


def serviced(fabrics: Fabrics, fabric: int) -> Fabrics:
    """The fabrics and, last, one of them after a service: as before it, but for an error that
    wale, course and loop have alike (`gauge.service_relative_sd`)."""
    cut = SIZES * len(fabrics)
    old = list(range(SIZES * fabric, SIZES * fabric + SIZES))
    order = [*range(cut), *old, *range(cut, len(fabrics.mean))]
    cov = fabrics.cov[np.ix_(order, order)]
    cov[cut : cut + SIZES, cut : cut + SIZES] += fact("gauge", "service_relative_sd").number ** 2
    return Fabrics(
        fabrics.mean[order],
        cov,
        np.append(fabrics.group, fabrics.group[fabric]),
        np.append(fabrics.yarn, fabrics.yarn[fabric]),
        np.append(fabrics.before, fabric),
    )
