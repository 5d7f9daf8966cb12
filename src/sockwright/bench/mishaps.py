"""What goes wrong at the machine, and short ways back.

The ways back are common practice of the trade, in our own words. Fields in braces are filled in by
the page from where the maker stands: `carrier`, `working`, `raised`, `waits` (the needles that the
current step touches), and `half`, `after_half`, `last` of the ring.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sockwright.words import Tongue, phrase

SAFETY = (
    phrase("Stop the crank. Nobody turns it while your fingers are at the needles."),
    phrase("Hooks and latches pierce skin: work with a pick, its point away from you."),
)

DROPPED = (
    phrase("Catch the loose loop at once with a pick or a stitch holder, before it runs down."),
    phrase("Hold the work from below with one hand, so that the weight does not pull the run."),
    phrase(
        "Put a latch hook through the loop from the front. Draw each ladder bar above it through "
        "in turn, the lowest first, up to the last bar."
    ),
    phrase(
        "Hang the loop on its needle, latch open. In work now: {working}. Raised, and to stay "
        "so: {raised}."
    ),
    phrase(
        "Look at that needle: is its latch bent or its hook full of lint? Watch it for two rounds."
    ),
    phrase("{carrier} Then go on with this step; nothing is counted anew."),
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

HOLE = (
    phrase(
        "Holes sit at the ends of the heel: between needles {half} and {after_half}, and between "
        "{last} and 1."
    ),
    phrase(
        "While the needles beside the hole stand still: with a pick lift the strand that lies "
        "below the hole onto the end needle of the heel, beside its own loop."
    ),
    phrase("Do the same on the neighbouring needle of the instep; both knit off with two loops."),
    phrase("Every latch open; needles of this step: {waits}. Raised now: {raised}."),
    phrase("The next round goes slowly past these corners. {carrier}"),
    phrase("Found later, it is darned: draw the end of the heel's yarn round the hole, and close."),
)

SKEWED = (
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
        "Begin again a few needles past the carrier. Follow that needle's wale to the very first "
        "round in the cuff's yarn, and hang its bar on the same needle; then go round. {carrier}"
    ),
    phrase(
        "After the closing round it is too late to lift: ravel that round back, hang its loops "
        "again, and then the bars. A small skew may stay: the cuff wears as well."
    ),
)

MISHAPS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "dropped": (phrase("A stitch dropped"), DROPPED),
    "jumped": (phrase("The yarn jumped out"), JUMPED),
    "hole": (phrase("Hole at the heel"), HOLE),
    "skewed": (phrase("The hem is skewed"), SKEWED),
}
"""Title and ways back of each, by its key."""


def mishaps(tongue: Tongue) -> list[dict[str, Any]]:
    """Every mishap with its key, title and steps, in a language."""
    return [
        {
            "key": key,
            "title": tongue.gettext(title),
            "steps": [tongue.gettext(step) for step in (*SAFETY, *steps)],
        }
        for key, (title, steps) in MISHAPS.items()
    ]
