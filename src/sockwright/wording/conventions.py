"""What a program's reader is told before the first step: how the sheet speaks, and cautions."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.machine import Direction, Machine, Turning, fixed_carrier, gap_hour
from sockwright.needlebed.execute import Execution
from sockwright.wording.instructions import find_cups
from sockwright.wording.nouns import Talk
from sockwright.words import phrase, tongue

SWIVEL = phrase(
    "Where the cylinder goes round, the work goes with it: hang the main weight so that it can go "
    "round too, or the tube twists."
)
RIBBER = phrase("The ribber runs forward only: disconnect it before any row in reverse.")
CAUTIONS = (
    phrase(
        "The instructions of your machine's maker come first; where they differ from this sheet, "
        "follow them."
    ),
    phrase(
        "Hooks and latches pierce skin, and picks are sharp: lay a pick where you can see it, "
        "point away from you."
    ),
    phrase(
        "Keep fingers, sleeves, hair and scarves clear of open gears, of the cams and of the "
        "carrier; stop cranking before you reach in. Children watch from a distance."
    ),
    phrase("See that the clamps hold before you crank; a machine on a table's edge can tip."),
    phrase(
        "Weights fall: wear closed shoes, lay a mat under the machine, and keep feet, children and "
        "animals from under it."
    ),
    phrase("Never force the crank. If it turns hard, stop and find the cause."),
    phrase(
        "Cranking repeats one movement: pause every 20 to 30 minutes, change hands, and sit so "
        "that the handle is at the height of your elbow."
    ),
    SWIVEL,
    RIBBER,
    phrase(
        "A tight cuff can harm swollen or numb feet, and legs with poor circulation or diabetes: "
        "ask a clinician before you make one."
    ),
)
FORWARD = {
    (Turning.CARRIER, Direction.ANTICLOCKWISE): phrase(
        "Forward: the carrier runs anticlockwise, seen from above."
    ),
    (Turning.CARRIER, Direction.CLOCKWISE): phrase(
        "Forward: the carrier runs clockwise, seen from above."
    ),
    (Turning.CYLINDER, Direction.ANTICLOCKWISE): phrase(
        "Forward: the needles pass the carrier in the order 1, 2, 3; the cylinder runs clockwise, "
        "seen from above."
    ),
    (Turning.CYLINDER, Direction.CLOCKWISE): phrase(
        "Forward: the needles pass the carrier in the order 1, 2, 3; the cylinder runs "
        "anticlockwise, seen from above."
    ),
}
"""Which way is forward, by what turns and by the way the carrier goes round the needles."""
ROUND = phrase(
    "A round goes once round all needles in work, forward. A row goes once across the working "
    "needles, one way."
)
PAST = phrase(
    "Past a needle: so far beyond it that the cams have let go of it and of the next one or two."
)
PAST_CYLINDER = phrase(
    "Past a needle: it has gone by the carrier, so far that the cams have let go of it and of the "
    "next one or two."
)
RAISE = phrase(
    "Raised: the needle keeps its loop and does not knit. Lowered: it knits again, its latch open. "
    "Rows: on the carrier's side, unless it says at the far end."
)


def cautions(
    program: op.Program | None = None, machine: Machine | None = None, language: str = "en"
) -> tuple[str, ...]:
    """Cautions, the maker's own instructions first; those that cannot apply to `program` and
    `machine` are left out where these are given.

    Raises UnknownTongue for a language without a catalogue.
    """
    unneeded = set()
    if machine is not None and machine.turns is Turning.CARRIER:
        unneeded.add(SWIVEL)
    if program is not None and not program.dial:
        unneeded.add(RIBBER)
    return tuple(tongue(language).tell(text) for text in CAUTIONS if text not in unneeded)


def conventions(run: Execution, machine: Machine, language: str = "en") -> tuple[str, ...]:
    """How the instructions speak: forward, hours, needle numbers, marks, rounds and rows.

    Raises UnknownTongue for a language without a catalogue.
    """
    talk = Talk(tongue(language), machine, run.program.needles, "cm", {})
    tell, carrier = talk.tell, machine.turns is Turning.CARRIER
    lines = [tell(FORWARD[machine.turns, machine.forward])]
    if carrier or machine.landmarks:
        lines.append(
            tell("Places are hours on a clock face seen from above; six o'clock is nearest you.")
        )
    lines += [
        tell(
            "Needles are numbered 1 to {needles} in the order in which a forward round knits them.",
            needles=run.program.needles,
        ),
        _home(talk, carrier=carrier),
        _halfway(talk),
        *_limits(talk, run),
    ]
    past = PAST if carrier else PAST_CYLINDER
    return (*lines, *(tell(text) for text in (ROUND, past, RAISE)))


def _home(talk: Talk, *, carrier: bool) -> str:
    ends = {"last": talk.needles_plain((talk.count,)), "first": talk.needles_plain((1,))}
    name = talk.mark("home")
    if not carrier:
        fixed = fixed_carrier(talk.machine)
        if fixed is None:
            return talk.tell(
                "At home: the carrier is past {last}, by the {name} between it and {first}.",
                name=name,
                **ends,
            )
        hour = talk.hour(fixed.hour)
        return talk.tell(
            "At home: the carrier is past {last}, by the {name} between it and {first}, at {hour}.",
            name=name,
            hour=hour,
            **ends,
        )
    hour = talk.hour(gap_hour(talk.machine, talk.count, 0))
    return talk.tell(
        "At home: the carrier is past {last}, by the {name} between it and {first}, at {hour}.",
        name=name,
        hour=hour,
        **ends,
    )


def _halfway(talk: Talk) -> str:
    half = talk.half
    return talk.tell(
        "The {name} is between {last} and {first}. Heel half: {heel}. Instep half: {instep}.",
        name=talk.mark("halfway"),
        last=talk.needles_plain((half,)),
        first=talk.needles_plain((half + 1,)),
        heel=talk.run(1, half),
        instep=talk.run(half + 1, talk.count),
    )


def _limits(talk: Talk, run: Execution) -> list[str]:
    """Each pair of turn limits that a cup of the program uses, once."""
    cups = {cup.role: cup for cup in find_cups(run) if cup.role is not None}
    return [
        talk.tell(
            "The {name} are {limits}; the {count} needles between them ({kept}) stay in work "
            "through the narrowing of the first, shallow cup."
            if role == "deep limits"
            else (
                "The {name} are {limits}; the {count} needles between them ({kept}) stay in work "
                "all through the narrowing."
            ),
            name=talk.mark(role),
            limits=talk.needles_plain(cup.limits),
            count=cup.high - cup.low + 1,
            kept=talk.run(cup.low, cup.high),
        )
        for role, cup in cups.items()
    ]
