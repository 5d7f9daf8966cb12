"""What a dry run finds wrong: each finding is data with a code, the step, the needle, the mend."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sockwright.words import Said, phrase, said


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
    GRAFT_ASKEW = "graft-askew"
    GRAFT_CORNER = "graft-corner"
    HEM_ASKEW = "hem-askew"
    NO_YARN = "no-yarn"
    TAIL_ON_NOTHING = "tail-on-nothing"
    FREE_END = "free-end"
    YARN_GONE = "yarn-gone"
    EMPTY_RAISE = "empty-raise"
    UNDER_CAMS = "under-cams"
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
    def message(self) -> Said:
        """What is wrong, in a sentence that names the program's step."""
        return self.told(said("step {step}", step=self.step))

    def told(self, step: str) -> Said:
        """What is wrong, in a sentence that names the step as the reader knows it."""
        wrong = FINDINGS[self.code][1]
        if self.count != 1:
            wrong = said("{wrong} ({count} in all)", wrong=wrong, count=self.count)
        if self.needle is None:
            return said("{step}: {wrong}", step=step, wrong=wrong)
        where = phrase("{step} at needle {needle}: {wrong}")
        if self.on_dial:
            where = phrase("{step} at dial slot {needle}: {wrong}")
        return said(where, step=step, needle=self.needle, wrong=wrong)

    @property
    def mend(self) -> Said:
        """What to do about it."""
        return FINDINGS[self.code][2]


FINDINGS: dict[Code, tuple[Level, Said, Said]] = {
    Code.LIVE_LOOP: (
        Level.ERROR,
        said("a loop of the sock is left live; it will run"),
        said("graft it, gather it or bind it off"),
    ),
    Code.EDGE_RAVELS: (
        Level.ERROR,
        said("the first edge ravels once the ravel cord is pulled"),
        said("hang the bars of the very first round, begin on both beds, or bind the edge off"),
    ),
    Code.EMPTY_NEEDLE: (
        Level.ERROR,
        said("a needle in work has nothing to knit"),
        said("lift the bar below onto it, or take it out of work"),
    ),
    Code.TOO_MANY_LOOPS: (
        Level.ERROR,
        said("more loops on the needle than its latch can clear (three)"),
        said("knit the needle sooner, or wrap it less often"),
    ),
    Code.NO_WRAP: (
        Level.WARNING,
        said("the yarn reverses with no wrap round the next needle; this leaves a hole"),
        said("lay the yarn round the next raised needle before reversing"),
    ),
    Code.LONG_FLOAT: (
        Level.ERROR,
        said("the yarn floats past too many idle needles"),
        said("bring the needles between into work, or knit rows instead of rounds"),
    ),
    Code.UNEQUAL_GRAFT: (
        Level.ERROR,
        said("the two sides to graft do not hold the same number of loops"),
        said("move the odd loop onto its neighbour one round earlier"),
    ),
    Code.GRAFT_ASKEW: (
        Level.ERROR,
        said("loops are grafted to loops that do not lie opposite; the seam will be askew"),
        said("begin at a corner and take the loops of both sides in their order away from it"),
    ),
    Code.GRAFT_CORNER: (
        Level.ERROR,
        said("the graft begins at the corner away from the tail that is to close it"),
        said("begin with the pair beside the tail"),
    ),
    Code.HEM_ASKEW: (
        Level.ERROR,
        said("the hem is hung on needles its bars did not come from; the cuff will spiral"),
        said("take the bars off and hang each on the needle of its own wale"),
    ),
    Code.NO_YARN: (
        Level.ERROR,
        said("the carrier has no yarn; every loop it passes would drop"),
        said("thread the yarn before cranking"),
    ),
    Code.TAIL_ON_NOTHING: (
        Level.ERROR,
        said("a yarn is cut that has made no loop; its tail hangs on nothing"),
        said("do not thread it here, or knit with it before it is cut"),
    ),
    Code.FREE_END: (
        Level.ERROR,
        said("a row begins on an end of yarn that nobody holds; its first loop or wrap slips out"),
        said("hold both ends down between the two needles at the corner, clipped"),
    ),
    Code.YARN_GONE: (
        Level.ERROR,
        said("the yarn on hand is used up here"),
        said("shorten the leg, use another yarn for cuff, heel or toe, or get more"),
    ),
    Code.EMPTY_RAISE: (
        Level.ERROR,
        said("the needle to raise holds no loop or is not in work"),
        said("check which needle is meant: raise the one that has just knitted"),
    ),
    Code.UNDER_CAMS: (
        Level.ERROR,
        said("the cams hold this needle low; it can be neither raised nor lowered here"),
        said("stop in the middle of the needles that knit on, and move it from there"),
    ),
    Code.WRONG_SIDE: (
        Level.ERROR,
        said("the carrier stands at the wrong end for this row"),
        said("check the way of the row before cranking"),
    ),
    Code.NO_HEEL_WEIGHT: (
        Level.ERROR,
        said("rows are knitted with no heel weight; their loops will ride up"),
        said("hang the heel weights on the heel fabric first"),
    ),
    Code.NO_MAIN_WEIGHT: (
        Level.ERROR,
        said("rounds are knitted with no weight on the tube"),
        said("hang the main weight again"),
    ),
    Code.NO_SPRING: (
        Level.WARNING,
        said("the yarn reverses without the heel spring; slack loops at the ends of the rows"),
        said("put the yarn through the heel spring"),
    ),
    Code.SPRING_LEFT_ON: (
        Level.WARNING,
        said("rounds are knitted with the heel spring on; they come out tight"),
        said("take the yarn out of the heel spring"),
    ),
    Code.RIBBER_IN_REVERSE: (
        Level.ERROR,
        said("the ribber is connected in a row; it runs forward rounds only"),
        said("disconnect the ribber first"),
    ),
    Code.NO_NEEDLE: (
        Level.ERROR,
        said("there is no needle, or no dial slot, at this place"),
        said("check the needle number against the cylinder and the dial"),
    ),
    Code.NO_LOOP: (
        Level.ERROR,
        said("the needle holds no loop to move"),
        said("check which needle is meant"),
    ),
    Code.NOTHING_IN_WORK: (
        Level.ERROR,
        said("no needle is in work"),
        said("lower needles into work before cranking"),
    ),
    Code.LOOP_ON_NEEDLE: (
        Level.ERROR,
        said("a needle that holds a loop is taken out; the loop would drop"),
        said("move its loop to a neighbour first"),
    ),
    Code.NOT_RAISED: (
        Level.ERROR,
        said("the needle to lower or to wrap is not raised"),
        said("check which needle is meant"),
    ),
}
