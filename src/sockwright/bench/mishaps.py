"""What goes wrong at the machine, and short ways back.

The ways back are common practice of the trade, in our own words. Those of the hem and of the heel
depend on how far that is: its stage (see stages.py). Fields in braces are filled in by the page
from where the maker stands: `carrier`, `working`, `raised`, `waits` (the needles that the current
step touches), and the ends of the heel: `heel_first`, `heel_last`, and their neighbours
`before_heel`, `after_heel`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sockwright.bench.moments import AFTER, BEFORE, CLOSED, CORNERS, NARROWING, OPEN, WIDENING
from sockwright.words import Tongue, phrase

SAFETY = (
    phrase("Stop the crank. Nobody turns it while your fingers are at the needles."),
    phrase("Hooks and latches pierce skin: work with a pick, its point away from you."),
)

DROPPED = (
    phrase("Catch the loose loop at once with a pick or a stitch holder, before it runs down."),
    phrase("Hold the work from below with one hand, so that the weight does not pull the run."),
    phrase(
        "Has it run only a row or two? Hang the loop on its needle, lay the lowest ladder bar into "
        "the hook and lift the loop over it; then the next bar."
    ),
    phrase(
        "Has it run below the rim? Only the inside can be reached there: put a safety pin through "
        "the loop, so that it runs no further, and lift the topmost bar onto the needle. Off the "
        "machine, work the loop up on the outside with a latch hook and fasten it with a thread."
    ),
    phrase("The latch is open. In work now: {working}. Raised, and to stay so: {raised}."),
    phrase(
        "Look at that needle: is its latch bent or its hook full of lint? Watch it for two rounds."
    ),
    phrase("{carrier} Go on from there; nothing is counted anew."),
)

JUMPED = (
    phrase("Do not crank on: each needle that passes without yarn throws its loop off."),
    phrase("Hold the work from below, and take the main weight off if loops hang free."),
    phrase(
        "Turn back, without yarn, only as far as the last needle that still has a new loop; on a "
        "machine with its ribber connected do not turn back at all, hang the loops by hand."
    ),
    phrase(
        "Hang every free loop on its own needle, one on each, latches open. In work now: "
        "{working}. Raised, with their loops: {raised}."
    ),
    phrase(
        "Find why it jumped (a tangle, a slack end, a latch on the yarn), thread the carrier "
        "again and draw the slack back by hand."
    ),
    phrase(
        "Hang the weight again and crank the next needles slowly, watching each take the yarn. "
        "{carrier}"
    ),
)

DROPPED_ELSEWHERE = phrase(
    "A hole anywhere else is a dropped stitch: its way back stands under its own name."
)
HEEL_ENDS = phrase(
    "Holes sit at the ends of the heel: between needles {heel_last} and {after_heel}, and between "
    "{before_heel} and {heel_first}."
)

HOLE: Mapping[str, tuple[str, ...]] = {
    BEFORE: (
        phrase("The rows of the heel have not begun, so this is no hole at the heel."),
        HEEL_ENDS,
        phrase(
            "They come from slack yarn where a row turns, and from a wrap left out: draw the slack "
            "back at each turn, and wrap as each row says."
        ),
        DROPPED_ELSEWHERE,
    ),
    NARROWING: (
        *SAFETY,
        phrase(
            "The heel is being narrowed. In work in this row: {working}. Beside them, where "
            "needles were raised, the fabric stands open: the rows of widening close it."
        ),
        phrase("Where the yarn lies slack at a turn, draw it back by hand before it is cranked."),
        DROPPED_ELSEWHERE,
        phrase("Raised, and to stay so: {raised}. {carrier}"),
    ),
    WIDENING: (
        *SAFETY,
        phrase(
            "The heel is being widened. In work in this row: {working}. A hole beside the needles "
            "lowered last is a wrap left out, or a slack turn."
        ),
        phrase(
            "With a pick lift the strand that lies below the hole onto the nearest needle in work, "
            "beside its own loop, latch open: both are knitted off together."
        ),
        phrase("Needles of this step: {waits}. Raised, and to stay so: {raised}. {carrier}"),
        DROPPED_ELSEWHERE,
    ),
    CORNERS: (
        *SAFETY,
        HEEL_ENDS,
        phrase(
            "Before these needles knit again: with a pick lift the strand that lies below the hole "
            "onto the end needle of the heel, beside its own loop."
        ),
        phrase(
            "Do the same on the neighbouring needle of the instep; both knit off with two loops."
        ),
        phrase("Every latch open. In work now: {working}. Raised now: {raised}."),
        phrase("The next round goes slowly past these corners. {carrier}"),
    ),
    AFTER: (
        HEEL_ENDS,
        phrase("The needles there have knitted on: nothing is lifted any more."),
        phrase(
            "It is darned once the sock is off: draw the end of the heel's yarn round the hole, "
            "and close it."
        ),
        DROPPED_ELSEWHERE,
    ),
}

SKEWED: Mapping[str, tuple[str, ...]] = {
    BEFORE: (
        phrase("The hem is not hung yet, so nothing can lean."),
        phrase(
            "It skews where bars are hung one needle aside: follow the first needle's wale down to "
            "the very first round in the cuff's yarn, and leave out no needle."
        ),
    ),
    OPEN: (
        *SAFETY,
        phrase(
            "Look at one wale below the fold: it must run straight down from its needle to the bar "
            "that hangs there. If it leans, every bar hangs on a neighbour."
        ),
        phrase("Before the closing round is knitted: take the weight off and hold the work."),
        phrase(
            "Lift the hung bars off again, one needle after the other. The needles keep their own "
            "loops: {working}."
        ),
        phrase(
            "Begin again a few needles past the carrier. Follow that needle's wale to the very "
            "first round in the cuff's yarn, and hang its bar on the same needle; then go round. "
            "{carrier}"
        ),
    ),
    CLOSED: (
        phrase("The closing round is knitted: the bars cannot be lifted off any more."),
        phrase(
            "Where only that round is knitted: ravel it back, hang its loops again, lift the bars "
            "off, and hang the hem anew."
        ),
        phrase("Later a small skew may stay: the cuff wears as well."),
    ),
}


@dataclass(frozen=True)
class Mishap:
    """Its title, the part whose stage decides ("hem", "heel" or "" for none), and the ways back by
    stage. Where the sock has no such part, it cannot happen."""

    title: str
    part: str
    ways: Mapping[str, tuple[str, ...]]


MISHAPS: Mapping[str, Mishap] = {
    "dropped": Mishap(phrase("A stitch dropped"), "", {"": (*SAFETY, *DROPPED)}),
    "jumped": Mishap(phrase("The yarn jumped out"), "", {"": (*SAFETY, *JUMPED)}),
    "hole": Mishap(phrase("Hole at the heel"), "heel", HOLE),
    "skewed": Mishap(phrase("The hem is skewed"), "hem", SKEWED),
}
"""Each by its key."""


def mishaps(tongue: Tongue) -> list[dict[str, Any]]:
    """Every mishap with its key, title, part and ways back by stage, in a language."""
    return [
        {
            "key": key,
            "title": tongue.gettext(mishap.title),
            "part": mishap.part,
            "ways": {
                stage: [tongue.gettext(step) for step in steps]
                for stage, steps in mishap.ways.items()
            },
        }
        for key, mishap in MISHAPS.items()
    ]
