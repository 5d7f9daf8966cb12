"""The ring of needles and all that hangs on it, and a frozen view of it between two steps."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import NamedTuple

from sockwright.needlebed.findings import Code, Finding
from sockwright.needlebed.loops import NONE
from sockwright.needlebed.recorder import Recorder
from sockwright.steps import Program

OUT_OF_SLOT, RAISED, WORKING = 0, 1, 2
"""How a needle stands: its slot is empty; up, with its loop, and does not knit; in work."""

FEWEST_APART = 6
"""Needles in work on which three forks still find a place of their own."""

REPORTED_PER_STEP = 3
"""Findings of one code a step reports singly; the last of them counts the rest."""


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


class Span(NamedTuple):
    """First and last of some slots, and whether all between them are of their kind."""

    low: int
    high: int
    solid: bool


class Bed:
    """A ring of needle slots, the cylinder's 0..N-1 and then the dial's, and what they hold.

    `needle[s]` is OUT_OF_SLOT, RAISED or WORKING; `top[s]` the newest loop on it or NONE;
    `under[s]` further loops on it (wraps, hung bars, moved loops); `lowered` are the slots brought
    into work since the last row. `held` are the loops that were on each slot when the work was last
    taken off (`off`: it is off), `before_waste` those when removable yarn was threaded.

    `gap` is how many cylinder needles lie between the home gap and the carrier, counted forward: at
    home N after a forward pass, 0 after one in reverse. `factor` is the loop length as a share of
    the swatch's. `knitted` tells whether the threaded yarn made a loop yet, `end_held` whether its
    end is held; `end_slot` is where a yarn of the sock knitted last, `ends` the ends of its yarns.

    `forks` are the slots below which the heel weights hang, none while they are off; `fork_rows`
    the rows since they were hung or moved, `forks_far` whether they were found too far out since.
    `mounted` tells whether the ribber is on the machine, `ribber` whether it is connected;
    `idle_rounds` are the rounds that passed by loops on a dial that is not connected.
    """

    __slots__ = (
        "angle",
        "before_waste",
        "dial",
        "end_held",
        "end_slot",
        "ends",
        "eyelets",
        "factor",
        "fork_rows",
        "forks",
        "forks_far",
        "gap",
        "held",
        "idle_rounds",
        "knitted",
        "lowered",
        "main_weight",
        "mounted",
        "n",
        "needle",
        "off",
        "removable",
        "ribber",
        "spring",
        "top",
        "under",
        "way",
        "wraps",
        "yarn",
    )

    def __init__(self, needles: int, dial: tuple[float, ...]) -> None:
        self.n = needles
        self.dial = dial
        slots = needles + len(dial)
        self.angle = [place + 1.0 for place in range(needles)] + list(dial)
        self.needle = bytearray([WORKING] * needles + [OUT_OF_SLOT] * len(dial))
        self.top = [NONE] * slots
        self.under: dict[int, list[int]] = {}
        self.before_waste: dict[int, list[int]] = {}
        self.held: dict[int, list[int]] = {}
        self.eyelets: set[int] = set()
        self.lowered: set[int] = set()
        self.wraps: list[int] = []
        self.gap = needles
        self.factor = 1.0
        self.way = 0
        self.yarn = NONE
        self.knitted = False
        self.end_held = False
        self.end_slot = NONE
        self.ends: tuple[End, ...] = ()
        self.removable = True
        self.mounted = False
        self.ribber = False
        self.spring = False
        self.main_weight = False
        self.forks: tuple[int, ...] = ()
        self.fork_rows = 0
        self.forks_far = False
        self.idle_rounds = 0
        self.off = False

    def working(self, slot: int) -> bool:
        """Whether the needle in `slot` is in work."""
        return self.needle[slot] == WORKING

    def loops_on(self, slot: int) -> list[int]:
        """All loops on a needle, the newest first."""
        top = self.top[slot]
        return ([] if top == NONE else [top]) + self.under.get(slot, [])

    def put(self, slot: int, loops: list[int]) -> None:
        """Hang `loops` on a needle beside what it holds."""
        if not loops:
            return
        self.eyelets.discard(slot)
        if self.top[slot] == NONE:
            self.top[slot], loops = loops[0], loops[1:]
        if loops:
            self.under.setdefault(slot, []).extend(loops)

    def clear(self, slot: int) -> list[int]:
        """Take all loops off a needle and return them."""
        loops = self.loops_on(slot)
        self.top[slot] = NONE
        self.under.pop(slot, None)
        return loops

    def note_loops(self) -> None:
        """Remember what every needle holds, for removable yarn to be knitted through."""
        self.before_waste = {slot: self.loops_on(slot) for slot in range(len(self.top))}

    def beside(self) -> tuple[int, int]:
        """The needles in their slots, from 1, that the carrier stands between."""
        slots = [s for s in range(self.n) if self.needle[s] != OUT_OF_SLOT] or [0]
        before = [s for s in slots if s < self.gap] or slots
        after = [s for s in slots if s >= self.gap] or slots
        return before[-1] + 1, after[0] + 1

    def span(self) -> Span:
        """The working cylinder needles; (-1, -1, False) with none."""
        state = self.needle
        low = state.find(WORKING, 0, self.n)
        high = state.rfind(WORKING, 0, self.n)
        solid = low >= 0 and state.count(WORKING, low, high + 1) == high + 1 - low
        return Span(low, high, solid)

    def loops_on_dial(self) -> bool:
        """Whether a dial needle holds a loop."""
        return any(loop != NONE for loop in self.top[self.n :])

    def round_slots(self) -> list[int]:
        """Slots a whole round passes, in order from the carrier: working needles of cylinder and
        connected dial, and idle cylinder slots, behind which the yarn floats."""
        n, gap = self.n, self.gap % self.n
        cylinder = list(range(gap, n)) + list(range(gap))
        if not self.ribber:
            return cylinder
        dial = [slot for slot in range(n, len(self.top)) if self.needle[slot] == WORKING]
        # A dial needle stands over an idle cylinder slot, or a pair of them on both its sides.
        met = {(round_(self.angle[slot]) - 1) % n for slot in dial for round_ in (floor, ceil)}
        stay = [s for s in cylinder if self.needle[s] == WORKING or s not in met]
        return sorted(stay + dial, key=lambda s: (self.angle[s] - gap - 0.5) % n)


class Run:
    """Everything that changes while a program is executed.

    `grafts` joins loop ids, `closed` are ids made safe by hand, `opened` ids laid bare by drawing
    out waste rows, of which `below` and `above` (slot -> loop id) are the two edges.
    """

    def __init__(self, program: Program, loop_mm: float, supply_mm: dict[str, float]) -> None:
        self.bed = Bed(program.needles, program.dial)
        self.recorder = Recorder(program.needles)
        self.recorder.loop_mm = self.base_mm = loop_mm
        self.supply_mm = supply_mm
        self.findings: list[Finding] = []
        self.grafts: list[tuple[int, int]] = []
        self.closed: list[int] = []
        self.opened: list[int] = []
        self.below: dict[int, int] = {}
        self.above: dict[int, int] = {}
        self.cord_pulled = False
        self.step = 0
        self.section = ""

    def find(self, code: Code, slots: list[int] | None = None) -> None:
        """Report `code`, once a needle but not more than a few times a step."""
        if not slots:
            self.findings.append(Finding(code, self.step))
            return
        n = self.bed.n
        self.find_at(
            code, [(slot - n + 1, True) if slot >= n else (slot + 1, False) for slot in slots]
        )

    def find_at(self, code: Code, places: list[tuple[int, bool]]) -> None:
        """Report `code` at (number, on the dial?) as the program gives them."""
        named, rest = places[:REPORTED_PER_STEP], len(places) - REPORTED_PER_STEP
        for place, (number, on_dial) in enumerate(named):
            count = 1 + max(rest, 0) if place == REPORTED_PER_STEP - 1 else 1
            self.findings.append(Finding(code, self.step, number, count, on_dial))

    def valid(self, needles: tuple[int, ...]) -> list[int]:
        """Cylinder slots of `needles`; those that do not exist are reported and left out."""
        n = self.bed.n
        bad = [needle for needle in needles if not 1 <= needle <= n]
        if bad:
            self.find_at(Code.NO_NEEDLE, [(needle, False) for needle in bad])
        return [needle - 1 for needle in needles if 1 <= needle <= n]
