"""The machine between two steps: a frozen view of the bed, and what can be asked of it."""

from __future__ import annotations

from dataclasses import dataclass

OUT_OF_SLOT, RAISED, WORKING = 0, 1, 2
"""How a needle stands: its slot is empty; up, with its loop, and does not knit; in work."""


FEWEST_APART = 6
"""Needles in work on which three forks still find a place of their own."""


def fork_places(low: int, high: int) -> tuple[int, ...]:
    """Where the heel weights hang on the fabric of needles, or slots, low..high: beside the second
    of each end and in the middle, or all in the middle where there is no room (common practice)."""
    middle = (low + high) // 2
    return (middle,) if high - low + 1 < FEWEST_APART else (low + 1, middle, high - 1)


@dataclass(frozen=True, slots=True)
class End:
    """An end of a yarn of the sock: its beginning, threaded while the carrier stood past `needle`,
    or where it was cut (`cut`), beside its last loop on `needle`. It hangs inside the tube, or is
    held between the two needles of `between`; `woven` once it is worked into the fabric."""

    yarn: str
    needle: int
    cut: bool
    between: tuple[int, ...] = ()
    woven: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """The machine after `steps` steps (0: as the program finds it).

    `cylinder` (N,) and `dial` (D,) hold OUT_OF_SLOT, RAISED or WORKING for each slot, needle 1
    first. `gap` is the needle the carrier stands past, counted forward: at home N after a pass
    forward, 0 after one in reverse. `way` is 1 after a forward pass, -1 after one in reverse, 0
    before any. `yarn` is None where none is threaded. `mounted` tells whether the ribber is on the
    machine, `ribber` whether it is connected. `factor` is the loop length as a share of the
    swatch's. `forks` are the needles below which the heel weights hang, none while they are off.
    `courses` counts rounds, part rounds and rows. `ends` are all ends of the sock's own yarns, the
    oldest first.
    """

    steps: int
    cylinder: bytes
    dial: bytes
    gap: int
    way: int
    yarn: str | None
    mounted: bool
    ribber: bool
    spring: bool
    main_weight: bool
    forks: tuple[int, ...]
    factor: float
    courses: int
    ends: tuple[End, ...] = ()

    @property
    def heel_weight(self) -> bool:
        """Whether the heel weights hang."""
        return bool(self.forks)

    @property
    def needles(self) -> int:
        """Slots of the cylinder."""
        return len(self.cylinder)

    def working(self) -> list[int]:
        """Needles in work, rising."""
        return [n for n, state in enumerate(self.cylinder, 1) if state == WORKING]

    def in_slots(self) -> list[int]:
        """Needles in their slots, in work or raised, rising."""
        return [n for n, state in enumerate(self.cylinder, 1) if state != OUT_OF_SLOT]

    def span(self) -> tuple[int, int]:
        """The first and the last needle in work; (0, 0) where none is."""
        return self.cylinder.find(WORKING) + 1, self.cylinder.rfind(WORKING) + 1

    def solid(self) -> bool:
        """Whether all needles from the first to the last in work are in work."""
        low, high = self.span()
        return self.cylinder.count(WORKING) == high - low + 1

    def carrier_high(self) -> bool:
        """Whether the carrier stands at the high-numbered end of the working needles."""
        low, high = self.span()
        return abs(self.gap - high) <= abs(self.gap - (low - 1))

    def passed(self) -> int:
        """The needle the carrier stands past: the last it went over that is in its slot."""
        n = self.needles
        if self.way < 0:
            return self.gap % n + 1
        gap = self.gap or n
        while gap > 1 and self.cylinder[gap - 1] == OUT_OF_SLOT:
            gap -= 1
        return gap

    def at_home(self) -> bool:
        """Whether the carrier stands in the home gap, whichever needles are out beside it."""
        gap = self.gap % self.needles
        return not any(self.cylinder[gap:]) or not any(self.cylinder[:gap])
