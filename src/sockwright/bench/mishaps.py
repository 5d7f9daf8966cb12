"""What goes wrong at the machine, and short ways back, from what hangs there at each moment and
how far hem and heel are.

The ways back are common practice of the trade, in our own words. Those of the hem and of the heel
depend on how far that is: its stage. Fields in braces are filled in by the page from where the
maker stands: `carrier`, `working`, `raised`, `waits` (the needles that the current step touches),
and the ends of the heel: `heel_first`, `heel_last`, and their neighbours `before_heel`,
`after_heel`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from sockwright import steps as op
from sockwright.bench.counting import DO, ROW, CountStep, Sock
from sockwright.i18n import N_, Locale, locale_of
from sockwright.needlebed.bed import State
from sockwright.plan.make import SockPlan
from sockwright.wording.instructions import Instruction
from sockwright.wording.nouns import Terms

MAIN, HEEL, SPRING, RIBBER = 1, 2, 4, 8
"""Main weight on, heel weights on, yarn in the heel spring, ribber connected: bits of a number."""

NONE = "none"
"""A sock without that part."""

BEFORE, OPEN, CLOSED = "before", "open", "closed"
"""Of a hem: not hung yet; being hung or hung, so that it can be lifted off again; knitted in."""

NARROWING, WIDENING, CORNERS, AFTER = "narrowing", "widening", "corners", "after"
"""Of a heel, after BEFORE: its rows; then, until the next whole round, its ends stand still."""

SAFETY = (
    N_("Stop the crank. Nobody turns it while your fingers are at the needles."),
    N_("Hooks and latches pierce skin: work with a pick, its point away from you."),
)
DROPPED = (
    N_("Catch the loose loop at once with a pick or a stitch holder, before it runs down."),
    N_("Hold the work from below with one hand, so that the weight does not pull the run."),
    N_(
        "Has it run only a row or two? Hang the loop on its needle, lay the lowest ladder bar into "
        "the hook and lift the loop over it; then the next bar."
    ),
    N_(
        "Has it run below the rim? Only the inside can be reached there: put a safety pin through "
        "the loop, so that it runs no further, and lift the topmost bar onto the needle. Off the "
        "machine, work the loop up on the outside with a latch hook and fasten it with a thread."
    ),
    N_("The latch is open. In work now: {working}. Raised, and to stay so: {raised}."),
    N_("Look at that needle: is its latch bent or its hook full of lint? Watch it for two rounds."),
    N_("{carrier} Go on from there; nothing is counted again."),
)
JUMPED = (
    N_("Do not crank on: each needle that passes without yarn throws its loop off."),
    N_("Hold the work from below, and take the main weight off if loops hang free."),
    N_(
        "Turn back, without yarn, only as far as the last needle that still has a new loop; on a "
        "machine with its ribber connected do not turn back at all, hang the loops by hand."
    ),
    N_(
        "Hang every free loop on its own needle, one on each, latches open. In work now: "
        "{working}. Raised, with their loops: {raised}."
    ),
    N_(
        "Find why it jumped (a tangle, a slack end, a latch on the yarn), thread the carrier "
        "again and draw the slack back by hand."
    ),
    N_(
        "Hang the weight again and crank the next needles slowly, watching each take the yarn. "
        "{carrier}"
    ),
)
DROPPED_ELSEWHERE = N_("A hole anywhere else is a dropped stitch: look under “A stitch dropped”.")
HEEL_ENDS = N_(
    "Holes sit at the ends of the heel: between needles {heel_last} and {after_heel}, and between "
    "{before_heel} and {heel_first}."
)
HOLE: Mapping[str, tuple[str, ...]] = {
    BEFORE: (
        N_("The rows of the heel have not begun, so this is no hole at the heel."),
        HEEL_ENDS,
        N_(
            "They come from slack yarn where a row turns, and from a wrap left out: draw the slack "
            "back at each turn, and wrap as each row says."
        ),
        DROPPED_ELSEWHERE,
    ),
    NARROWING: (
        *SAFETY,
        N_(
            "The heel is being narrowed. In work in this row: {working}. Beside them, where "
            "needles were raised, the fabric stands open: the rows of widening close it."
        ),
        N_("Where the yarn lies slack at a turn, draw it back by hand before it is cranked."),
        DROPPED_ELSEWHERE,
        N_("Raised, and to stay so: {raised}. {carrier}"),
    ),
    WIDENING: (
        *SAFETY,
        N_(
            "The heel is being widened. In work in this row: {working}. A hole beside the needles "
            "lowered last is a wrap left out, or a slack turn."
        ),
        N_(
            "With a pick lift the strand that lies below the hole onto the nearest needle in work, "
            "beside its own loop, latch open: both are knitted off together."
        ),
        N_("Needles of this step: {waits}. Raised, and to stay so: {raised}. {carrier}"),
        DROPPED_ELSEWHERE,
    ),
    CORNERS: (
        *SAFETY,
        HEEL_ENDS,
        N_(
            "Before these needles knit again: with a pick lift the strand that lies below the hole "
            "onto the end needle of the heel, beside its own loop."
        ),
        N_("Do the same on the neighbouring needle of the instep; both knit off with two loops."),
        N_("Every latch open. In work now: {working}. Raised now: {raised}."),
        N_("The next round goes slowly past these corners. {carrier}"),
    ),
    AFTER: (
        HEEL_ENDS,
        N_("The needles there have knitted on: nothing is lifted any more."),
        N_(
            "Darn the hole once the sock is off the machine: draw the end of the heel's yarn "
            "round it and pull it closed."
        ),
        DROPPED_ELSEWHERE,
    ),
}
SKEWED: Mapping[str, tuple[str, ...]] = {
    BEFORE: (
        N_("The hem is not hung yet, so nothing can lean."),
        N_(
            "A hem skews when its bars hang one needle off: follow the first needle's wale down "
            "to the very first round in the cuff's yarn, and skip no needle."
        ),
    ),
    OPEN: (
        *SAFETY,
        N_(
            "Look at one wale below the fold: it must run straight down from its needle to the bar "
            "that hangs there. If it leans, every bar hangs on a neighbour."
        ),
        N_("Before the closing round is knitted: take the weight off and hold the work."),
        N_(
            "Lift the hung bars off again, one needle after the other. The needles keep their own "
            "loops: {working}."
        ),
        N_(
            "Begin again a few needles past the carrier. Follow that needle's wale to the very "
            "first round in the cuff's yarn, and hang its bar on the same needle; then go round. "
            "{carrier}"
        ),
    ),
    CLOSED: (
        N_("The closing round is knitted: the bars cannot be lifted off any more."),
        N_(
            "If only that round is knitted: ravel it back, hang its loops again, lift the bars "
            "off and hang the hem again."
        ),
        N_("Later a small skew may stay: the cuff wears as well."),
    ),
}


def standing_data(plan: SockPlan, told: Sequence[Instruction]) -> dict[int, int]:
    """By instruction, what hangs and is connected after it: a sum of MAIN, HEEL, SPRING, RIBBER."""
    states = plan.execution.states
    return {each.number: _bits(states[each.steps[-1]]) for each in told}


def _bits(state: State) -> int:
    return (
        MAIN * state.main_weight
        + HEEL * state.heel_weight
        + SPRING * state.spring
        + RIBBER * state.ribber
    )


def turns_of_advice(
    plan: SockPlan, told: Sequence[Instruction], language: str = "en"
) -> list[list[Any]]:
    """[instruction, kind, setting] for each instruction that moves a weight, the spring, the ribber
    or the stitch cam, in order.

    The kinds are keys of the page's words under "advice."; the setting is the cam's, in the user's
    own word, "" where her swatches tell none and for everything else.
    """
    terms = Terms(locale_of(language), plan.order.machine, plan.program.needles, "cm", {})
    found = []
    for each in told:
        for done in map(plan.execution.at, each.steps):
            kind = _kind(done.step, done.before)
            if kind is not None:
                setting = done.step.setting if isinstance(done.step, op.SetCam) else None
                found.append([each.number, kind, "" if setting is None else terms.cam(setting)])
    return found


def _cam(step: op.SetCam, before: float) -> str:
    """To its setting where there is one, else as the instruction has it."""
    if step.setting is not None:
        return "cam_to"
    if round(100 * abs(step.factor - 1)) == 0:
        return "cam_swatch"
    return "cam_looser" if step.factor > before else "cam_firmer"


def _kind(step: op.Step, at: State) -> str | None:
    """What a step turns, as the machine stood before it; None for nothing of these."""
    if isinstance(step, op.SetCam):
        return _cam(step, at.factor)
    if isinstance(step, op.Weigh):
        on = at.main_weight if step.kind is op.Weight.MAIN else at.heel_weight
        return f"{step.kind.value}_{'higher' if on else 'on'}"
    if isinstance(step, op.Unweigh):
        return f"{step.kind.value}_off"
    if isinstance(step, op.HeelSpring):
        return "spring_on" if step.on else "spring_off"
    if isinstance(step, op.Ribber):
        return "ribber_on" if step.on else "ribber_off"
    return None


@dataclass(frozen=True)
class Stage:
    """Of the hem NONE, BEFORE, OPEN or CLOSED; of the heel NONE, BEFORE, NARROWING, WIDENING,
    CORNERS or AFTER."""

    hem: str
    heel: str


def stages(plan: SockPlan, sock: Sock) -> tuple[Stage, ...]:
    """The stage while each count is done, and at the end the one when all is done."""
    return tuple(Stage(hem, heel) for hem, heel in zip(_hem(plan, sock), _heel(sock), strict=True))


def _hem(plan: SockPlan, sock: Sock) -> Iterator[str]:
    steps = plan.program.steps
    hanging = {
        each.number
        for each in sock.instructions
        if any(isinstance(steps[number - 1], op.HangHem) for number in each.steps)
    }
    now = BEFORE if hanging else NONE
    for count_step in sock.count_steps:
        now = OPEN if count_step.instruction in hanging else now
        yield now
        if now == OPEN and count_step.kind != DO:
            now = CLOSED
    yield now


def _heel(sock: Sock) -> Iterator[str]:
    rows = _heel_rows(sock)
    places = {count_step.place for count_step in rows}
    knitting = [count_step.place for count_step in sock.count_steps if count_step.kind != DO]
    ends = {here for here, then in pairwise(knitting) if here in places and then not in places}
    now = BEFORE if rows else NONE
    for count_step in sock.count_steps:
        if count_step.place in places:
            now = _of_row(count_step, now)
        yield now
        if count_step.place in ends:
            now = CORNERS
        elif now == CORNERS and _whole(count_step) and count_step.place > max(places):
            now = AFTER
    yield now


def _of_row(count_step: CountStep, now: str) -> str:
    deeds = {touch.deed for touch in count_step.touches}
    if "lower" in deeds:
        return WIDENING
    return NARROWING if "raise" in deeds or now == BEFORE else now


def _whole(count_step: CountStep) -> bool:
    return count_step.kind != DO and count_step.gap_before == count_step.gap


def _heel_rows(sock: Sock) -> list[CountStep]:
    return [
        count_step
        for count_step in sock.count_steps
        if count_step.kind == ROW and count_step.section == op.Section.HEEL.value
    ]


def heel_needles(sock: Sock) -> tuple[int, ...]:
    """The needles that the rows of the heel are knitted on, none without such rows."""
    knitted = {
        n
        for count_step in _heel_rows(sock)
        for n, letter in enumerate(sock.beds[count_step.before][0], 1)
        if letter == "w"
    }
    narrowed = {
        n
        for count_step in _heel_rows(sock)[:1]
        for touch in count_step.touches
        for n in touch.needles
        if touch.deed == "raise"
    }
    return tuple(sorted(knitted | narrowed))


@dataclass(frozen=True)
class Mishap:
    """Its title, the part whose stage decides ("hem", "heel" or "" for none), and the ways back by
    stage. Where the sock has no such part, it cannot happen."""

    title: str
    part: str
    ways: Mapping[str, tuple[str, ...]]


MISHAPS: Mapping[str, Mishap] = {
    "dropped": Mishap(N_("A stitch dropped"), "", {"": (*SAFETY, *DROPPED)}),
    "jumped": Mishap(N_("The yarn jumped out"), "", {"": (*SAFETY, *JUMPED)}),
    "hole": Mishap(N_("Hole at the heel"), "heel", HOLE),
    "skewed": Mishap(N_("The hem is skewed"), "hem", SKEWED),
}
"""Each by its key."""


def mishaps(locale: Locale) -> list[dict[str, Any]]:
    """Every mishap with its key, title, part and ways back by stage, in a language."""
    return [
        {
            "key": key,
            "title": locale.gettext(mishap.title),
            "part": mishap.part,
            "ways": {
                stage: [locale.gettext(step) for step in steps]
                for stage, steps in mishap.ways.items()
            },
        }
        for key, mishap in MISHAPS.items()
    ]
