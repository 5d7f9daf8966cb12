"""The instruction set: each step is one thing that hands do at the machine.

Needles are numbered 1..N in the order a forward round knits them; the home gap lies before
needle 1. Dial slots are numbered 1..D the same way. Steps are data; `needlebed` gives each its
exact meaning and `wording` its sentence.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Section(StrEnum):
    """The part of the sock a step belongs to."""

    SET_UP = "set-up"
    CUFF = "cuff"
    LEG = "leg"
    HEEL = "heel"
    FOOT = "foot"
    TOE = "toe"
    CLOSING = "closing"


class Way(StrEnum):
    """The way of a row: forward as a round goes, or reverse."""

    FORWARD = "forward"
    REVERSE = "reverse"


class Weight(StrEnum):
    """The two kinds of weight: on the whole tube, and forked on the heel fabric."""

    MAIN = "main"
    HEEL = "heel"


class Change(StrEnum):
    """The changes at which most losses happen; each carries a short check."""

    INTO_RIB = "into rib"
    INTO_HEM = "into hem"
    INTO_HEEL = "into heel"
    INTO_FOOT = "into foot"
    INTO_TOE = "into toe"
    INTO_CLOSING = "into closing"
    OFF = "off"


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do; `section` is the part of the sock it belongs to."""

    section: Section


@dataclass(frozen=True, slots=True)
class HangScrap(Step):
    """Hang a set-up bonnet or a scrap tube on every needle of the cylinder."""


@dataclass(frozen=True, slots=True)
class Thread(Step):
    """Thread `yarn` into the carrier, leaving an end of `tail_mm`.

    `removable` yarns (waste, cord) leave the finished sock. Where rows follow, the end is held,
    with that of the yarn before, down between the two needles of `between`.
    """

    yarn: str
    removable: bool = False
    tail_mm: float = 150.0
    between: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class CutYarn(Step):
    """Cut the yarn in the carrier and take it out, of the heel spring too, leaving `tail_mm`."""

    tail_mm: float = 150.0


@dataclass(frozen=True, slots=True)
class Rounds(Step):
    """Crank `count` whole rounds forward."""

    count: int


@dataclass(frozen=True, slots=True)
class PartRound(Step):
    """Crank forward until needle `last` has knitted, and stop there."""

    last: int


@dataclass(frozen=True, slots=True)
class Row(Step):
    """Knit once across all needles in work, in the way given, and stop past the last, or in
    mid-row past needle `last`."""

    way: Way
    last: int | None = None


@dataclass(frozen=True, slots=True)
class Raise(Step):
    """Raise `needles` out of work; they keep their loops."""

    needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Lower(Step):
    """Lower raised `needles` into work, latches open."""

    needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Wrap(Step):
    """Lay the yarn by hand round the stem of raised `needle`."""

    needle: int


@dataclass(frozen=True, slots=True)
class MoveLoops(Step):
    """Move the loop of each first needle onto its second.

    With `eyelet` the emptied needles stay in work, so that the next round leaves a hole there.
    """

    moves: tuple[tuple[int, int], ...]
    eyelet: bool = False


@dataclass(frozen=True, slots=True)
class RemoveNeedles(Step):
    """Take empty `needles` out of their slots."""

    needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ReplaceNeedles(Step):
    """Put needles back into empty slots `needles`, in work and empty."""

    needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LiftBars(Step):
    """Lift the strand that crosses below each empty needle onto it."""

    needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class HangHem(Step):
    """Lift the sinker bar of each loop of `course` (counted from the start of the program) onto
    the needle above it; `shift` is 0 on the needle it came from."""

    course: int
    shift: int = 0


@dataclass(frozen=True, slots=True)
class ToDial(Step):
    """Hand the loop of each cylinder needle to a dial slot; the cylinder needle comes out."""

    moves: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class FillDial(Step):
    """Put empty needles into dial `slots`; their first yarn lies as a tuck."""

    slots: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ToCylinder(Step):
    """Hand the loop of each dial slot to a cylinder needle, put back if it was out."""

    moves: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Mount(Step):
    """Put the ribber on the machine, disconnected (`on`), or take it off."""

    on: bool


@dataclass(frozen=True, slots=True)
class Ribber(Step):
    """Connect the ribber (`on`) or disconnect it; a disconnected dial keeps its loops."""

    on: bool


@dataclass(frozen=True, slots=True)
class Weigh(Step):
    """Hang weight of `kind`; again later means: move it higher."""

    kind: Weight


@dataclass(frozen=True, slots=True)
class Unweigh(Step):
    """Take weight of `kind` off."""

    kind: Weight


@dataclass(frozen=True, slots=True)
class HeelSpring(Step):
    """Put the yarn through the heel spring (`on`) or take it out."""

    on: bool


@dataclass(frozen=True, slots=True)
class SetCam(Step):
    """Set the stitch cam so that loops are `factor` times as long as the swatch's; `setting` is
    the user's own number for it where her swatches tell it."""

    factor: float
    setting: float | None = None


@dataclass(frozen=True, slots=True)
class Check(Step):
    """Stop and go through the short check for `change`."""

    change: Change


@dataclass(frozen=True, slots=True)
class TakeOff(Step):
    """Crank the work off the needles; the last removable yarn holds its loops."""


@dataclass(frozen=True, slots=True)
class Graft(Step):
    """Graft the held loops of needles `a` to those of `b`, first to first."""

    a: tuple[int, ...]
    b: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Gather(Step):
    """Draw a doubled end through every held loop and close it tight."""


@dataclass(frozen=True, slots=True)
class PullCord(Step):
    """Pull the ravel cord, so that the set-up comes away from the first round."""


@dataclass(frozen=True, slots=True)
class BindOff(Step):
    """Bind off by hand the free edge of `course`."""

    course: int


@dataclass(frozen=True, slots=True)
class OpenWaste(Step):
    """Draw out the removable rows knitted into needles `needles` at `course`, which frees one
    row of loops below and one above."""

    course: int
    needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Rehang(Step):
    """Hang the opened loops: the lower ones on needles `lower`, the upper ones, by their bars, on
    needles `upper`, first to first round the opening."""

    lower: tuple[int, ...]
    upper: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Finish(Step):
    """Darn the ends, wash and dry on a blocker or flat."""


@dataclass(frozen=True)
class Program:
    """A crank program: N cylinder needles, the angular place of every dial slot in needle
    numbers (empty without a ribber), and the steps."""

    needles: int
    dial: tuple[float, ...]
    steps: tuple[Step, ...]
