"""What a dry run finds wrong: each finding is data with a code, the step, the needle, the mend."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Level(StrEnum):
    """An error spoils the sock; a warning is worth a look."""

    ERROR = "error"
    WARNING = "warning"


class Code(StrEnum):
    """What can be found; each has its level, its sentence and its mend in FINDINGS."""

    LIVE_LOOP = "live-loop"
    EDGE_RAVELS = "edge-ravels"
    EMPTY_NEEDLE = "empty-needle"
    TOO_MANY_LOOPS = "too-many-loops"
    NO_WRAP = "no-wrap"
    LONG_FLOAT = "long-float"
    UNEQUAL_GRAFT = "unequal-graft"
    HEM_ASKEW = "hem-askew"
    NO_YARN = "no-yarn"
    YARN_GONE = "yarn-gone"
    EMPTY_RAISE = "empty-raise"
    WRONG_SIDE = "wrong-side"
    NO_HEEL_WEIGHT = "no-heel-weight"
    NO_MAIN_WEIGHT = "no-main-weight"
    NO_SPRING = "no-spring"
    SPRING_LEFT_ON = "spring-left-on"
    RIBBER_IN_REVERSE = "ribber-in-reverse"
    NO_NEEDLE = "no-needle"
    NO_LOOP = "no-loop"
    NOTHING_IN_WORK = "nothing-in-work"
    LOOP_ON_NEEDLE = "loop-on-needle"
    NOT_RAISED = "not-raised"


@dataclass(frozen=True)
class Finding:
    """One finding: step number (from 1), needle (None: no single one), how many needles or loops
    it concerns, and whether `needle` is a dial slot."""

    code: Code
    step: int
    needle: int | None = None
    count: int = 1
    on_dial: bool = False

    @property
    def level(self) -> Level:
        """Error or warning, by the code."""
        return FINDINGS[self.code][0]

    @property
    def message(self) -> str:
        """What is wrong, in a sentence that names the program's step."""
        return self.told(f"step {self.step}")

    def told(self, step: str) -> str:
        """What is wrong, in a sentence that names the step as the reader knows it."""
        place = "dial slot" if self.on_dial else "needle"
        where = "" if self.needle is None else f" at {place} {self.needle}"
        more = "" if self.count == 1 else f" ({self.count} in all)"
        return f"{step}{where}: {FINDINGS[self.code][1]}{more}"

    @property
    def mend(self) -> str:
        """What to do about it."""
        return FINDINGS[self.code][2]


FINDINGS: dict[Code, tuple[Level, str, str]] = {
    Code.LIVE_LOOP: (
        Level.ERROR,
        "a loop of the sock is left live; it will run",
        "graft it, gather it or bind it off",
    ),
    Code.EDGE_RAVELS: (
        Level.ERROR,
        "the first edge ravels once the ravel cord is pulled",
        "hang the bars of the very first round, begin on both beds, or bind the edge off",
    ),
    Code.EMPTY_NEEDLE: (
        Level.ERROR,
        "a needle in work has nothing to knit",
        "lift the bar below onto it, or take it out of work",
    ),
    Code.TOO_MANY_LOOPS: (
        Level.ERROR,
        "more loops on the needle than its latch can clear (three)",
        "knit the needle sooner, or wrap it less often",
    ),
    Code.NO_WRAP: (
        Level.WARNING,
        "the yarn reverses with no wrap round the next needle; this leaves a hole",
        "lay the yarn round the next raised needle before reversing",
    ),
    Code.LONG_FLOAT: (
        Level.ERROR,
        "the yarn floats past too many idle needles",
        "bring the needles between into work, or knit rows instead of rounds",
    ),
    Code.UNEQUAL_GRAFT: (
        Level.ERROR,
        "the two sides to graft do not hold the same number of loops",
        "move the odd loop onto its neighbour one round earlier",
    ),
    Code.HEM_ASKEW: (
        Level.ERROR,
        "the hem is hung on needles its bars did not come from; the cuff will spiral",
        "take the bars off and hang each on the needle of its own wale",
    ),
    Code.NO_YARN: (
        Level.ERROR,
        "the carrier has no yarn; every loop it passes would drop",
        "thread the yarn before cranking",
    ),
    Code.YARN_GONE: (
        Level.ERROR,
        "the yarn on hand is used up here",
        "shorten the leg, use another yarn for cuff, heel or toe, or get more",
    ),
    Code.EMPTY_RAISE: (
        Level.ERROR,
        "the needle to raise holds no loop or is not in work",
        "check which needle is meant: raise the one that has just knitted",
    ),
    Code.WRONG_SIDE: (
        Level.ERROR,
        "the carrier stands at the wrong end for this row",
        "check the way of the row before cranking",
    ),
    Code.NO_HEEL_WEIGHT: (
        Level.ERROR,
        "rows are knitted with no heel weight; their loops will ride up",
        "hang the heel weights on the heel fabric first",
    ),
    Code.NO_MAIN_WEIGHT: (
        Level.ERROR,
        "rounds are knitted with no weight on the tube",
        "hang the main weight again",
    ),
    Code.NO_SPRING: (
        Level.WARNING,
        "the yarn reverses without the heel spring; slack loops at the ends of the rows",
        "put the yarn through the heel spring",
    ),
    Code.SPRING_LEFT_ON: (
        Level.WARNING,
        "rounds are knitted with the heel spring on; they come out tight",
        "take the yarn out of the heel spring",
    ),
    Code.RIBBER_IN_REVERSE: (
        Level.ERROR,
        "the ribber is connected in a row; it runs forward rounds only",
        "disconnect the ribber first",
    ),
    Code.NO_NEEDLE: (
        Level.ERROR,
        "there is no needle, or no dial slot, at this place",
        "check the needle number against the cylinder and the dial",
    ),
    Code.NO_LOOP: (
        Level.ERROR,
        "the needle holds no loop to move",
        "check which needle is meant",
    ),
    Code.NOTHING_IN_WORK: (
        Level.ERROR,
        "no needle is in work",
        "lower needles into work before cranking",
    ),
    Code.LOOP_ON_NEEDLE: (
        Level.ERROR,
        "a needle that holds a loop is taken out; the loop would drop",
        "move its loop to a neighbour first",
    ),
    Code.NOT_RAISED: (
        Level.ERROR,
        "the needle to lower or to wrap is not raised",
        "check which needle is meant",
    ),
}
