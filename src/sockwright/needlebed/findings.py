"""What a dry run can find wrong: names, how grave each is, what it says, and what mends it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from sockwright.i18n import N_, Message, _


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
    WRAP_MISSED = "wrap-missed"
    WRAPPED_TWICE = "wrapped-twice"
    LONG_FLOAT = "long-float"
    UNEQUAL_GRAFT = "unequal-graft"
    GRAFT_ASKEW = "graft-askew"
    GRAFT_CORNER = "graft-corner"
    REHANG_ASKEW = "rehang-askew"
    HEM_ASKEW = "hem-askew"
    NO_YARN = "no-yarn"
    TAIL_ON_NOTHING = "tail-on-nothing"
    FREE_END = "free-end"
    ENDS_ASIDE = "ends-aside"
    YARN_NOT_CUT = "yarn-not-cut"
    YARN_GONE = "yarn-gone"
    EMPTY_RAISE = "empty-raise"
    UNDER_CAMS = "under-cams"
    WRONG_SIDE = "wrong-side"
    OFF_CORNER = "off-corner"
    NO_HEEL_WEIGHT = "no-heel-weight"
    FORKS_UNDER_RAISED = "forks-under-raised"
    FORKS_NOT_MOVED = "forks-not-moved"
    FORKS_LEFT_ON = "forks-left-on"
    NO_MAIN_WEIGHT = "no-main-weight"
    WEIGHT_LEFT_ON = "weight-left-on"
    NO_SPRING = "no-spring"
    SPRING_LEFT_ON = "spring-left-on"
    NO_RIBBER = "no-ribber"
    RIBBER_OVER_ROWS = "ribber-over-rows"
    RIBBER_IN_REVERSE = "ribber-in-reverse"
    DIAL_IDLE = "dial-idle"
    WASTE_IN_SOCK = "waste-in-sock"
    SOCK_YARN_IN_WASTE = "sock-yarn-in-waste"
    WASTE_NOT_OPENED = "waste-not-opened"
    NOT_HELD = "not-held"
    NO_CORD = "no-cord"
    CORD_LEFT_IN = "cord-left-in"
    NOT_FINISHED = "not-finished"
    ROUNDS_DIFFER = "rounds-differ"
    WALES_UNEQUAL = "wales-unequal"
    EYELETS_DIFFER = "eyelets-differ"
    CAM_DIFFERS = "cam-differs"
    WRONG_YARN = "wrong-yarn"
    NO_NEEDLE = "no-needle"
    NO_LOOP = "no-loop"
    NOTHING_IN_WORK = "nothing-in-work"
    MOVED_FAR = "moved-far"
    LOOP_ON_NEEDLE = "loop-on-needle"
    NOT_RAISED = "not-raised"


class Meaning(NamedTuple):
    """How bad a finding is, what is wrong, and what mends it."""

    level: Level
    wrong: Message
    mend: Message


FINDINGS: Mapping[Code, Meaning] = {
    Code.LIVE_LOOP: Meaning(
        Level.ERROR,
        _("a loop of the sock is left live; it will run"),
        _("graft it, gather it or bind it off"),
    ),
    Code.EDGE_RAVELS: Meaning(
        Level.ERROR,
        _("the first edge ravels once the ravel cord is pulled"),
        _("hang the bars of the very first round, begin on both beds, or bind the edge off"),
    ),
    Code.EMPTY_NEEDLE: Meaning(
        Level.ERROR,
        _("a needle in work has nothing to knit"),
        _("lift the bar below onto it, or take it out of work"),
    ),
    Code.TOO_MANY_LOOPS: Meaning(
        Level.ERROR,
        _("more loops on the needle than its latch can clear (three)"),
        _("knit the needle sooner, or wrap it less often"),
    ),
    Code.NO_WRAP: Meaning(
        Level.WARNING,
        _("the yarn reverses with no wrap round the next needle; this leaves a hole"),
        _("lay the yarn round the next raised needle before reversing"),
    ),
    Code.WRAP_MISSED: Meaning(
        Level.ERROR,
        _("a turn has no wrap where the design has one; this leaves a hole"),
        _("lay the yarn round the next raised needle before reversing"),
    ),
    Code.WRAPPED_TWICE: Meaning(
        Level.ERROR,
        _("the needle is wrapped twice in one turn; it makes a lump, and its latch may not clear"),
        _("lay the yarn round it once"),
    ),
    Code.LONG_FLOAT: Meaning(
        Level.ERROR,
        _("the yarn floats past too many idle needles"),
        _("bring the needles between into work, or knit rows instead of rounds"),
    ),
    Code.UNEQUAL_GRAFT: Meaning(
        Level.ERROR,
        _("the two sides to graft do not hold the same number of loops"),
        _("move the odd loop onto its neighbour one round earlier"),
    ),
    Code.GRAFT_ASKEW: Meaning(
        Level.ERROR,
        _("loops are grafted to loops that do not lie opposite; the seam will be askew"),
        _("begin at a corner and take the loops of both sides in their order away from it"),
    ),
    Code.GRAFT_CORNER: Meaning(
        Level.ERROR,
        _("the graft begins at the corner away from the tail that is to close it"),
        _("begin with the pair beside the tail"),
    ),
    Code.REHANG_ASKEW: Meaning(
        Level.ERROR,
        _("the opened loops are hung out of their order; the heel will be twisted"),
        _("hang the near edge on its own wales and the far edge on the needles that follow"),
    ),
    Code.HEM_ASKEW: Meaning(
        Level.ERROR,
        _("the hem is hung on needles its bars did not come from; the cuff will spiral"),
        _("take the bars off and hang each on the needle of its own wale"),
    ),
    Code.NO_YARN: Meaning(
        Level.ERROR,
        _("the carrier has no yarn; every loop it passes would drop"),
        _("thread the yarn before cranking"),
    ),
    Code.TAIL_ON_NOTHING: Meaning(
        Level.ERROR,
        _("a yarn is cut that has made no loop; its tail hangs on nothing"),
        _("do not thread it here, or knit with it before it is cut"),
    ),
    Code.FREE_END: Meaning(
        Level.ERROR,
        _("a row begins on an end of yarn that nobody holds; its first loop or wrap slips out"),
        _("hold both ends down between the two needles at the corner, clipped"),
    ),
    Code.ENDS_ASIDE: Meaning(
        Level.ERROR,
        _("the ends are not held beside the carrier; the first loop is drawn askew"),
        _("lay them down between the two needles where the carrier stands"),
    ),
    Code.YARN_NOT_CUT: Meaning(
        Level.ERROR,
        _("a yarn is still in the carrier"),
        _("cut it and take it out first"),
    ),
    Code.YARN_GONE: Meaning(
        Level.WARNING,
        _("the yarn on hand is used up here"),
        _("shorten the leg, use another yarn for cuff, heel or toe, or get more"),
    ),
    Code.EMPTY_RAISE: Meaning(
        Level.ERROR,
        _("the needle to raise holds no loop or is not in work"),
        _("check which needle is meant: raise the one that has just knitted"),
    ),
    Code.UNDER_CAMS: Meaning(
        Level.ERROR,
        _("the cams hold this needle low; it can be neither raised nor lowered here"),
        _("stop in the middle of the needles that knit on, and move it from there"),
    ),
    Code.WRONG_SIDE: Meaning(
        Level.ERROR,
        _("the carrier stands at the wrong end for this row"),
        _("check the way of the row before cranking"),
    ),
    Code.OFF_CORNER: Meaning(
        Level.ERROR,
        _("the carrier stops beside the corner, not past its last needle in work"),
        _("stop past the last needle of those that knit the rows"),
    ),
    Code.NO_HEEL_WEIGHT: Meaning(
        Level.ERROR,
        _("rows are knitted with no heel weight; their loops will ride up"),
        _("hang the heel weights on the heel fabric first"),
    ),
    Code.FORKS_UNDER_RAISED: Meaning(
        Level.ERROR,
        _("a heel weight hangs far under raised needles; it pulls on loops that do not knit"),
        _("move the heel weights to below the needles in work"),
    ),
    Code.FORKS_NOT_MOVED: Meaning(
        Level.WARNING,
        _("the heel weights were not moved for more than ten rows; the loops will ride up"),
        _("move them higher every six to ten rows"),
    ),
    Code.FORKS_LEFT_ON: Meaning(
        Level.ERROR,
        _("the heel weights still hang on the work when its rows are done"),
        _("take them off after the last row"),
    ),
    Code.NO_MAIN_WEIGHT: Meaning(
        Level.ERROR,
        _("rounds are knitted with no weight on the tube"),
        _("hang the main weight again"),
    ),
    Code.WEIGHT_LEFT_ON: Meaning(
        Level.ERROR,
        _("the main weight pulls on the bars that are to be lifted"),
        _("take the main weight off first, and hang it again after"),
    ),
    Code.NO_SPRING: Meaning(
        Level.WARNING,
        _("the yarn reverses without the heel spring; slack loops at the ends of the rows"),
        _("put the yarn through the heel spring"),
    ),
    Code.SPRING_LEFT_ON: Meaning(
        Level.WARNING,
        _("rounds are knitted with the heel spring on; they come out tight"),
        _("take the yarn out of the heel spring"),
    ),
    Code.NO_RIBBER: Meaning(
        Level.ERROR,
        _("the ribber is not on the machine"),
        _("put it on first"),
    ),
    Code.RIBBER_OVER_ROWS: Meaning(
        Level.ERROR,
        _("the ribber lies over the needles with no loop on it while rows are knitted"),
        _("take it off the machine before the rows"),
    ),
    Code.RIBBER_IN_REVERSE: Meaning(
        Level.ERROR,
        _("the ribber is connected in a row; it runs forward rounds only"),
        _("disconnect the ribber first"),
    ),
    Code.DIAL_IDLE: Meaning(
        Level.ERROR,
        _("loops wait on the dial while more than three rounds pass them by"),
        _("connect the ribber, or move the loops to the cylinder"),
    ),
    Code.WASTE_IN_SOCK: Meaning(
        Level.ERROR,
        _("loops of the sock hang on waste or cord that leaves it; they will run"),
        _("knit the sock's own yarn here, or draw out the waste between its two edges"),
    ),
    Code.SOCK_YARN_IN_WASTE: Meaning(
        Level.ERROR,
        _("the waste of the set-up is knitted in a yarn of the sock"),
        _("thread waste yarn for it"),
    ),
    Code.WASTE_NOT_OPENED: Meaning(
        Level.ERROR,
        _("the waste is not drawn out over all its needles"),
        _("draw it out over every needle that it was knitted on"),
    ),
    Code.NOT_HELD: Meaning(
        Level.ERROR,
        _("the work comes off with no waste to hold its loops; they will run"),
        _("knit rounds of waste yarn before"),
    ),
    Code.NO_CORD: Meaning(
        Level.ERROR,
        _("there is no ravel cord between the set-up and the sock"),
        _("knit one round of cord just before the first round of the sock"),
    ),
    Code.CORD_LEFT_IN: Meaning(
        Level.ERROR,
        _("the ravel cord is never pulled; the set-up stays on the sock"),
        _("pull the cord once the work is off"),
    ),
    Code.NOT_FINISHED: Meaning(
        Level.ERROR,
        _("the sock ends with its ends not darned"),
        _("end with the finishing"),
    ),
    Code.ROUNDS_DIFFER: Meaning(
        Level.ERROR,
        _("this part has more or fewer rounds or rows than it was sized for"),
        _("knit as many as the plan counts"),
    ),
    Code.WALES_UNEQUAL: Meaning(
        Level.ERROR,
        _("wales are longer or shorter than those beside them, unlike the design"),
        _("see which needles were raised or lowered too soon or too late"),
    ),
    Code.EYELETS_DIFFER: Meaning(
        Level.ERROR,
        _("the holes of the fold are not where they were sized"),
        _("empty every other needle, and each for one round"),
    ),
    Code.CAM_DIFFERS: Meaning(
        Level.ERROR,
        _("the stitch cam is not set as sized; the loops come out longer or shorter"),
        _("set the stitch cam as the plan says for this part"),
    ),
    Code.WRONG_YARN: Meaning(
        Level.ERROR,
        _("this part is knitted in the yarn of another"),
        _("thread this part's own yarn"),
    ),
    Code.NO_NEEDLE: Meaning(
        Level.ERROR,
        _("there is no needle, or no dial slot, at this place"),
        _("check the needle number against the cylinder and the dial"),
    ),
    Code.NO_LOOP: Meaning(
        Level.ERROR,
        _("the needle holds no loop to move"),
        _("check which needle is meant"),
    ),
    Code.NOTHING_IN_WORK: Meaning(
        Level.ERROR,
        _("no needle is in work"),
        _("lower needles into work before cranking"),
    ),
    Code.MOVED_FAR: Meaning(
        Level.ERROR,
        _("a loop is moved across a needle that holds one"),
        _("move it to its neighbour"),
    ),
    Code.LOOP_ON_NEEDLE: Meaning(
        Level.ERROR,
        _("a needle that holds a loop is taken out; the loop would drop"),
        _("move its loop to a neighbour first"),
    ),
    Code.NOT_RAISED: Meaning(
        Level.ERROR,
        _("the needle to lower or to wrap is not raised"),
        _("check which needle is meant"),
    ),
}


__all__ = ["FINDINGS", "Code", "Finding", "Level"]


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
        return FINDINGS[self.code].level

    @property
    def message(self) -> Message:
        """What is wrong, in a sentence that names the program's step."""
        return self.told(_("step {step}", step=self.step))

    def told(self, step: str) -> Message:
        """What is wrong, in a sentence that names the step as the reader knows it."""
        wrong = FINDINGS[self.code].wrong
        if self.count != 1:
            wrong = _("{wrong} ({count} in all)", wrong=wrong, count=self.count)
        if self.needle is None:
            return _("{step}: {wrong}", step=step, wrong=wrong)
        where = N_("{step} at needle {needle}: {wrong}")
        if self.on_dial:
            where = N_("{step} at dial slot {needle}: {wrong}")
        return _(where, step=step, needle=self.needle, wrong=wrong)

    @property
    def mend(self) -> Message:
        """What to do about it."""
        return FINDINGS[self.code].mend
