"""A short-row cup, heel or toe: how many rows it takes and what they are worth in length."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from sockwright.order.model import Widening

FEWEST_KEPT = 4


@dataclass(frozen=True)
class Cup:
    """A cup on `needles` needles narrowed to `kept`, raising `first_raise` needles in each of the
    first two rows and one a row after that."""

    needles: int
    kept: int
    widening: Widening = Widening.WRAPPED_NEAR
    first_raise: int = 1

    @property
    def raised(self) -> int:
        """Needles raised in narrowing and lowered in widening."""
        return self.needles - self.kept

    @property
    def narrowing_rows(self) -> int:
        """Rows of the narrowing: one a needle, two fewer when the first two rows raise two."""
        return self.raised - 2 * (self.first_raise - 1)

    @property
    def widening_rows(self) -> int:
        """Rows of the widening, one a needle in every family we knit."""
        return self.raised

    @property
    def rows(self) -> int:
        """All rows; each adds a course to the middle wale."""
        return self.narrowing_rows + self.widening_rows

    @property
    def share(self) -> float:
        """Courses on each side of the fold: half the rows."""
        return self.rows / 2

    def girth_mm(self, wale_mm: float, course_mm: float) -> float:
        """Relaxed girth round heel and instep of a heel with this cup, mm.

        The heel half across, the kept needles across, and twice the slope between them (flat
        geometry of the cup).
        """
        across = (self.needles + self.kept) * wale_mm
        slope = hypot(self.raised * wale_mm / 2, self.raised * course_mm)
        return across + 2 * slope


def default_kept(needles: int) -> int:
    """Needles kept at the narrowest: the number nearest a third that leaves an even number to
    raise, at least four (Spencer, Knitting Technology, pp. 265-266, for the third)."""
    choices = range(max(FEWEST_KEPT, 2 - needles % 2), needles, 1)
    even = [kept for kept in choices if (needles - kept) % 2 == 0]
    return min(even, key=lambda kept: (abs(kept - needles / 3), kept))


def kept_choices(needles: int) -> tuple[int, ...]:
    """Every number of kept needles a cup on `needles` can have."""
    return tuple(k for k in range(FEWEST_KEPT, needles - 1) if (needles - k) % 2 == 0)
